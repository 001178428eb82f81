package dxf

import (
	"io"
	"strings"

	"patternkit/patternkit/geom"
)

// joined is how near lines must end to each other to be one path.
const joined = 0.001 * geom.MM

// An Outline is a path read from a file, in millimetres.
type Outline struct {
	Layer string
	Block string // that it is drawn in, "" for none
	Line  int    // of the file, where its first entity begins
	Path  geom.Path
}

// Read returns the paths of a drawing: of LINE, POLYLINE, LWPOLYLINE with
// bulges, ARC, CIRCLE, ELLIPSE and SPLINE, inside blocks where an INSERT
// places them. What follows on one layer and begins within 0.001 mm of where
// the one before ends is joined to one path. Text, points and dimensions are
// passed over. unit is the length of one drawing unit where the file says none;
// 0 makes that an error. An error is an *Error with the line of the file.
func Read(r io.Reader, unit geom.Length) ([]Outline, error) {
	groups, err := readGroups(r)
	if err != nil {
		return nil, err
	}
	f := &file{blocks: map[string]block{}}
	if err := f.sections(entities(groups)); err != nil {
		return nil, err
	}
	if f.unit > 0 {
		unit = f.unit
	}
	if !(unit > 0) || !unit.Finite() {
		return nil, faultAt(1, "the file says no unit ($INSUNITS, or text \"UNITS: METRIC\"), want the length of one unit, such as 1*MM or 1*Inch")
	}
	if err := f.draw(f.entities, geom.Scale(float64(unit)), "", 0); err != nil {
		return nil, err
	}
	return f.outlines()
}

// A file is what is known of a drawing while it is read.
type file struct {
	blocks   map[string]block
	entities []entity
	unit     geom.Length
	out      []Outline
	chains   [][]geom.Segment // of each of out
	parts    int
	placed   int // entities looked at, with those of blocks each time
}

type block struct {
	base     geom.Point
	entities []entity
}

// units are the lengths of $INSUNITS.
var units = map[string]geom.Length{
	"1": geom.Inch, "2": 12 * geom.Inch, "4": geom.MM, "5": geom.CM, "6": geom.M, "10": 36 * geom.Inch, "14": 10 * geom.CM,
}

// sections takes the unit, the blocks and the entities out of a file.
func (f *file) sections(all []entity) error {
	section, open := "", ""
	for i := 0; i < len(all); i++ {
		e := all[i]
		switch {
		case e.kind == "SECTION":
			section = e.text(2)
			if err := f.header(section, e); err != nil {
				return err
			}
		case e.kind == "ENDSEC":
			section = ""
		case section == "BLOCKS" && e.kind == "BLOCK":
			if open = e.text(2); open == "" {
				return faultAt(e.line, "BLOCK has no name in group 2")
			}
			if _, twice := f.blocks[strings.ToUpper(open)]; twice {
				return faultAt(e.line, "a second BLOCK is named %.80q", open)
			}
			x, err := e.number(10, 0)
			if err != nil {
				return err
			}
			y, err := e.number(20, 0)
			if err != nil {
				return err
			}
			f.blocks[strings.ToUpper(open)] = block{base: geom.Pt(geom.Length(x), geom.Length(y))}
		case section == "BLOCKS" && e.kind == "ENDBLK":
			open = ""
		case section == "BLOCKS" && open != "":
			b := f.blocks[strings.ToUpper(open)]
			b.entities = append(b.entities, e)
			f.blocks[strings.ToUpper(open)] = b
			f.textUnit(e)
		case section == "ENTITIES":
			f.entities = append(f.entities, e)
			f.textUnit(e)
		}
	}
	return nil
}

// header reads the unit, which follows the name of its variable.
func (f *file) header(section string, e entity) error {
	if section != "HEADER" {
		return nil
	}
	for i, g := range e.groups {
		if g.code != 9 || g.value != "$INSUNITS" || i+1 == len(e.groups) {
			continue
		}
		value := e.groups[i+1]
		if value.value == "0" {
			return nil
		}
		unit, ok := units[value.value]
		if !ok {
			return faultAt(value.line+1, "$INSUNITS is %.20q, want 0 none, 1 inch, 2 foot, 4 mm, 5 cm, 6 m, 10 yard or 14 dm", value.value)
		}
		f.unit = unit
	}
	return nil
}

