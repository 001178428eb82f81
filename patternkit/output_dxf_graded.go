package patternkit

import (
	"fmt"
	"strings"

	"patternkit/patternkit/drawing/dxf"
)

// DXFFile returns all sizes as one DXF file of release 12 like that of
// Pattern.DXFFile: a block for each piece in each size, named "front_10", with
// the size in its text. An error is that of CutLine.
func (g Graded) DXFFile() ([]byte, error) {
	d, err := g.dxf(true)
	if err != nil {
		return nil, err
	}
	return d.Lines(dxfTolerance), nil
}

// CurveDXFFile returns all sizes as one DXF file of release 2000 with the
// blocks and layers of DXFFile. Its curves are exact, as those of
// Pattern.CurveDXFFile.
func (g Graded) CurveDXFFile() ([]byte, error) {
	d, err := g.dxf(false)
	if err != nil {
		return nil, err
	}
	return d.Curves(), nil
}

func (g Graded) dxf(points bool) (dxf.Drawing, error) {
	if len(g.sizes) == 0 {
		return dxf.Drawing{}, fmt.Errorf("the graded pattern is empty, want one made by Grade")
	}
	var all dxf.Drawing
	var names []string
	for i, size := range g.sizes {
		d, err := size.pattern.dxf(points)
		if err != nil {
			return dxf.Drawing{}, fmt.Errorf("size %s: %w", size.name, err)
		}
		for k, b := range d.Blocks {
			piece := size.pattern.pieces[k]
			names = append(names, piece.name+"_"+size.name)
			about := dxfText(dxfBoundary, piece.Bounds().Center().Add(Pt(0, 1*CM)), []string{"SIZE: " + size.name})
			all.Blocks = append(all.Blocks, dxf.Block{Items: append(b.Items, about...)})
		}
		if i == g.base {
			all.Items = dxfSaying(d.Items, "SAMPLE SIZE: "+size.name)
		}
	}
	for i, name := range dxf.Names(names) {
		all.Blocks[i].Name = name
	}
	return all, nil
}

// RuledDXFFile returns the pattern, in the base size of the rules, as a DXF
// file like that of DXFFile which goes with the rule table of
// RuleTable.ExchangeFile under the same name: "# 3" stands at the point that
// rule 3 moves. Where the rules of a piece have a reference, a line on layer 5
// leads from it along x. From memory of ASTM D6673-10, which layer the numbers
// belong on is not known here: they are on layer 2. A rule of a point that the
// pattern lacks, and what ExchangeFile refuses, is an error.
func (p Pattern) RuledDXFFile(t RuleTable, name string) ([]byte, error) {
	if _, err := t.ExchangeFile(name); err != nil {
		return nil, err
	}
	if err := t.checkNames(p); err != nil {
		return nil, fmt.Errorf("pattern %q as DXF: %w", p.name, err)
	}
	d, err := p.dxf(true)
	if err != nil {
		return nil, err
	}
	for i, piece := range p.pieces {
		marks, err := t.dxfMarks(piece)
		if err != nil {
			return nil, fmt.Errorf("pattern %q as DXF: %w", p.name, err)
		}
		d.Blocks[i].Items = append(d.Blocks[i].Items, marks...)
	}
	d.Items = dxfSaying(d.Items, "SAMPLE SIZE: "+t.Base(), "GRADE RULE TABLE: "+name)
	return d.Lines(dxfTolerance), nil
}

// dxfSaying adds lines of text under those about the pattern.
func dxfSaying(items []dxf.Item, lines ...string) []dxf.Item {
	last := items[len(items)-1]
	return append(items, dxfText(dxfBoundary, last.At.Sub(Pt(0, 2*last.Height)), lines)...)
}

// dxfMarks are the numbers of the rules at their points of a piece, and the
// line from its grade reference.
func (t RuleTable) dxfMarks(p Piece) ([]dxf.Item, error) {
	places := p.gradePlaces()
	var items []dxf.Item
	for i, r := range t.namedRules() {
		if r.Piece != p.name {
			continue
		}
		if at, ok := rulePlace(places, r.Point); ok {
			items = append(items, dxf.Item{Layer: dxfTurn, At: at, Text: fmt.Sprintf("# %d", i+1), Height: 3 * MM})
		}
	}
	frame, ok, err := p.gradeFrame(t.references)
	if err != nil || !ok {
		return items, err
	}
	at, err := frame.still(p)
	return append(items, dxf.Item{Layer: dxfReference, Path: Line(at, at.Add(Pt(10*CM, 0)))}), err
}

// rulePlace is where the point of a rule lies: the first of its name, or the
// one beside the corner of that name.
func rulePlace(places []gradePlace, point string) (Point, bool) {
	for _, q := range places {
		if q.name == point {
			return q.at, true
		}
	}
	corner, apart := strings.CutSuffix(point, placeApart(""))
	for k := len(places) - 1; apart && k >= 0; k-- {
		if places[k].name == corner {
			return places[k].at, true
		}
	}
	return Point{}, false
}
