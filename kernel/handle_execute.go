package kernel

// execute runs a cell and sends what it gives.
func (s *Server) execute(r *request) (any, error) {
	q := Request{
		Code:            r.Content.String("code"),
		Silent:          r.Content.BoolOr("silent", false),
		AllowStdin:      r.Content.BoolOr("allow_stdin", true),
		UserExpressions: r.Content.StringsOr("user_expressions"),
		CellID:          r.Metadata.StringOr("cellId", ""),
	}
	q.StoreHistory = r.Content.BoolOr("store_history", !q.Silent) && !q.Silent
	stopOnError := r.Content.BoolOr("stop_on_error", true)
	if err := r.bad(); err != nil {
		return nil, err
	}
	if q.AllowStdin {
		r.out.asks = s.asks
	}
	if !q.Silent {
		count := s.session.Count()
		r.out.after("execute_input", map[string]any{"code": q.Code, "execution_count": count + 1})
	}
	r.out.takePayloads()
	reply := s.session.Execute(r.ctx, q, r.out)
	payloads := r.out.givePayloads()
	if reply.Error != nil {
		return s.failed(r, q, reply, stopOnError), nil
	}
	return map[string]any{
		"status": "ok", "execution_count": reply.Count, "payload": payloads,
		"user_expressions": expressions(reply.UserExpressions),
	}, nil
}

func (s *Server) failed(r *request, q Request, reply Reply, stopOnError bool) any {
	e := reply.Error
	if !q.Silent {
		r.out.after("error", map[string]any{"ename": e.Name, "evalue": e.Value, "traceback": lines(e.Traceback)})
	}
	if stopOnError {
		s.shell.abortWaiting()
	}
	content := errorContent(e)
	content["execution_count"] = reply.Count
	content["payload"] = []any{}
	content["user_expressions"] = map[string]any{}
	return content
}

func expressions(values map[string]Expression) map[string]any {
	out := make(map[string]any, len(values))
	for name, v := range values {
		if v.Error != nil {
			out[name] = errorContent(v.Error)
			continue
		}
		out[name] = map[string]any{"status": "ok", "data": v.Data, "metadata": orEmpty(v.Metadata)}
	}
	return out
}
