package patternkit

import (
	"math"
	"strings"
	"testing"
)

// Both halves of an unfolded block have the lengths of the half, every seam is
// there twice and walks as it did, and the garment measures what it measured.
func TestUnfoldTheBlocks(t *testing.T) {
	b := demoBody(t)
	for _, p := range stylePatterns(t) {
		var folded []string
		for _, piece := range p.Pieces() {
			if piece.Fold() != "" {
				folded = append(folded, piece.Name())
			}
		}
		q := styleMust[Pattern](t)(p.Unfold(folded...))
		for _, name := range folded {
			was, is := styleMust[Piece](t)(p.Piece(name)), styleMust[Piece](t)(q.Piece(name))
			checkUnfolded(t, was, is)
		}
		rows := map[string]SeamRow{}
		for _, r := range q.Walk().Rows() {
			rows[r.Seam] = r
		}
		for _, was := range p.Walk().Rows() {
			if was.Seam == "underarm" {
				continue
			}
			for _, half := range []string{"right ", "left "} {
				is, ok := rows[half+was.Seam]
				if !ok || is.Fault != was.Fault || (is.Difference-was.Difference).Abs() > 1e-6 || (is.LengthA-was.LengthA).Abs() > 1e-6 {
					t.Errorf("%s: %s%s: %+v, was %+v", p.Name(), half, was.Seam, is, was)
				}
			}
		}
		before, after := styleMust[EaseTable](t)(p.Ease(b, Cloth{})), styleMust[EaseTable](t)(q.Ease(b, Cloth{}))
		for i, r := range before.Rows() {
			if got := after.Rows()[i]; got.Level != r.Level || (got.Garment-r.Garment).Abs() > 1e-6 {
				t.Errorf("%s: %+v became %+v", p.Name(), r, got)
			}
		}
		on, still := styleMust[PullOnTable](t)(p.PullOn(b, Cloth{})), styleMust[PullOnTable](t)(q.PullOn(b, Cloth{}))
		for _, ring := range []string{"neckline", "sleeve hem"} {
			was, is := styleMust[PullOnRow](t)(on.Row(ring)), styleMust[PullOnRow](t)(still.Row(ring))
			if (was.Girth-is.Girth).Abs() > 1e-6 || was.Verdict != is.Verdict {
				t.Errorf("%s: ring %+v became %+v", p.Name(), was, is)
			}
		}
	}
}

func checkUnfolded(t *testing.T, was, is Piece) {
	t.Helper()
	if math.Abs(is.Area()-2*was.Area()) > 1e-3 || is.Fold() != "" {
		t.Errorf("%s: area %v of a half of %v, on the fold %q", is.Name(), is.Area(), was.Area(), is.Fold())
	}
	neck, half := styleMust[Length](t)(is.EdgeLength("neckline")), styleMust[Length](t)(was.EdgeLength("neckline"))
	if (neck - 2*half).Abs() > 1e-6 {
		t.Errorf("%s: neckline %v, want twice %v", is.Name(), neck, half)
	}
	for _, side := range []string{"right ", "left "} {
		for _, name := range []string{"armhole", "shoulder", "side seam"} {
			a, b := styleMust[Length](t)(was.EdgeLength(name)), styleMust[Length](t)(is.EdgeLength(side+name))
			if (a-b).Abs() > 1e-6 || is.Origin(side+name) != name {
				t.Errorf("%s: %s%s is %v of %q, want %v", is.Name(), side, name, b, is.Origin(side+name), a)
			}
		}
	}
	if n := len(is.Darts()); n != 2*len(was.Darts()) {
		t.Errorf("%s: %d darts of %d", is.Name(), n, len(was.Darts()))
	}
	if n := len(is.Notches()); n != 2*len(was.Notches()) {
		t.Errorf("%s: %d notches of %d", is.Name(), n, len(was.Notches()))
	}
	if n := len(is.Internals()); n != len(was.Internals()) || (internalLength(is)-2*internalLength(was)).Abs() > 1e-6 {
		t.Errorf("%s: %d lines of %v, want %d of twice the length", is.Name(), n, internalLength(is), len(was.Internals()))
	}
}

