package patternkit

import (
	"fmt"

	"patternkit/patternkit/geom"
)

// A gradePlace is one place of a piece that grading may move: where edges or
// curves meet, the handle of a curve, a named point, the tip of a dart.
type gradePlace struct {
	name   string
	at     Point
	along  Length // where it lies along the outline, from its start; less than 0 inside the piece
	handle bool   // a handle of a curve, of the outline or inside
}

// gradePlaces lists the places of a piece, in an order that depends on its
// names and on the number of curves alone: those of the outline, then what is
// drawn inside.
func (p Piece) gradePlaces() []gradePlace {
	all := p.outlinePlaces()
	for _, q := range p.points {
		all = append(all, gradePlace{q.Name, q.At, -1, false})
	}
	for _, d := range p.darts {
		all = append(all, gradePlace{"tip of " + d.Name, d.Tip, -1, false})
	}
	for _, q := range p.pressed {
		all = append(all, gradePlace{"way that " + q.Name + " is pressed", q.At, -1, true})
	}
	for _, q := range p.drills {
		all = append(all, gradePlace{"drill hole " + q.Name, q.At, -1, false})
	}
	if p.hasGrain {
		all = append(all, gradePlace{"grainline, first end", p.grain[0], -1, true}, gradePlace{"grainline, second end", p.grain[1], -1, true})
	}
	for _, e := range p.internals {
		all = append(all, internalPlaces(e)...)
	}
	return all
}

// outlinePlaces lists, for each line or curve of the outline, its start and
// its handles.
func (p Piece) outlinePlaces() []gradePlace {
	var all []gradePlace
	seen := map[string]int{}
	var from Length
	for i, e := range p.edges {
		seen[e.Name]++
		name := e.Name
		if seen[e.Name] > 1 {
			name = fmt.Sprintf("%s, part %d", e.Name, seen[e.Name])
		}
		for k, g := range e.Path.Segments() {
			start := gradePlace{p.vertexName(i, g.A), g.A, from, false}
			if k > 0 {
				start.name, start.handle = fmt.Sprintf("%s, joint %d", name, k), true
			}
			all = append(all, start)
			long := segmentLength(g)
			if g.Curve {
				words := fmt.Sprintf("%s, curve %d, ", name, k+1)
				all = append(all, gradePlace{words + "first handle", g.C1, from + long/3, true},
					gradePlace{words + "second handle", g.C2, from + 2*long/3, true})
			}
			from += long
		}
	}
	return all
}

func segmentLength(g geom.Segment) Length {
	path, err := geom.PathOf(g)
	if err != nil {
		return 0
	}
	return path.Length()
}

// vertexName is the trade name of the point where edge i begins, or the names
// of the edges that meet there.
func (p Piece) vertexName(i int, at Point) string {
	for _, q := range p.points {
		if q.At.Dist(at) <= joinTolerance {
			return q.Name
		}
	}
	before := p.edges[(i+len(p.edges)-1)%len(p.edges)].Name
	return "where " + before + " meets " + p.edges[i].Name
}

func internalPlaces(e Edge) []gradePlace {
	var all []gradePlace
	segments := e.Path.Segments()
	for k, g := range segments {
		all = append(all, gradePlace{fmt.Sprintf("%s, joint %d", e.Name, k), g.A, -1, true})
		if g.Curve {
			words := fmt.Sprintf("%s, curve %d, ", e.Name, k+1)
			all = append(all, gradePlace{words + "first handle", g.C1, -1, true}, gradePlace{words + "second handle", g.C2, -1, true})
		}
	}
	return append(all, gradePlace{e.Name + ", end", segments[len(segments)-1].B, -1, true})
}

// withPlaces returns p with its places moved to where at says, in the order of
// gradePlaces, and its notches to where notches say.
func (p Piece) withPlaces(at []Point, notches []Length) (Piece, error) {
	next := 0
	take := func() Point { next++; return at[next-1] }
	out := p
	edges, err := movedEdges(p.edges, take, at[0])
	if err != nil {
		return Piece{}, fmt.Errorf("piece %q: %w", p.name, err)
	}
	if out.outline, err = checkEdges(p.name, edges); err != nil {
		return Piece{}, err
	}
	out.edges = edges
	out.points = movedPoints(p.points, take)
	darts := append([]Dart(nil), p.darts...)
	for i := range darts {
		darts[i].Tip = take()
	}
	out.pressed, out.drills = movedPoints(p.pressed, take), movedPoints(p.drills, take)
	if p.hasGrain {
		out.grain = [2]Point{take(), take()}
	}
	out.internals = make([]Edge, len(p.internals))
	for i, e := range p.internals {
		if out.internals[i], err = movedInternal(e, take); err != nil {
			return Piece{}, fmt.Errorf("piece %q: %w", p.name, err)
		}
	}
	out.darts, out.notches = nil, append([]Notch(nil), p.notches...)
	for i := range out.notches {
		out.notches[i].At = notches[i]
	}
	return out.WithDart(darts...)
}

// movedEdges rebuilds the outline; its last curve ends where the first begins.
func movedEdges(edges []Edge, take func() Point, first Point) ([]Edge, error) {
	var flat []geom.Segment
	var counts []int
	for _, e := range edges {
		segments := e.Path.Segments()
		for i := range segments {
			segments[i] = movedSegment(segments[i], take)
		}
		flat, counts = append(flat, segments...), append(counts, len(segments))
	}
	for i := range flat {
		flat[i].B = first
		if i+1 < len(flat) {
			flat[i].B = flat[i+1].A
		}
	}
	out := make([]Edge, len(edges))
	for i, e := range edges {
		path, err := geom.PathOf(flat[:counts[i]]...)
		if err != nil {
			return nil, fmt.Errorf("edge %q: %w", e.Name, err)
		}
		out[i], flat = Edge{e.Name, path}, flat[counts[i]:]
	}
	return out, nil
}

// movedSegment moves the start and the handles; the end is that of the next.
func movedSegment(g geom.Segment, take func() Point) geom.Segment {
	g.A = take()
	if g.Curve {
		g.C1, g.C2 = take(), take()
	}
	return g
}

func movedInternal(e Edge, take func() Point) (Edge, error) {
	segments := e.Path.Segments()
	for i := range segments {
		segments[i] = movedSegment(segments[i], take)
		if i > 0 {
			segments[i-1].B = segments[i].A
		}
	}
	segments[len(segments)-1].B = take()
	path, err := geom.PathOf(segments...)
	if err != nil {
		return Edge{}, fmt.Errorf("line %q: %w", e.Name, err)
	}
	return Edge{e.Name, path}, nil
}

func movedPoints(points []NamedPoint, take func() Point) []NamedPoint {
	out := make([]NamedPoint, len(points))
	for i, q := range points {
		out[i] = NamedPoint{q.Name, take()}
	}
	return out
}
