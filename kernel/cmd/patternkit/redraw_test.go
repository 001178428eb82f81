package main

import (
	"encoding/base64"
	"regexp"
	"slices"
	"strings"
	"testing"

	"patternkit/kernel"
)

// A moving is the showing of a front end in which sliders can be moved.
type moving struct {
	showing
	comms map[string]map[string]any // the state that each was opened with, by id
}

func (o *moving) OpenComm(id, _ string, data, _ map[string]any) {
	state, _ := data["state"].(map[string]any)
	o.comms[id] = state
}
func (o *moving) SendComm(string, map[string]any)  {}
func (o *moving) CloseComm(string, map[string]any) {}

// slider returns the id of the comm of a slider whose label begins with label.
func (o *moving) slider(t testing.TB, label string) string {
	t.Helper()
	for id, state := range o.comms {
		if text, _ := state["description"].(string); state["_model_name"] == "FloatSliderModel" && len(text) >= len(label) && text[:len(label)] == label {
			return id
		}
	}
	t.Fatalf("no slider %q in %v", label, o.comms)
	return ""
}

// livelySession runs the acceptance cells where sliders can be moved.
func livelySession(t testing.TB) (*session, *moving) {
	t.Helper()
	s, err := newSession(t.TempDir(), stranger)
	if err != nil {
		t.Fatal(err)
	}
	out := &moving{comms: map[string]map[string]any{}}
	for _, code := range acceptance {
		if reply := s.Execute(t.Context(), kernel.Request{Code: code, StoreHistory: true}, out); reply.Error != nil {
			t.Fatal(reply.Error)
		}
	}
	return s, out
}

// move is what a front end does when a slider is moved.
func move(t testing.TB, s *session, out *moving, id string, value float64) {
	t.Helper()
	data := map[string]any{"method": "update", "state": map[string]any{"value": value}}
	if !s.Receive(t.Context(), id, data, out) {
		t.Fatal("the slider's message is for nobody")
	}
	s.Settle(t.Context(), out)
}

// A moved slider draws again in the place of the first drawing.
func TestMovedSliderDrawsAgain(t *testing.T) {
	s, out := livelySession(t)
	first := slices.IndexFunc(out.shown, func(d kernel.Display) bool { return d.ID != "" && d.Data["image/png"] != nil })
	if first < 0 {
		t.Fatal("nothing is shown that could be drawn again")
	}
	before := len(out.shown)
	move(t, s, out, out.slider(t, "cap height"), 11)
	if len(out.shown) != before+1 {
		t.Fatalf("one move shows %d pictures, want 1", len(out.shown)-before)
	}
	original, moved := out.shown[first], out.shown[before]
	if !moved.Update || moved.ID != original.ID || moved.Data["text/html"] == original.Data["text/html"] {
		t.Errorf("update %v of %q, want another drawing in the place of %q", moved.Update, moved.ID, original.ID)
	}
	// The forms that take long are made when the slider rests.
	s.Rest(t.Context(), out)
	rested := out.shown[len(out.shown)-1]
	if !rested.Update || rested.ID != original.ID || wordsOf(t, rested) != wordsOf(t, moved) ||
		rested.Data["image/png"] == nil || rested.Data["image/png"] == original.Data["image/png"] {
		t.Errorf("at rest: update %v of %q with %d forms, want the moved drawing with its PNG", rested.Update, rested.ID, len(rested.Data))
	}
	if out.streams != "" {
		t.Errorf("moving a slider prints %s", out.streams)
	}
}

// wordsOf are the texts of a drawing, each with its place.
func wordsOf(t *testing.T, d kernel.Display) string {
	t.Helper()
	page, _ := d.Data["text/html"].(string)
	_, page, _ = strings.Cut(page, "data:image/svg+xml;base64,")
	page, _, _ = strings.Cut(page, `"`)
	svg, err := base64.StdEncoding.DecodeString(page)
	if err != nil {
		t.Fatal(err)
	}
	texts := regexp.MustCompile(`<text.*</text>`).FindAllString(string(svg), -1)
	if len(texts) == 0 {
		t.Fatalf("no text in the drawing of %.200s", page)
	}
	return strings.Join(texts, "\n")
}

// BenchmarkRedraw is a slider move in the kernel alone: from the front end's
// message to the new picture of bodice and sleeve.
func BenchmarkRedraw(b *testing.B) {
	s, out := livelySession(b)
	id := out.slider(b, "cap height")
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		out.shown = out.shown[:0]
		move(b, s, out, id, 10+0.1*float64(i%30))
		if len(out.shown) != 1 || out.shown[0].Data["text/html"] == nil {
			b.Fatalf("%d pictures", len(out.shown))
		}
	}
}
