package patternkit

import (
	"math"
	"strings"
	"testing"
)

// loweredTop is a block with its top edge drawn at a fraction of the armhole,
// from the underarm: bodice and sleeve are cut at the same lengths.
func loweredTop(t testing.TB, p Pattern, fraction Length) Pattern {
	t.Helper()
	front := styleMust[Piece](t)(p.Piece("front"))
	if shoulder := styleMust[Length](t)(front.EdgeLength("armhole")); shoulder > 0 {
		side := styleMust[Length](t)(front.EdgeLength("side seam"))
		front = styleMust[Piece](t)(front.PivotDart("bust dart", DartMove{To: OnEdge{"side seam", side * 0.3}, Name: "side dart"}))
		p = styleMust[Pattern](t)(p.WithPiece(front))
	}
	cap := styleMust[Piece](t)(p.Piece("sleeve"))
	crown := styleMust[Length](t)(cap.EdgeLength("cap")) / 2
	p = styleMust[Pattern](t)(p.SplitEdge("sleeve", "cap", crown, "front cap", "back cap"))
	p = styleMust[Pattern](t)(p.SplitSeam("armhole", 1, 1, "front armhole", "back armhole"))
	var up [2]Length
	for i, name := range []string{"front", "back"} {
		piece := styleMust[Piece](t)(p.Piece(name))
		armhole := styleMust[Length](t)(piece.EdgeLength("armhole"))
		up[i] = armhole * fraction
		at := up[i]
		if name == "front" {
			at = armhole - at
		}
		level := styleMust[Point](t)(piece.PointOn("armhole", at))
		p = styleMust[Pattern](t)(p.Trim(Trim{Piece: name, Along: Line(Pt(level.X-1*M, level.Y), Pt(level.X+1*M, level.Y)), Keep: "waist", Edge: "top edge"}))
	}
	sleeve := styleMust[Piece](t)(p.Piece("sleeve"))
	back := styleMust[Length](t)(sleeve.EdgeLength("back cap"))
	a, b := styleMust[Point](t)(sleeve.PointOn("front cap", up[0])), styleMust[Point](t)(sleeve.PointOn("back cap", back-up[1]))
	return styleMust[Pattern](t)(p.Trim(Trim{Piece: "sleeve", Along: Line(a, b), Keep: "hem", Edge: "top edge"}))
}

// A top edge at half the armhole: the parts of armhole and sleeve head that
// are left walk to each other, nothing else is touched, and the top edge is
// one ring around the wearer.
func TestLoweredTop(t *testing.T) {
	b := demoBody(t)
	tried := 0
	for _, p := range stylePatterns(t) {
		if !strings.Contains(p.Name(), "direct") {
			continue
		}
		tried++
		q := loweredTop(t, p, 0.5)
		for _, s := range []string{"front armhole", "back armhole"} {
			row := styleMust[SeamRow](t)(seamRow(q, s))
			if row.Difference.Abs() > 1e-6 || row.LengthA < 5*CM {
				t.Errorf("%s: %s is %v and %v", p.Name(), s, row.LengthA, row.LengthB)
			}
			seam := styleMust[Seam](t)(q.Seam(s))
			seam.Ease = 0
			q = styleMust[Pattern](t)(q.WithSeam(seam))
		}
		if !q.Walk().OK() || len(q.Seams()) != 4 {
			t.Errorf("%s:\n%s", p.Name(), q.Walk())
		}
		check := styleMust[PullOnTable](t)(q.PullOn(b, Cloth{}))
		ring := styleMust[PullOnRow](t)(check.Row("top edge"))
		var want Length
		for _, name := range []string{"front", "back", "sleeve"} {
			piece := styleMust[Piece](t)(q.Piece(name))
			want += 2 * styleMust[Length](t)(piece.EdgeLength("top edge"))
		}
		if (ring.Girth-want).Abs() > 1e-6 || ring.OverHead.Over != "shoulders" || ring.Below.Over == "" {
			t.Errorf("%s: ring %+v, want %v", p.Name(), ring, want)
		}
	}
	if tried < 10 {
		t.Errorf("%d blocks tried", tried)
	}
}

