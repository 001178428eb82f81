package patternkit

import (
	"math"
	"strings"
	"testing"
)

var neckFacing = Facing{Name: "neckline facing", Edges: []Along{{Piece: "front", Edge: "neckline"}, {Piece: "back", Edge: "neckline"}}, Width: 4 * CM}

// Facing and lining make up the piece; the inner edge is everywhere 4 cm from
// the neckline; facings meet each other, their pieces and the lining, and
// nothing of the outside has changed.
func TestFacingAndLining(t *testing.T) {
	b := demoBody(t)
	for _, p := range stylePatterns(t) {
		faced, err := p.WithFacing(neckFacing)
		if err != nil {
			t.Fatalf("%s: %v", p.Name(), err)
		}
		lined := styleMust[Pattern](t)(faced.WithLining("front", "back"))
		for _, name := range []string{"front", "back"} {
			piece := styleMust[Piece](t)(p.Piece(name))
			facing := styleMust[Piece](t)(lined.Piece(name + " neckline facing"))
			lining := styleMust[Piece](t)(lined.Piece(name + " lining"))
			if off := facing.Area() + lining.Area() - piece.Area(); math.Abs(off) > 1e-2 {
				t.Errorf("%s %s: areas differ by %v mm²", p.Name(), name, off)
			}
			if facing.Fold() != piece.Fold() || lining.Fold() != piece.Fold() || lining.Material() != "lining" {
				t.Errorf("%s %s: fold %q and %q", p.Name(), name, facing.Fold(), lining.Fold())
			}
			neck, inner := styleMust[[]Edge](t)(piece.Edge("neckline"))[0].Path, styleMust[[]Edge](t)(facing.Edge(innerEdge))[0].Path
			for k := range 41 {
				q := inner.At(inner.Length() * Length(k) / 40)
				s, _ := neck.Nearest(q)
				if d := neck.Dist(q); s > 1*MM && s < neck.Length()-1*MM && (d-4*CM).Abs() > 0.05*MM {
					t.Errorf("%s %s: the inner edge is %v from the neckline, want 4 cm", p.Name(), name, d)
				}
			}
		}
		rows := map[string]SeamRow{}
		for _, r := range lined.Walk().Rows() {
			rows[r.Seam] = r
			if r.Fault && !strings.HasPrefix(r.Seam, "shoulder of the neckline") {
				t.Errorf("%s: %s: %s", p.Name(), r.Seam, r.Verdict)
			}
		}
		for _, seam := range []string{"front neckline facing", "back neckline facing", "shoulder of the neckline facing", "shoulder of the lining",
			"side seam of the lining", "front neckline facing to the lining", "back neckline facing to the lining"} {
			if _, ok := rows[seam]; !ok {
				t.Errorf("%s: there is no seam %q", p.Name(), seam)
			}
		}
		if s := rows["shoulder of the neckline facing"]; s.Difference.Abs() > 1*MM {
			t.Errorf("%s: the facings meet at the shoulder with %v and %v", p.Name(), s.LengthA, s.LengthB)
		}
		for _, pair := range [][2]string{
			{styleMust[EaseTable](t)(p.Ease(b, Cloth{})).String(), styleMust[EaseTable](t)(lined.Ease(b, Cloth{})).String()},
			{styleMust[PullOnTable](t)(p.PullOn(b, Cloth{})).String(), styleMust[PullOnTable](t)(lined.PullOn(b, Cloth{})).String()},
		} {
			if pair[0] != pair[1] {
				t.Errorf("%s: a facing and a lining have changed\n%s\nto\n%s", p.Name(), pair[0], pair[1])
			}
		}
	}
}

// A waist facing is traced with the darts of the waist folded shut: it has
// none, is as long as the waist with its darts closed and everywhere 4 cm wide,
// and the lining beyond it keeps the darts, shorter.
func TestWaistFacingWithDartsShut(t *testing.T) {
	facing := Facing{Name: "waist facing", Edges: []Along{{Piece: "front", Edge: "waist"}, {Piece: "back", Edge: "waist"}}, Width: 4 * CM}
	darts := 0
	for _, p := range stylePatterns(t) {
		faced, err := p.WithFacing(facing)
		if err != nil {
			t.Fatalf("%s: %v", p.Name(), err)
		}
		lined := styleMust[Pattern](t)(faced.WithLining("front", "back"))
		for _, name := range []string{"front", "back"} {
			piece := styleMust[Piece](t)(p.Piece(name))
			strip, lining := styleMust[Piece](t)(lined.Piece(name+" waist facing")), styleMust[Piece](t)(lined.Piece(name+" lining"))
			if len(strip.Darts()) != 0 || len(lining.Darts()) != len(piece.Darts()) {
				t.Errorf("%s %s: %d darts in the facing, %d in the lining", p.Name(), name, len(strip.Darts()), len(lining.Darts()))
			}
			darts += len(lining.Darts())
			if off := strip.Area() + lining.Area() + shutWedges(piece, lining) - piece.Area(); math.Abs(off) > 1e-2 {
				t.Errorf("%s %s: areas differ by %v mm²", p.Name(), name, off)
			}
			waist := styleMust[[]Edge](t)(strip.Edge("waist"))
			was := styleMust[Length](t)(piece.EdgeLength("waist"))
			if len(waist) != 1 || (waist[0].Path.Length()-was).Abs() > 1e-6 {
				t.Errorf("%s %s: a waist of %v in %d parts, want %v", p.Name(), name, waist[0].Path.Length(), len(waist), was)
			}
			inner := styleMust[[]Edge](t)(strip.Edge(innerEdge))[0].Path
			for k := range 41 {
				q := inner.At(inner.Length() * Length(k) / 40)
				s, _ := waist[0].Path.Nearest(q)
				if d := waist[0].Path.Dist(q); s > 1*MM && s < was-1*MM && (d < 3.995*CM || d > 4.05*CM) { // a corner is mitred over the kink at a shut dart
					t.Errorf("%s %s: the inner edge is %v from the waist, want 4 cm", p.Name(), name, d)
				}
			}
			if strip.Fold() != piece.Fold() {
				t.Errorf("%s %s: on the fold is %q", p.Name(), name, strip.Fold())
			}
		}
		for _, r := range lined.Walk().Rows() {
			if r.Fault && !strings.HasPrefix(r.Seam, "side seam of the waist facing") {
				t.Errorf("%s: %s: %s", p.Name(), r.Seam, r.Verdict)
			}
		}
	}
	if darts < 100 {
		t.Errorf("%d darts lay in the way", darts)
	}
	facing.Width = 20 * CM
	if _, err := stylePatterns(t)[0].WithFacing(facing); err == nil || !strings.Contains(err.Error(), "waist dart") {
		t.Errorf("a facing as wide as its dart is long: %v", err)
	}
}

