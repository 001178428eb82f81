package patternkit

import (
	"fmt"
	"strings"

	"patternkit/patternkit/drawing/dxf"
	"patternkit/patternkit/geom"
)

// Layers of a piece as in ASTM D6673-10, from memory, unchecked against the
// standard's own text. Layers 9 to 12 and from 80 on are not used.
const (
	dxfBoundary   = "1" // also the text about the pattern and the piece
	dxfTurn       = "2" // points at corners of the lines of layers 1 and 14
	dxfCurve      = "3" // points between corners
	dxfNotch      = "4"
	dxfReference  = "5" // the x axis of the grade rules
	dxfMirror     = "6" // the edge on the fold
	dxfGrain      = "7"
	dxfInternal   = "8"
	dxfDrill      = "13"
	dxfSew        = "14"
	dxfAnnotation = "15"
)

// dxfTolerance is how near straight lines follow the curves they stand for.
const dxfTolerance = 0.005 * MM

// dxfCorner is the turn from which a joint of lines counts as a corner.
const dxfCorner = 1 * Degree

// DXFFile returns the pattern as a DXF file of release 12, modelled on ASTM
// D6673-10 but not checked against its text: a block for each piece with its
// lines and points on layers by number, and about it in text. Lengths are
// millimetres, x to the right and y up, each piece where it was drafted; curves
// are straight lines within 0.005 mm of them.
//
// The boundary, layer 1, is the cut line, and layer 14 the stitch line; for a
// piece that no allowance is said for, the boundary is the stitch line. An
// error is that of CutLine.
func (p Pattern) DXFFile() ([]byte, error) {
	d, err := p.dxf(true)
	if err != nil {
		return nil, err
	}
	return d.Lines(dxfTolerance), nil
}

// CurveDXFFile returns the pattern as a DXF file of release 2000 with the
// blocks and layers of DXFFile. Its curves are exact: cubic splines with the
// handles of the pattern's own curves.
func (p Pattern) CurveDXFFile() ([]byte, error) {
	d, err := p.dxf(false)
	if err != nil {
		return nil, err
	}
	return d.Curves(), nil
}

func (p Pattern) dxf(points bool) (dxf.Drawing, error) {
	var d dxf.Drawing
	names := make([]string, len(p.pieces))
	box := geom.EmptyRect()
	for i, piece := range p.pieces {
		names[i] = piece.name
		box = box.Union(piece.Bounds())
	}
	names = dxf.Names(names)
	for i, piece := range p.pieces {
		items, err := piece.dxf(points)
		if err != nil {
			return d, fmt.Errorf("pattern %q as DXF: %w", p.name, err)
		}
		d.Blocks = append(d.Blocks, dxf.Block{Name: names[i], Items: items})
	}
	lines := []string{"MODELLED ON ASTM D6673-10", "STYLE NAME: " + p.name, "UNITS: METRIC"}
	d.Items = dxfText(dxfBoundary, Pt(box.Min.X, box.Min.Y-4*CM), lines)
	return d, nil
}

// dxfText writes lines of text one below the other.
func dxfText(layer string, at Point, lines []string) []dxf.Item {
	const height = 5 * MM
	items := make([]dxf.Item, len(lines))
	for i, line := range lines {
		items[i] = dxf.Item{Layer: layer, At: at.Sub(Pt(0, Length(i)*2*height)), Text: line, Height: height}
	}
	return items
}

func (p Piece) dxf(points bool) ([]dxf.Item, error) {
	items, err := p.dxfBoundary(points)
	if err != nil {
		return nil, err
	}
	for _, e := range p.edges {
		if e.Name == p.fold {
			items = append(items, dxf.Item{Layer: dxfMirror, Path: e.Path})
		}
	}
	if p.hasGrain {
		items = append(items, dxf.Item{Layer: dxfGrain, Path: Line(p.grain[0], p.grain[1])})
	}
	for _, e := range p.internals {
		items = append(items, dxf.Item{Layer: dxfInternal, Path: e.Path})
	}
	for _, d := range p.darts {
		start, end := p.mouth(d)
		items = append(items, dxf.Item{Layer: dxfInternal, Path: Polyline(start, d.Tip, end)})
	}
	for _, q := range p.drills {
		items = append(items, dxf.Item{Layer: dxfDrill, At: q.At})
	}
	return append(items, p.dxfAbout()...), nil
}

// dxfBoundary are the boundary, the sew line inside it, their points, and the
// notches.
func (p Piece) dxfBoundary(points bool) ([]dxf.Item, error) {
	lines := []dxf.Item{{Layer: dxfBoundary, Path: p.outline}}
	var notches, folds []dxf.Item
	if len(p.Allowances()) > 0 {
		cut, err := p.CutLine()
		if err != nil {
			return nil, err
		}
		lines = []dxf.Item{{Layer: dxfBoundary, Path: cut}, {Layer: dxfSew, Path: p.outline}}
		marks, err := p.notchMarksTo(cut)
		if err != nil {
			return nil, err
		}
		for _, m := range marks {
			notches = append(notches, dxf.Item{Layer: dxfNotch, At: m.Out})
		}
		turned, err := p.FoldLines()
		if err != nil {
			return nil, err
		}
		for _, e := range turned {
			folds = append(folds, dxf.Item{Layer: dxfInternal, Path: e.Path})
		}
	} else {
		for _, n := range p.notches {
			e, at, err := p.locate(n.Edge, n.At)
			if err != nil {
				return nil, err
			}
			notches = append(notches, dxf.Item{Layer: dxfNotch, At: e.Path.At(at)})
		}
	}
	items := lines
	if points {
		for _, l := range lines {
			items = append(items, dxfPoints(l.Path)...)
		}
	}
	return append(append(items, notches...), folds...), nil
}

// dxfPoints are the points of a closed line: turn points at its corners, curve
// points between.
func dxfPoints(path Path) []dxf.Item {
	corners := map[Point]bool{}
	segments := path.Segments()
	for i, g := range segments {
		_, in := dxfDirections(segments[(i+len(segments)-1)%len(segments)])
		out, _ := dxfDirections(g)
		if turn := in.AngleTo(out); turn >= dxfCorner || turn <= -dxfCorner {
			corners[g.A] = true
		}
	}
	flat := path.Flatten(dxfTolerance)
	var items []dxf.Item
	for _, q := range flat[:len(flat)-1] {
		at := Pt(Length(q[0]), Length(q[1]))
		layer := dxfCurve
		if corners[at] {
			layer = dxfTurn
		}
		items = append(items, dxf.Item{Layer: layer, At: at})
	}
	return items
}

// dxfDirections are those in which a line or curve begins and ends.
func dxfDirections(g geom.Segment) (begins, ends Point) {
	path := Line(g.A, g.B)
	if g.Curve {
		path = Cubic(g.A, g.C1, g.C2, g.B)
	}
	return path.TangentAt(0), path.TangentAt(path.Length())
}

// dxfAbout is the text about a piece, inside it, and the labels that are
// written on it.
func (p Piece) dxfAbout() []dxf.Item {
	lines := []string{"PIECE NAME: " + p.name, fmt.Sprintf("QUANTITY: %d", p.quantity)}
	if p.material != "" {
		lines = append(lines, "MATERIAL: "+p.material)
	}
	if p.cutNote != "" {
		lines = append(lines, "ANNOTATION: "+p.cutNote)
	}
	center := p.Bounds().Center()
	about := dxfText(dxfBoundary, center, lines)
	return append(about, dxfText(dxfAnnotation, center.Add(Pt(0, 3*CM)), []string{strings.Join(p.Labels(""), ", ")})...)
}
