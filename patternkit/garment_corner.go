package patternkit

import "fmt"

// CasingCorners says what the casing does where the top edge crosses the two
// armhole seams: the angles of the cloth on both sides of the seam, how far the
// edge is from running straight on there, and whether the casing of each piece,
// turned, lies flat and meets seam to seam. Its ends are mirror images of what
// they come to lie on, so they do as long as the edge itself is straight.
func (g GatheredTop) CasingCorners() (Table, error) {
	t := Table{
		Title: "The top edge at the sleeve seams",
		Columns: []Column{{Head: "Seam"}, {Head: "Body (°)", Number: true}, {Head: "Sleeve (°)", Number: true}, {Head: "Together (°)", Number: true},
			{Head: "Turned casing (cm)"}, {Head: "What it lies on (cm)"}, {Head: "Found"}},
		Notes: []string{"Angles are measured through the cloth; 180° together runs straight on. A casing lies flat within 2 % of what it lies on (common practice, no source).",
			"Press the armhole seams open before the casing is turned, and sew the fold of each piece level with the next."},
	}
	if g.options.RunOn == 0 {
		t.Notes = append(t.Notes, "The sleeve head is left as it is cut, and leans more than the armhole: RunOn turns its ends until the edge runs on.")
	}
	flat := g.pattern.CheckAllowances()
	for _, h := range []string{"front", "back"} {
		s, err := g.pattern.Seam(h + " armhole")
		if err != nil {
			return Table{}, err
		}
		body, err := g.topCorner(h)
		if err != nil {
			return Table{}, err
		}
		sleeve, err := g.topCornerAt("sleeve", s.A[0].Edge)
		if err != nil {
			return Table{}, err
		}
		row := []string{s.Name, fmt.Sprintf("%.0f", body.Degrees()), fmt.Sprintf("%.0f", sleeve.Degrees()), fmt.Sprintf("%.0f", (body + sleeve).Degrees())}
		var turned, under string
		lies := true
		for _, piece := range []string{h, "sleeve"} {
			for _, r := range flat.rows {
				if r.Place == topEdge+" of "+piece {
					turned, under = joinedWords(turned, piece+" "+r.A), joinedWords(under, piece+" "+r.B)
					lies = lies && !r.Fault
				}
			}
		}
		t.Rows = append(t.Rows, append(row, turned, under, cornerFound(body+sleeve, lies)))
	}
	return t, nil
}

func joinedWords(a, b string) string {
	if a == "" {
		return b
	}
	return a + ", " + b
}

func cornerFound(angle Angle, lies bool) string {
	words := "the edge runs straight on"
	switch off := angle - cornerRunsOn; {
	case off > runOnTolerance:
		words = fmt.Sprintf("the edge dips in by %.0f° at the seam", off.Degrees())
	case off < -runOnTolerance:
		words = fmt.Sprintf("the edge juts out by %.0f° at the seam", -off.Degrees())
	}
	if lies {
		return words + "; each casing lies flat on its own piece and ends in the seam"
	}
	return "FAULT: " + words + "; a casing does not lie flat: straighten the edge, or take a narrower elastic"
}

// topCorner is the angle of a half at the armhole end of its top edge.
func (g GatheredTop) topCorner(half string) (Angle, error) {
	piece, err := g.pattern.Piece(half)
	if err != nil {
		return 0, err
	}
	last := g.pattern.neighbour(Along{Piece: half, Edge: topEdge}, true).Edge != piece.fold
	return g.pattern.endCorner(Along{Piece: half, Edge: topEdge}, last), nil
}

// topCornerAt is the angle of a piece where its top edge meets an edge.
func (g GatheredTop) topCornerAt(piece, edge string) (Angle, error) {
	a := Along{Piece: piece, Edge: topEdge}
	for _, last := range []bool{false, true} {
		if g.pattern.neighbour(a, last).Edge == edge {
			return g.pattern.endCorner(a, last), nil
		}
	}
	return 0, fmt.Errorf("piece %q: its top edge does not meet edge %q", piece, edge)
}