// A dart that is pivoted away from the bust line turns its parts apart; the
// garment measures there what it measured.
func TestPivotedDartKeepsTheEase(t *testing.T) {
	b := demoBody(t)
	for _, p := range stylePatterns(t) {
		if !strings.Contains(p.Name(), "direct") {
			continue // the side waist dart of the other method is in the way
		}
		front := styleMust[Piece](t)(p.Piece("front"))
		moved := styleMust[Piece](t)(front.PivotDart("bust dart", DartMove{To: OnEdge{"side seam", 4 * CM}}))
		q := styleMust[Pattern](t)(p.WithPiece(moved))
		for _, level := range []string{"bust", "waist"} {
			was := styleMust[EaseRow](t)(styleMust[EaseTable](t)(p.Ease(b, Cloth{})).Row(level))
			is := styleMust[EaseRow](t)(styleMust[EaseTable](t)(q.Ease(b, Cloth{})).Row(level))
			if (was.Garment - is.Garment).Abs() > 0.5*MM {
				t.Errorf("%s: %s of %v became %v", p.Name(), level, was.Garment, is.Garment)
			}
		}
	}
}

func seamRow(p Pattern, name string) (SeamRow, error) {
	if _, err := p.Seam(name); err != nil {
		return SeamRow{}, err
	}
	for _, r := range p.Walk().Rows() {
		if r.Seam == name {
			return r, nil
		}
	}
	return SeamRow{}, nil
}

// What is kept and what is taken away make up the piece, on either side, and
// every edge that is kept whole has its length.
func TestTrimAtRandom(t *testing.T) {
	eachRandomCut(t, 13, func(p Pattern, piece Piece, c Cut) {
		cut := styleMust[Pattern](t)(p.Cut(c))
		for _, part := range []string{"one", "two"} {
			left := styleMust[Piece](t)(cut.Piece(part))
			other := styleMust[Piece](t)(cut.Piece(map[string]string{"one": "two", "two": "one"}[part]))
			keep := ""
			for _, name := range left.EdgeNames() {
				if _, err := other.Edge(name); err != nil && name != c.Seam {
					keep = name
				}
			}
			if keep == "" {
				continue
			}
			q, err := p.Trim(Trim{Piece: piece.Name(), Along: c.Along, Keep: keep, Edge: c.Seam})
			if err != nil {
				t.Fatal(err)
			}
			got := styleMust[Piece](t)(q.Piece(piece.Name()))
			if math.Abs(got.Area()-left.Area()) > 1e-6 || len(q.Pieces()) != len(p.Pieces()) {
				t.Errorf("area %v, want %v", got.Area(), left.Area())
			}
			styleSameLengths(t, "trimmed", left, got)
		}
	})
}

func TestTrimRefuses(t *testing.T) {
	p := stylePatterns(t)[0]
	back := styleMust[Piece](t)(p.Piece("back"))
	at := styleMust[Point](t)(back.PointOn("armhole", 9*CM))
	line := Line(Pt(-1*M, at.Y), Pt(1*M, at.Y))
	for _, tt := range []struct {
		trim Trim
		want string
	}{
		{Trim{"back", line, "hem", "top edge"}, `there is no edge "hem" to keep`},
		{Trim{"back", line, "armhole", "top edge"}, `the line cuts edge "armhole"`},
		{Trim{"back", line, "waist", ""}, "the seam has no name"},
		{Trim{"side", line, "waist", "top edge"}, `no piece "side"`},
	} {
		if _, err := p.Trim(tt.trim); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%+v: %v, want %q", tt.trim, err, tt.want)
		}
	}
	if _, err := p.SplitSeam("armhole", 1, 1, "a", "b"); err == nil || !strings.Contains(err.Error(), "split an edge first") {
		t.Errorf("split: %v", err)
	}
	if _, err := p.WithoutSeam("hem"); err == nil {
		t.Error("a seam that is not there is opened")
	}
	if q := styleMust[Pattern](t)(p.WithoutSeam("shoulder")); len(q.Seams()) != len(p.Seams())-1 {
		t.Errorf("%d seams", len(q.Seams()))
	}
}