// Unfolded one after the other or at once, the pieces are the same.
func TestUnfoldInTurn(t *testing.T) {
	p := stylePatterns(t)[0]
	once := styleMust[Pattern](t)(p.Unfold("front", "back"))
	turn := styleMust[Pattern](t)(styleMust[Pattern](t)(p.Unfold("back")).Unfold("front"))
	if a, b := once.Walk().String(), turn.Walk().String(); a != b {
		t.Errorf("at once\n%s\nin turn\n%s", a, b)
	}
}

func TestUnfoldRefuses(t *testing.T) {
	p := stylePatterns(t)[0]
	for name, want := range map[string]string{"sleeve": "does not lie on the fold", "yoke": `no piece "yoke"`} {
		if _, err := p.Unfold(name); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A piece turned over twice is itself.
func TestMirroredTwice(t *testing.T) {
	for _, p := range stylePatterns(t)[0].Pieces() {
		q := styleMust[Piece](t)(p.Mirrored())
		if q.Bounds().Center().Dist(p.Bounds().Center()) > 1e-6 {
			t.Errorf("%s has moved", p.Name())
		}
		checkSamePiece(t, p, styleMust[Piece](t)(q.Mirrored()))
	}
}

// Pleats, pressed darts and allowances come along when a piece is unfolded, and
// when it is cut beside them and joined again.
func TestFoldsAndAllowancesComeAlong(t *testing.T) {
	p := trapezoid(t, "front")
	p = styleMust[Piece](t)(p.Pleated(PleatAt{Name: "knife", From: OnEdge{"waist", 8 * CM}, To: OnEdge{"hem", 14 * CM}, Kind: KnifePleat, Depth: 2 * CM}))
	p = styleMust[Piece](t)(p.WithAllowance(Hem("hem", 4*CM), Allowance{Edge: "side seam", Width: 2 * CM}))
	p = styleMust[Piece](t)(p.WithAllowanceEverywhere(1 * CM))
	skirt := styleMust[Pattern](t)(NewPattern("skirt", p))
	whole := styleMust[Piece](t)(styleMust[Pattern](t)(skirt.Unfold("front")).Piece("front"))
	if len(whole.Pleats()) != 2*len(p.Pleats()) {
		t.Errorf("pleats %+v", whole.Pleats())
	}
	for edge, want := range map[string]Length{"hem": 4 * CM, "right side seam": 2 * CM, "left side seam": 2 * CM, "waist": 1 * CM} {
		if a := styleMust[Allowance](t)(whole.Allowance(edge)); a.Width != want {
			t.Errorf("allowance of %q is %v, want %v", edge, a, want)
		}
	}
	if waist, half := styleMust[Length](t)(whole.EdgeLength("waist")), styleMust[Length](t)(p.EdgeLength("waist")); (waist - 2*half).Abs() > 1e-6 {
		t.Errorf("waist %v folded, want twice %v", waist, half)
	}
	r, tried := styleRandom(14), 0
	for range 40 {
		along, ok := randomCut(r, p)
		if !ok {
			continue
		}
		cut, err := skirt.Cut(Cut{Piece: "front", Along: along, Left: "one", Right: "two", Seam: "style line"})
		if err != nil {
			if !strings.Contains(err.Error(), "pleat") && !strings.Contains(err.Error(), "folded away") {
				t.Error(err)
			}
			continue
		}
		tried++
		one, two := styleMust[Piece](t)(cut.Piece("one")), styleMust[Piece](t)(cut.Piece("two"))
		if n := len(one.Pleats()) + len(two.Pleats()); n != len(p.Pleats()) {
			t.Errorf("%d pleats on the parts", n)
		}
		back := styleMust[Piece](t)(styleMust[Pattern](t)(cut.Join("style line", "front")).Piece("front"))
		checkSamePiece(t, p, back)
		if len(back.Pleats()) != len(p.Pleats()) {
			t.Errorf("%d pleats after joining", len(back.Pleats()))
		}
		for _, edge := range p.EdgeNames() {
			if p.isMouth(edge) || edge == p.Fold() {
				continue
			}
			if a, b := styleMust[Allowance](t)(p.Allowance(edge)), styleMust[Allowance](t)(back.Allowance(edge)); a.String() != b.String() {
				t.Errorf("allowance of %q: %v became %v", edge, a, b)
			}
		}
	}
	if tried < 5 {
		t.Errorf("%d cuts tried", tried)
	}
}
