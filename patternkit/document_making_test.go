package patternkit

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// checkMaking holds an order of making against what any maker needs: every
// seam, dart and turned edge once; darts before their piece is sewn; a seam
// before what runs across its end, found here from the corners of the pieces.
// It returns how many seams had to be begun across one that comes later.
func checkMaking(t *testing.T, p Pattern, o MakingOptions) (crossed int) {
	t.Helper()
	m, err := p.Making(o)
	if err != nil {
		t.Fatal(err)
	}
	seams, darts, turned, touched := map[string]int{}, map[string]int{}, map[Along]int{}, map[string]int{}
	for i, s := range m.Steps() {
		if s.Title == "" || s.Words == "" || strings.Contains(s.Words, "%!") || strings.Contains(s.Words, "NaN") {
			t.Errorf("%s: step %d is %q: %q", p.Name(), i+1, s.Title, s.Words)
		}
		crossed += strings.Count(s.Words, "comes later: leave")
		for _, name := range s.Seams {
			if _, twice := seams[name]; twice {
				t.Errorf("%s: seam %q is sewn twice", p.Name(), name)
			}
			seams[name] = i + 1
		}
		for _, d := range s.Darts {
			if darts[d] != 0 {
				t.Errorf("%s: dart %q is sewn twice", p.Name(), d)
			}
			darts[d] = i + 1
		}
		for _, e := range s.Edges {
			e.Reversed = false
			if touched[e.Piece] == 0 {
				touched[e.Piece] = i + 1
			}
			if len(s.Seams) > 0 {
				continue
			}
			if turned[e] != 0 {
				t.Errorf("%s: %s of %s is turned twice", p.Name(), e.Edge, e.Piece)
			}
			turned[e] = i + 1
		}
	}
	if len(seams) != len(p.Seams()) {
		t.Errorf("%s: %d of %d seams are sewn", p.Name(), len(seams), len(p.Seams()))
	}
	for _, piece := range p.Pieces() {
		checkMakingOfPiece(t, p, piece, darts, turned, touched)
	}
	for _, s := range p.Seams() {
		checkBeforeWhatCrosses(t, p, s, seams, turned)
		if crossed == 0 {
			checkAfterWhatRunsIn(t, p, s, seams)
		}
	}
	return crossed
}

func checkMakingOfPiece(t *testing.T, p Pattern, piece Piece, darts map[string]int, turned map[Along]int, touched map[string]int) {
	t.Helper()
	for _, d := range piece.Darts() {
		at := darts[piece.Name()+" "+d.Name]
		if at == 0 || touched[piece.Name()] != 0 && touched[piece.Name()] < at {
			t.Errorf("%s: dart %q of %q is step %d, its piece is sewn in step %d", p.Name(), d.Name, piece.Name(), at, touched[piece.Name()])
		}
	}
	for _, a := range piece.Allowances() {
		edge := Along{Piece: piece.Name(), Edge: a.Edge}
		sewn := slices.ContainsFunc(p.Seams(), func(s Seam) bool { return s.touches(edge) })
		if a.Width > 0 && !sewn && turned[edge] == 0 {
			t.Errorf("%s: %q of %q has %s and is never turned", p.Name(), a.Edge, piece.Name(), a)
		}
	}
}

// checkBeforeWhatCrosses finds the corners in which a seam ends.
func checkBeforeWhatCrosses(t *testing.T, p Pattern, s Seam, seams map[string]int, turned map[Along]int) {
	t.Helper()
	corner := func(a Along, end bool) Point { return makingCorner(t, p, a, end) }
	for _, side := range [][]Along{s.A, s.B} {
		for last, a := range [2]Along{side[0], side[len(side)-1]} {
			at := corner(a, (last == 1) != a.Reversed)
			for edge, step := range turned {
				if edge.Piece == a.Piece && (corner(edge, false).Dist(at) < 1e-6 || corner(edge, true).Dist(at) < 1e-6) && step < seams[s.Name] {
					t.Errorf("%s: %s of %s is turned in step %d, seam %q ends on it and is sewn in step %d", p.Name(), edge.Edge, edge.Piece, step, s.Name, seams[s.Name])
				}
			}
		}
	}
}

