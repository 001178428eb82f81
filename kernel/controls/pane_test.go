package controls

import (
	"slices"
	"strings"
	"testing"
)

func TestAsideAndClearOutput(t *testing.T) {
	p, f := newFake(true)
	p.Aside("the size chart")
	p.ClearOutput(true)
	p.ClearOutput(false)
	if !slices.Equal(f.log, []string{"page", "clear true", "clear false"}) || f.shown[0]["text/plain"] != "the size chart" {
		t.Errorf("told %v, shown %v", f.log, f.shown)
	}
}

func TestAsideInAPlainProgramPrints(t *testing.T) {
	var out strings.Builder
	p := NewPanel()
	p.front = &printer{out: &out}
	p.Aside("the size chart")
	p.ClearOutput(false)
	if out.String() != "the size chart\n" {
		t.Errorf("printed %q", out.String())
	}
}
