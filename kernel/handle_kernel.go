package kernel

import "patternkit/kernel/wire"

func (s *Server) kernelInfo(*request) (any, error) {
	l := s.session.eval.Language()
	language := map[string]any{
		"name": l.Name, "version": l.Version, "mimetype": l.MIMEType, "file_extension": l.FileExtension,
	}
	if l.PygmentsLexer != "" {
		language["pygments_lexer"] = l.PygmentsLexer
	}
	if l.CodeMirrorMode != "" {
		language["codemirror_mode"] = l.CodeMirrorMode
	}
	links := l.HelpLinks
	if links == nil {
		links = []HelpLink{}
	}
	return map[string]any{
		"status": "ok", "protocol_version": wire.ProtocolVersion, "implementation": l.Implementation,
		"implementation_version": l.ImplementationVersion, "language_info": language, "banner": l.Banner,
		"help_links": links, "debugger": false, "supported_features": []string{},
	}, nil
}

func (s *Server) connect(*request) (any, error) {
	c := s.Connection()
	return map[string]any{
		"status": "ok", "shell_port": c.ShellPort, "iopub_port": c.IOPubPort, "stdin_port": c.StdinPort,
		"hb_port": c.HBPort, "control_port": c.ControlPort,
	}, nil
}

func (s *Server) interrupt(*request) (any, error) {
	s.Interrupt()
	return map[string]any{"status": "ok"}, nil
}

// shutdownRequest answers, tells every front end, and ends Serve.
func (s *Server) shutdownRequest(r *request) (any, error) {
	restart := r.Content.BoolOr("restart", false)
	if err := r.bad(); err != nil {
		return nil, err
	}
	content := map[string]any{"status": "ok", "restart": restart}
	if err := s.sockets.Reply(r.Message, "shutdown_reply", content); err != nil {
		return nil, err
	}
	r.out.after("shutdown_reply", content)
	r.out.end()
	s.shutdown()
	return nil, nil
}

// debug declines in the form of the Debug Adapter Protocol, which debug
// requests are wrapped in.
func (s *Server) debug(r *request) (any, error) {
	seq, command := r.Content.IntOr("seq", 0), r.Content.StringOr("command", "")
	if err := r.bad(); err != nil {
		return nil, err
	}
	return map[string]any{
		"type": "response", "request_seq": seq, "seq": seq, "success": false, "command": command,
		"message": "this kernel has no debugger",
	}, nil
}