// A strip along a straight hem is a rectangle, worked by hand; a facing of two
// edges runs around their corner.
func TestFacingByHand(t *testing.T) {
	panel := styleMust[Piece](t)(NewPiece("panel",
		Edge{"hem", Line(Pt(0, 0), Pt(30*CM, 0))}, Edge{"side", Line(Pt(30*CM, 0), Pt(30*CM, 40*CM))},
		Edge{"top", Line(Pt(30*CM, 40*CM), Pt(0, 40*CM))}, Edge{"centre", Line(Pt(0, 40*CM), Pt(0, 0))}))
	p := styleMust[Pattern](t)(NewPattern("apron", panel))
	q := styleMust[Pattern](t)(p.WithFacing(Facing{Name: "hem facing", Edges: []Along{{Piece: "panel", Edge: "hem"}}, Width: 5 * CM}))
	if a := styleMust[Piece](t)(q.Piece("panel hem facing")).Area(); math.Abs(a-300*50) > 1e-6 {
		t.Errorf("area %v mm², want 300 by 50", a)
	}
	q = styleMust[Pattern](t)(p.WithFacing(Facing{Name: "corner facing", Edges: []Along{{Piece: "panel", Edge: "side"}, {Piece: "panel", Edge: "hem"}}, Width: 5 * CM}))
	if a := styleMust[Piece](t)(q.Piece("panel corner facing")).Area(); math.Abs(a-(300*50+350*50)) > 1e-6 {
		t.Errorf("area %v mm², want the strips of hem and side", a)
	}
	skirt := styleMust[Pattern](t)(NewPattern("skirt", trapezoid(t, "front")))
	flared := styleMust[Pattern](t)(skirt.WithFacing(Facing{Name: "hem facing", Edges: []Along{{Piece: "front", Edge: "hem"}}, Width: 5 * CM}))
	for _, row := range flared.Corners().Rows() {
		if strings.Contains(row.Place, "side seam") {
			t.Errorf("a side seam is to run on into its facing: %+v", row)
		}
	}
	for _, tt := range []struct {
		f    Facing
		want string
	}{
		{Facing{Name: "strip", Edges: []Along{{Piece: "panel", Edge: "hem"}}, Width: 5 * CM}, "with the word facing in it"},
		{Facing{Name: "facing", Width: 5 * CM}, "has no edges"},
		{Facing{Name: "facing", Edges: []Along{{Piece: "panel", Edge: "hem"}}, Width: 4}, "Width is 0.4 cm, want 0.5 cm to 60 cm"},
		{Facing{Name: "facing", Edges: []Along{{Piece: "panel", Edge: "hem"}}, Width: 50 * CM}, "does not fit into the piece"},
		{Facing{Name: "facing", Edges: []Along{{Piece: "panel", Edge: "neckline"}}, Width: 5 * CM}, `no edge "neckline"`},
		{Facing{Name: "facing", Edges: []Along{{Piece: "front", Edge: "hem"}}, Width: 5 * CM}, `no piece "front"`},
		{Facing{Name: "facing", Edges: []Along{{Piece: "panel", Edge: "hem"}, {Piece: "panel", Edge: "top"}}, Width: 5 * CM}, "do not lie one after the other"},
		{Facing{Name: "facing", Edges: []Along{{Piece: "panel", Edge: "hem"}, {Piece: "panel", Edge: "side"}, {Piece: "panel", Edge: "top"}, {Piece: "panel", Edge: "centre"}}, Width: 5 * CM}, "go all around"},
	} {
		if _, err := p.WithFacing(tt.f); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%+v: %v, want %q", tt.f, err, tt.want)
		}
	}
	for want, pieces := range map[string][]string{"no pieces are named": nil, `no piece "front"`: {"front"}, "lies within the garment": {"panel corner facing"}} {
		if _, err := q.WithLining(pieces...); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v: %v, want %q", pieces, err, want)
		}
	}
}