func makingCorner(t *testing.T, p Pattern, a Along, end bool) Point {
	t.Helper()
	piece := styleMust[Piece](t)(p.Piece(a.Piece))
	parts := styleMust[[]Edge](t)(piece.Edge(a.Edge))
	if end {
		return parts[len(parts)-1].Path.End()
	}
	return parts[0].Path.Start()
}

// checkAfterWhatRunsIn finds the seams that end, on both of their sides, in the
// corners at which one stretch of a seam follows another: the shoulder in an
// armhole.
func checkAfterWhatRunsIn(t *testing.T, p Pattern, s Seam, seams map[string]int) (found int) {
	t.Helper()
	type corner struct {
		piece string
		at    Point
	}
	same := func(a, b corner) bool { return a.piece == b.piece && a.at.Dist(b.at) < 1e-6 }
	end := func(a Along, last bool) corner { return corner{a.Piece, makingCorner(t, p, a, last != a.Reversed)} }
	for _, side := range [][]Along{s.A, s.B} {
		for i := 1; i < len(side); i++ {
			from, to := end(side[i-1], true), end(side[i], false)
			for _, o := range p.Seams() {
				for last, ends := range [2][2]Along{{o.A[0], o.B[0]}, {o.A[len(o.A)-1], o.B[len(o.B)-1]}} {
					a, b := end(ends[0], last == 1), end(ends[1], last == 1)
					if o.Name == s.Name || from.piece == to.piece || !(same(a, from) && same(b, to) || same(a, to) && same(b, from)) {
						continue
					}
					found++
					if seams[o.Name] >= seams[s.Name] {
						t.Errorf("%s: seam %q runs into the middle of %q, which is sewn in step %d, and is itself step %d", p.Name(), o.Name, s.Name, seams[s.Name], seams[o.Name])
					}
				}
			}
		}
	}
	return found
}

// finished gives a pattern allowances, and folds to what nothing is sewn to.
func finished(t testing.TB, p Pattern) Pattern {
	t.Helper()
	p = styleMust[Pattern](t)(p.WithAllowances(1*CM, DoubleFoldHem("waist", 0.5*CM, 0.5*CM), Hem("hem", 2*CM)))
	return p
}

func stepOf(t testing.TB, m Making, words string) int {
	t.Helper()
	for i, s := range m.Steps() {
		if strings.Contains(strings.ToLower(s.Title), words) {
			return i + 1
		}
	}
	t.Fatalf("no step %q in\n%s", words, m)
	return 0
}

// The order of a block with set-in sleeves, flat and in the round, is that of
// the trade (common practice, no source).
func TestMakingOfABlock(t *testing.T) {
	p := finished(t, stylePatterns(t)[0])
	for _, tt := range []struct {
		round bool
		order []string
	}{
		{false, []string{"darts of the back", "darts of the front", "shoulder", "armhole", "side seam and underarm, in one", "neckline", "waist", "hem of the sleeve"}},
		{true, []string{"darts of the back", "darts of the front", "shoulder", "side seam", "underarm", "armhole", "neckline", "waist", "hem of the sleeve"}},
	} {
		o := MakingOptions{SleevesInTheRound: tt.round}
		checkMaking(t, p, o)
		m := styleMust[Making](t)(p.Making(o))
		if n := checkAfterWhatRunsIn(t, p, styleMust[Seam](t)(p.Seam("armhole")), map[string]int{"armhole": 99}); n != 1 {
			t.Errorf("%d seams run into the armhole, want the shoulder", n)
		}
		if len(m.Steps()) != len(tt.order) {
			t.Errorf("%d steps, want %d:\n%s", len(m.Steps()), len(tt.order), m)
		}
		for i, words := range tt.order {
			if at := stepOf(t, m, words); at != i+1 {
				t.Errorf("in the round %v: %q is step %d, want %d", tt.round, words, at, i+1)
			}
		}
		armhole := m.Steps()[stepOf(t, m, "armhole")-1].Words
		if tt.round != strings.Contains(armhole, "In the round") {
			t.Errorf("in the round %v: %s", tt.round, armhole)
		}
		for _, want := range []string{`both notches "front"`, `both double notches "back"`, `the notch "shoulder" and the shoulder seam`, "ease that in without folds", `between "front" and "shoulder"`, "toward the sleeve", "1.0 cm (3/8 in) from the cut edges", "twice"} {
			if !strings.Contains(armhole, want) {
				t.Errorf("want %q in %q", want, armhole)
			}
		}
	}
}

