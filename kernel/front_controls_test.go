package kernel

import (
	"context"
	"errors"
	"testing"

	"patternkit/kernel/controls"
)

// A showingEvaluator shows what a function that may fail returns.
type showingEvaluator struct {
	fakeEvaluator
	panel *controls.Panel
}

func (e *showingEvaluator) Eval(_ context.Context, code string, _ int, _ Output) ([]any, error) {
	draft := func() (string, error) {
		if code == "low" {
			return "", errors.New("the cap is too low")
		}
		return "a sleeve", nil
	}
	return nil, e.panel.Show(draft())
}

// A displayOutput counts what is shown.
type displayOutput struct {
	muted
	shown []Display
}

func (o *displayOutput) Display(d Display) { o.shown = append(o.shown, d) }

func TestShowOfWhatMayFailEndsTheCell(t *testing.T) {
	e := &showingEvaluator{panel: controls.NewPanel()}
	s := NewSession(e)
	e.panel.Attach(s.Front())
	out := &displayOutput{}
	reply := s.Execute(t.Context(), Request{Code: "low"}, out)
	if reply.Error == nil || reply.Error.Value != "the cap is too low" || len(out.shown) != 0 {
		t.Errorf("%v, shown %v", reply.Error, out.shown)
	}
	reply = s.Execute(t.Context(), Request{Code: "high"}, out)
	if reply.Error != nil || len(out.shown) != 1 || out.shown[0].Data["text/plain"] != "a sleeve" {
		t.Errorf("%v, shown %v", reply.Error, out.shown)
	}
}
