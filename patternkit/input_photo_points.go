package patternkit

import (
	"fmt"
	"slices"

	"patternkit/patternkit/geom"
)

// PhotoPoints are points measured in a photograph, shown as a table.
type PhotoPoints struct {
	photo Photograph
	rows  []PhotoPoint
}

// A PhotoPoint is a point measured in a photograph, in millimetres from the
// sheet's lower left corner, y up.
type PhotoPoint struct {
	Name   string
	At     Point
	Pixel  Length // how far a misreading of the point by one pixel moves it
	Corner Length // how far it moves when a corner of the sheet is misread by one pixel
	Beyond Length // how far it lies outside the sheet
}

// verdict is "ok", or why the point is not to be trusted to two millimetres.
func (q PhotoPoint) verdict(sheet geom.Rect) string {
	far := photoSheetsAway * max(sheet.Width(), sheet.Height())
	switch {
	case max(q.Pixel, q.Corner) > photoWarnsAt:
		return fmt.Sprintf("coarse: a pixel is more than %.0f mm", photoWarnsAt.MM())
	case q.Beyond > far:
		return fmt.Sprintf("far: more than %s from the sheet", far)
	}
	return "ok"
}

// Rows returns the points in the order in which they were read.
func (p PhotoPoints) Rows() []PhotoPoint { return slices.Clone(p.rows) }

// Named returns the points that have a name: where the edges of a Trace begin.
func (p PhotoPoints) Named() []NamedPoint {
	var named []NamedPoint
	for _, r := range p.rows {
		if r.Name != "" {
			named = append(named, NamedPoint{r.Name, r.At})
		}
	}
	return named
}

// Outline returns the closed path through all points, for a Trace: from one
// name to the next it is one smooth curve, so that few points show a curve; a
// line where there is none between. It fails for fewer than three points, and
// where less than two have names.
func (p PhotoPoints) Outline() (Path, error) {
	first := slices.IndexFunc(p.rows, func(r PhotoPoint) bool { return r.Name != "" })
	if named := len(p.Named()); len(p.rows) < 3 || named < 2 {
		return Path{}, fmt.Errorf("outline through %d points of a photograph, %d of them with a name, want at least 3, and a name where each of at least 2 edges begins", len(p.rows), named)
	}
	around := append(slices.Clone(p.rows[first:]), p.rows[:first+1]...)
	var edges []Path
	edge := []Point{around[0].At}
	for _, r := range around[1:] {
		edge = append(edge, r.At)
		if r.Name == "" {
			continue
		}
		edges = append(edges, geom.Spline(edge, nil, nil))
		edge = []Point{r.At}
	}
	outline, err := edges[0].Append(edges[1:]...)
	if err != nil {
		return Path{}, fmt.Errorf("outline through points of a photograph: %w", err)
	}
	return outline, nil
}

// Table lists the points, in centimetres, each with how far one misread pixel
// moves it, of its own and of a corner of the sheet, and what to distrust.
func (p PhotoPoints) Table() Table {
	t := Table{Title: "Read off a photograph", Columns: []Column{{Head: "Point"}, {Head: "x (cm)", Number: true}, {Head: "y (cm)", Number: true},
		{Head: "1 px of its own (mm)", Number: true}, {Head: "1 px of a corner (mm)", Number: true}, {Head: "Verdict"}}}
	plane, err := p.photo.plane()
	if err != nil { // the zero value, which Read did not make
		return t
	}
	bad := 0
	for i, r := range p.rows {
		name := r.Name
		if name == "" {
			name = fmt.Sprint(i + 1)
		}
		verdict := r.verdict(plane.sheet)
		if verdict != "ok" {
			bad++
		}
		t.Rows = append(t.Rows, []string{name, inCM(r.At.X), inCM(r.At.Y), fmt.Sprintf("%.2f", r.Pixel.MM()), fmt.Sprintf("%.2f", r.Corner.MM()), verdict})
	}
	t.Notes = append(t.Notes, fmt.Sprintf("From the lower left corner of the %v sheet. Nobody reads a place to less than a pixel; what a lens bends is not in these figures.", p.photo.Paper))
	if bad > 0 {
		t.Notes = append(t.Notes, fmt.Sprintf("%d of %d points are not to be trusted: take the picture from nearer and further above, or lay the sheet nearer to them or a larger one.", bad, len(p.rows)))
	}
	if odd := plane.oddLie(p.photo); odd != "" {
		t.Notes = append(t.Notes, odd)
	}
	return t
}

// oddLie says when the sheet looks as if it lay the other way.
func (p photoPlane) oddLie(photo Photograph) string {
	side := func(i int) Length {
		a, b := photo.Corners[i], photo.Corners[(i+1)%4]
		return pixelPlace(a.X, a.Y).Dist(pixelPlace(b.X, b.Y))
	}
	bottom, upright := side(0)+side(2), side(1)+side(3)
	if (bottom > upright) == (p.sheet.Width() > p.sheet.Height()) {
		return ""
	}
	return "The sheet's sides look as if it lay the other way: unless the picture was taken very much from the side, change its Lie."
}

// HTML returns the points as a table.
func (p PhotoPoints) HTML() string { return p.Table().HTML() }

// Markdown returns the points as a table of pipes.
func (p PhotoPoints) Markdown() string { return p.Table().Markdown() }

// String returns the points as text in columns.
func (p PhotoPoints) String() string { return p.Table().String() }