// textUnit reads the unit that files modelled on ASTM D6673 say in a text.
func (f *file) textUnit(e entity) {
	if e.kind != "TEXT" || f.unit > 0 {
		return
	}
	switch strings.ToUpper(strings.Join(strings.Fields(e.text(1)), " ")) {
	case "UNITS: METRIC":
		f.unit = geom.MM
	case "UNITS: ENGLISH":
		f.unit = geom.Inch
	}
}

// draw adds what entities draw, transformed.
func (f *file) draw(all []entity, to geom.Transform, in string, depth int) error {
	for i := 0; i < len(all); i++ {
		e := all[i]
		if f.placed++; f.placed > 10*mostParts {
			return faultAt(e.line, "the drawing has more than %d things once its blocks are placed", 10*mostParts)
		}
		if e.kind == "INSERT" {
			if err := f.insert(e, to, depth); err != nil {
				return err
			}
			continue
		}
		var vertices []vertex
		if e.kind == "POLYLINE" {
			var err error
			if vertices, i, err = verticesAfter(all, i); err != nil {
				return err
			}
		}
		path, err := e.path(vertices)
		if err != nil {
			return err
		}
		if path.Empty() {
			continue
		}
		if err := f.add(Outline{e.text(8), in, e.line, path.Transformed(to)}); err != nil {
			return err
		}
	}
	return nil
}

// verticesAfter returns the vertices of the polyline at i, and where they end.
func verticesAfter(all []entity, i int) ([]vertex, int, error) {
	var out []vertex
	head := all[i]
	for i++; i < len(all); i++ {
		e := all[i]
		if e.kind == "SEQEND" {
			return out, i, nil
		}
		if e.kind != "VERTEX" {
			break
		}
		flags, err := e.integer(70, 0)
		if err != nil {
			return nil, 0, err
		}
		if flags&16 != 0 {
			continue // a handle of a smoothed line, which is not on it
		}
		at, err := e.point(10)
		if err != nil {
			return nil, 0, err
		}
		bulge, err := e.number(42, 0)
		if err != nil {
			return nil, 0, err
		}
		out = append(out, vertex{at, bulge, e.line})
	}
	return nil, 0, faultAt(head.line, "POLYLINE is not closed by a SEQEND")
}

// add appends a path, or joins it to the one before.
func (f *file) add(o Outline) error {
	segments := o.Path.Segments()
	if f.parts += len(segments); f.parts > mostParts {
		return faultAt(o.Line, "the drawing has more than %d lines and curves", mostParts)
	}
	for _, g := range segments {
		for _, q := range []geom.Point{g.A, g.B} {
			if !(q.X.Abs() <= farthest && q.Y.Abs() <= farthest) {
				return faultAt(o.Line, "a line reaches %v, want at most %v from the origin", q, geom.Length(farthest))
			}
		}
	}
	if n := len(f.out); n > 0 && f.out[n-1].Layer == o.Layer && f.out[n-1].Block == o.Block {
		before := f.chains[n-1]
		start, end := before[0].A, before[len(before)-1].B
		if start != end && end.Dist(segments[0].A) <= joined {
			segments[0].A = end
			if last := &segments[len(segments)-1]; last.B.Dist(start) <= joined {
				last.B = start
			}
			f.chains[n-1] = append(before, segments...)
			return nil
		}
	}
	f.out, f.chains = append(f.out, o), append(f.chains, segments)
	return nil
}

// outlines are the paths read, each of its chain.
func (f *file) outlines() ([]Outline, error) {
	for i, chain := range f.chains {
		path, err := geom.PathOf(chain...)
		if err != nil {
			return nil, faultAt(f.out[i].Line, "%w", err)
		}
		f.out[i].Path = path
	}
	return f.out, nil
}
