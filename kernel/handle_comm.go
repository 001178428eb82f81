package kernel

func (s *Server) commInfo(r *request) (any, error) {
	target := r.Content.StringOr("target_name", "")
	if err := r.bad(); err != nil {
		return nil, err
	}
	comms := map[string]any{}
	for id, target := range s.session.Comms(target) {
		comms[id] = map[string]any{"target_name": target}
	}
	return map[string]any{"status": "ok", "comms": comms}, nil
}

// commOpen hands a comm to whoever serves its target. The protocol wants one
// that nobody serves closed at once.
func (s *Server) commOpen(r *request) (any, error) {
	id, target, data := r.Content.String("comm_id"), r.Content.String("target_name"), r.Content.ObjectOr("data")
	if err := r.bad(); err != nil {
		return nil, err
	}
	if !s.session.Opened(r.ctx, id, target, data, r.out) {
		r.out.CloseComm(id, map[string]any{})
	}
	return nil, nil
}

// commMessage hands on a message of a control. While more of them wait the
// picture is not drawn: only the last position counts.
func (s *Server) commMessage(r *request) (any, error) {
	id, data := r.Content.String("comm_id"), r.Content.ObjectOr("data")
	err := r.bad()
	if err == nil {
		s.session.Receive(r.ctx, id, data, r.out)
	}
	if next := s.shell.peek(); next == nil || next.Header.Type != "comm_msg" {
		s.session.Settle(r.ctx, r.out)
	}
	return nil, err
}

func (s *Server) commClose(r *request) (any, error) {
	id := r.Content.String("comm_id")
	if err := r.bad(); err != nil {
		return nil, err
	}
	s.session.Closed(id)
	return nil, nil
}