// A faced and lined block: what lies within is sewn together before it is sewn
// in, the facing goes on after the shoulders, in one around the neck, and what
// hangs free is sewn down last.
func TestMakingOfAFacedBlock(t *testing.T) {
	p := stylePatterns(t)[0]
	p = styleMust[Pattern](t)(p.WithFacing(Facing{Name: "neckline facing", Edges: []Along{{Piece: "front", Edge: "neckline"}, {Piece: "back", Edge: "neckline"}}, Width: 5 * CM}))
	p = finished(t, styleMust[Pattern](t)(p.WithLining("front", "back")))
	checkMaking(t, p, MakingOptions{})
	m := styleMust[Making](t)(p.Making(MakingOptions{}))
	before := 0
	for _, words := range []string{"shoulder", "armhole", "side seam and underarm, in one", "shoulder of the neckline facing", "front neckline facing to the lining",
		"side seam of the lining", "front neckline facing and back neckline facing, in one", "finish of the armhole", "hem of the sleeve"} {
		at := stepOf(t, m, words)
		if at <= before {
			t.Errorf("%q is step %d, want it after step %d:\n%s", words, at, before, m)
		}
		before = at
	}
	text := m.String()
	if n := strings.Count(text, "Fold a dart through its middle"); n != 1 {
		t.Errorf("how a dart is sewn is told %d times", n)
	}
	facing := m.Steps()[stepOf(t, m, "front neckline facing and back")-1].Words
	if !strings.Contains(facing, "Clip the allowances") || strings.Contains(facing, "twice") {
		t.Errorf("around the neck: %s", facing)
	}
	if lining := m.Steps()[stepOf(t, m, "finish of the armhole")-1].Words; !strings.Contains(lining, "sew it by hand") {
		t.Errorf("the armhole of the lining: %s", lining)
	}
}

// A back that is cut twice and sewn down its middle: the seam is sewn once, on
// its other half.
func TestMakingOfACentreSeam(t *testing.T) {
	back := styleMust[Piece](t)(NewPiece("back", Edge{"hem", Line(Pt(0, 0), Pt(30*CM, 0))}, Edge{"side", Line(Pt(30*CM, 0), Pt(30*CM, 60*CM))},
		Edge{"top", Line(Pt(30*CM, 60*CM), Pt(0, 60*CM))}, Edge{"centre back", Line(Pt(0, 60*CM), Pt(0, 0))}))
	back = styleMust[Piece](t)(back.WithQuantity(2, "a pair"))
	p := styleMust[Pattern](t)(NewPattern("cape", back,
		Seam{Name: "centre back seam", A: []Along{{"back", "centre back", false}}, B: []Along{{"back", "centre back", false}}}))
	p = styleMust[Pattern](t)(p.WithAllowances(1*CM, Hem("hem", 2*CM)))
	checkMaking(t, p, MakingOptions{})
	m := styleMust[Making](t)(p.Making(MakingOptions{}))
	seam := m.Steps()[0].Words
	if !strings.Contains(seam, "on that of the other half") || strings.Contains(seam, "twice") {
		t.Errorf("the centre back: %s", seam)
	}
}

