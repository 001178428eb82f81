package kernel

import "testing"

type restsOrMoves struct{}

func (restsOrMoves) HTML() string       { return "<p>at rest</p>" }
func (restsOrMoves) MovingHTML() string { return "<p>moving</p>" }

func TestMovingHTMLIsForQuickOnly(t *testing.T) {
	if got := Show(restsOrMoves{})[mimeHTML]; got != "<p>at rest</p>" {
		t.Errorf("at rest: %v", got)
	}
	if got := ShowQuick(restsOrMoves{})[mimeHTML]; got != "<p>moving</p>" {
		t.Errorf("moving: %v", got)
	}
}