// A waistband, half of it on the fold, is sewn on once around; too wide a
// waist is gathered, and its end is not hemmed before.
func TestMakingOfASkirt(t *testing.T) {
	p := finishedAll(t, skirt(t, 10*MM, 30*CM))
	checkMaking(t, p, MakingOptions{})
	m := styleMust[Making](t)(p.Making(MakingOptions{}))
	waist := m.Steps()[stepOf(t, m, "waist")-1].Words
	for _, want := range []string{"Gather the waist of the front and the back", "drawn up from 38.1 cm (15 in) to 30.0 cm (11 3/4 in)", "do the same on the other", `Match the notch "side seam" and the side seam`} {
		if strings.Contains(waist, "twice") || !strings.Contains(waist, want) {
			t.Errorf("want %q in %q", want, waist)
		}
	}
	if stepOf(t, m, "side seam") > stepOf(t, m, "waist") {
		t.Errorf("the waistband before the side seam:\n%s", m)
	}
}

// Four squares of a quilt whose two long seams run across each other, so that
// each waits for the other: one is begun and says where to stop.
func TestMakingOfARing(t *testing.T) {
	square := func(name string, x, y Length) Piece {
		x, y = x*20*CM, y*20*CM
		return styleMust[Piece](t)(NewPiece(name, Edge{"bottom", Line(Pt(x, y), Pt(x+20*CM, y))}, Edge{"right", Line(Pt(x+20*CM, y), Pt(x+20*CM, y+20*CM))},
			Edge{"top", Line(Pt(x+20*CM, y+20*CM), Pt(x, y+20*CM))}, Edge{"left", Line(Pt(x, y+20*CM), Pt(x, y))}))
	}
	squares := []Part{square("sw", 0, 0), square("se", 1, 0), square("nw", 0, 1), square("ne", 1, 1)}
	level := Seam{Name: "level", A: []Along{{"sw", "top", true}, {"se", "top", true}}, B: []Along{{"nw", "bottom", false}, {"ne", "bottom", false}}}
	upright := Seam{Name: "upright", A: []Along{{"sw", "right", false}, {"nw", "right", false}}, B: []Along{{"se", "left", true}, {"ne", "left", true}}}
	both := styleMust[Pattern](t)(NewPattern("quilt", append(squares, level, upright)...))
	if crossed := checkMaking(t, finishedAll(t, both), MakingOptions{}); crossed != 1 {
		t.Errorf("%d seams are begun across one that comes later, want 1", crossed)
	}
	south := Seam{Name: "south", A: upright.A[:1], B: upright.B[:1]}
	north := Seam{Name: "north", A: upright.A[1:], B: upright.B[1:]}
	rows := finishedAll(t, styleMust[Pattern](t)(NewPattern("quilt in rows", append(squares, level, south, north)...)))
	if crossed := checkMaking(t, rows, MakingOptions{}); crossed != 0 {
		t.Errorf("%d seams are begun across one that comes later, want none", crossed)
	}
	m := styleMust[Making](t)(rows.Making(MakingOptions{}))
	if at := stepOf(t, m, "level"); at != 3 {
		t.Errorf("the long seam is step %d, want 3, after both rows:\n%s", at, m)
	}
}

func finishedAll(t testing.TB, p Pattern) Pattern {
	t.Helper()
	return styleMust[Pattern](t)(p.WithAllowances(1 * CM))
}

// Blocks of many bodies after style operations at random: cut, faced, lined,
// opened out, lowered, pleated. The order is whole whatever they have become.
func TestMakingOfAnyPattern(t *testing.T) {
	kinds, crossed := map[string]int{}, 0
	for i, p := range stylePatterns(t) {
		for n := range 4 {
			r := styleRandom(uint64(100*i + n))
			q := p
			for range 1 + r.IntN(5) {
				kind, next, err := makingRandom(q, r)
				if err == nil {
					q, kinds[kind] = next, kinds[kind]+1
				}
			}
			q = foldedAtRandom(t, finishedAll(t, q), r)
			crossed += checkMaking(t, q, MakingOptions{SleevesInTheRound: n%2 == 1})
		}
	}
	for _, kind := range []string{"cut", "facing", "lining", "unfold", "lower", "pleat", "widen"} {
		if kinds[kind] < 3 {
			t.Errorf("%s was tried %d times", kind, kinds[kind])
		}
	}
	t.Logf("operations %v; %d seams begun across one that comes later", kinds, crossed)
}

// foldedAtRandom gives edges hems, double hems, casings or none.
func foldedAtRandom(t *testing.T, p Pattern, r *rand.Rand) Pattern {
	t.Helper()
	casing := styleMust[Casing](t)(NewCasing("any", Inch/2, Inch/8))
	for _, piece := range p.Pieces() {
		for _, edge := range piece.EdgeNames() {
			if edge == piece.Fold() || piece.isMouth(edge) {
				continue
			}
			casing.Edge = edge
			next, err := piece, error(nil)
			switch r.IntN(5) {
			case 0:
				next, err = piece.WithAllowance(Hem(edge, 2*CM))
			case 1:
				next, err = piece.WithAllowance(DoubleFoldHem(edge, 5*MM, 15*MM))
			case 2:
				next, err = piece.WithAllowance(Allowance{Edge: edge})
			case 3:
				next, err = piece.WithCasing(casing)
			}
			if err == nil {
				piece = next
			}
		}
		p = styleMust[Pattern](t)(p.WithPiece(piece))
	}
	return p
}

// loweredAtRandom pivots the bust dart to the side and lowers the top, where
// the pattern is still one that has them.
func loweredAtRandom(p Pattern) (Pattern, error) {
	front, err := p.Piece("front")
	if err != nil {
		return p, err
	}
	side, err := front.EdgeLength("side seam")
	if err != nil {
		return p, err
	}
	if front, err = front.PivotDart("bust dart", DartMove{To: OnEdge{"side seam", side * 0.3}, Name: "side dart"}); err != nil {
		return p, err
	}
	if p, err = p.WithPiece(front); err != nil {
		return p, err
	}
	return p.LowerTop("armhole", 0.5, "top")
}

func makingRandom(p Pattern, r *rand.Rand) (string, Pattern, error) {
	pieces := p.Pieces()
	piece := pieces[r.IntN(len(pieces))]
	box := piece.Bounds()
	at := func() Point {
		return Pt(box.Min.X+box.Width()*Length(r.Float64()*1.4-0.2), box.Min.Y+box.Height()*Length(r.Float64()*1.4-0.2))
	}
	name := string(rune('a' + r.IntN(26)))
	edges := piece.EdgeNames()
	edge := edges[r.IntN(len(edges))]
	switch r.IntN(8) {
	case 0, 1:
		a, b := at(), at()
		d := b.Sub(a).Unit().Scale(float64(2 * (box.Width() + box.Height())))
		q, err := p.Cut(Cut{Piece: piece.Name(), Along: Line(a.Sub(d), b.Add(d)), Left: piece.Name() + " l" + name, Right: piece.Name() + " r" + name, Seam: "line " + name})
		return "cut", q, err
	case 2:
		faced := []Along{{Piece: piece.Name(), Edge: edge}}
		if strings.Contains(edge, "neckline") {
			faced = []Along{{Piece: "front", Edge: "neckline"}, {Piece: "back", Edge: "neckline"}}
		}
		q, err := p.WithFacing(Facing{Name: "facing " + name, Edges: faced, Width: 4 * CM})
		return "facing", q, err
	case 3:
		q, err := p.WithLining(piece.Name())
		return "lining", q, err
	case 4:
		q, err := p.Unfold(piece.Name())
		return "unfold", q, err
	case 5:
		q, err := loweredAtRandom(p)
		return "lower", q, err
	case 6:
		to := edges[r.IntN(len(edges))]
		length, _ := piece.EdgeLength(edge)
		length2, _ := piece.EdgeLength(to)
		q, err := piece.Pleated(PleatAt{Name: "pleat " + name, Kind: PleatKind(r.IntN(4)), From: OnEdge{edge, length * Length(r.Float64())},
			To: OnEdge{to, length2 * Length(r.Float64())}, Depth: 1 * CM})
		if err != nil {
			return "pleat", p, err
		}
		out, err := p.WithPieceEased(q)
		return "pleat", out, err
	}
	q, err := piece.WidenAtFold(5 * CM)
	if err != nil {
		return "widen", p, err
	}
	out, err := p.WithPieceEased(q)
	return "widen", out, err
}
