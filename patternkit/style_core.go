package patternkit

import (
	"fmt"
	"slices"
	"sort"

	"patternkit/patternkit/geom"
)

// OnEdge is a place on the stitch line: a length along a named edge from its
// start in outline order, darts closed.
type OnEdge struct {
	Edge string
	At   Length
}

func (o OnEdge) String() string { return fmt.Sprintf("%s along %q", o.At, o.Edge) }

// An openPiece is a piece, or a part of one, while it is cut and moved: its
// edges need not close. Each edge has a number that it keeps, so that a place
// once found is found again after other cuts; notches lie on their edge.
type openPiece struct {
	name      string // of the piece, for errors
	edges     []openEdge
	points    []NamedPoint
	drills    []NamedPoint
	internals []Edge
	darts     []Dart
	pressed   []NamedPoint // toward what darts are pressed
	pleats    []Pleat      // of the whole piece
	grain     [2]Point
	hasGrain  bool
	last      int // the highest number given to an edge
}

type openEdge struct {
	Edge
	id      int
	glued   bool // continues the edge before it, whose name it has
	notches []openNotch
}

// An openNotch lies s along its own edge, not along the edge's name. order is
// its place among the notches of the piece.
type openNotch struct {
	Notch
	s     Length
	order int
}

// opened lays a piece out; edges are numbered in outline order from 0.
func opened(p Piece) openPiece {
	c := openPiece{
		name: p.name, points: p.Points(), drills: p.DrillHoles(), internals: p.Internals(),
		darts: p.Darts(), pressed: p.pressed, pleats: p.pleats, grain: p.grain, hasGrain: p.hasGrain, last: len(p.edges) - 1,
	}
	for i, e := range p.edges {
		c.edges = append(c.edges, openEdge{Edge: e, id: i})
	}
	for i, n := range p.notches {
		parts, _ := p.run(n.Edge)
		s := n.At
		for j, k := range parts {
			e := &c.edges[k]
			if l := e.Path.Length(); s > l && j < len(parts)-1 {
				s -= l
				continue
			}
			e.notches = append(e.notches, openNotch{n, s, i})
			break
		}
	}
	return c
}

// index returns where the edge of that number is. The number must be there.
func (c openPiece) index(id int) int {
	return slices.IndexFunc(c.edges, func(e openEdge) bool { return e.id == id })
}

// after returns the number of the edge that follows.
func (c openPiece) after(id int) int {
	return c.edges[(c.index(id)+1)%len(c.edges)].id
}

// corner is where the edge of that number starts.
func (c openPiece) corner(id int) Point { return c.edges[c.index(id)].Path.Start() }

// vertex makes a corner of the outline at a place, unless there is one, and
// returns the number of the edge that starts there.
func (c *openPiece) vertex(o OnEdge) (int, error) {
	at, err := c.namedRun(o.Edge)
	if err != nil {
		return 0, err
	}
	s := o.At
	var total Length
	for _, k := range at {
		l := c.edges[k].Path.Length()
		total += l
		switch {
		case s.Abs() <= joinTolerance:
			return c.edges[k].id, nil
		case s < 0:
		case (s - l).Abs() <= joinTolerance:
			return c.edges[(k+1)%len(c.edges)].id, nil
		case s < l:
			return c.splitOpen(k, s)
		}
		s -= l
	}
	return 0, fmt.Errorf("piece %q: %s along edge %q, want 0 cm to %s, the length of that edge", c.name, o.At, o.Edge, total)
}

// namedRun returns where the edges of a name are, in outline order from the
// start of the trade edge.
func (c openPiece) namedRun(name string) ([]int, error) {
	p := Piece{name: c.name}
	for _, e := range c.edges {
		p.edges = append(p.edges, e.Edge)
	}
	return p.run(name)
}

// splitOpen parts the k-th edge at s and returns the number of the second part,
// which is glued to the first.
func (c *openPiece) splitOpen(k int, s Length) (int, error) {
	e := c.edges[k]
	if rest := e.Path.Length() - s; s < shortestEdge || rest < shortestEdge {
		return 0, fmt.Errorf("piece %q: a cut %s along a stretch of edge %q leaves %s of it, want at least %s or a cut at its end",
			c.name, s, e.Name, min(s, rest), shortestEdge)
	}
	first, second, err := splitAtJoint(e.Path, s)
	if err != nil {
		return 0, err
	}
	c.last++
	a, b := e, e
	a.Path, b.Path = first, second
	a.notches, b.notches = nil, nil
	b.id, b.glued = c.last, true
	for _, n := range e.notches {
		if n.s <= s {
			a.notches = append(a.notches, n)
		} else {
			n.s -= s
			b.notches = append(b.notches, n)
		}
	}
	c.edges = slices.Concat(c.edges[:k], []openEdge{a, b}, c.edges[k+1:])
	return b.id, nil
}

// splitAtJoint splits a path at s, and at the joint of two of its segments
// where s is one: a split beside it would leave a sliver of no length.
func splitAtJoint(path Path, s Length) (first, second Path, err error) {
	segments := path.Segments()
	var before Length
	for i := 1; i < len(segments); i++ {
		part, err := geom.PathOf(segments[i-1])
		if err != nil {
			return Path{}, Path{}, err
		}
		if before += part.Length(); (before - s).Abs() > joinTolerance {
			continue
		}
		if first, err = geom.PathOf(segments[:i]...); err != nil {
			return Path{}, Path{}, err
		}
		second, err = geom.PathOf(segments[i:]...)
		return first, second, err
	}
	return path.Split(s)
}

// between returns the edges from the corner where one starts to the corner
// where another starts, in outline order; all of them when it is the same.
func (c openPiece) between(from, to int) []openEdge {
	var out []openEdge
	k := c.index(from)
	for n := 0; n < len(c.edges); n++ {
		if n > 0 && c.edges[k].id == to {
			break
		}
		out = append(out, c.edges[k])
		k = (k + 1) % len(c.edges)
	}
	return out
}

// insert puts a new edge before the edge of that number and returns its own
// number. A glued one goes on from what is before it.
func (c *openPiece) insert(before int, e Edge, glued bool) int {
	c.last++
	k := c.index(before)
	c.edges = slices.Concat(c.edges[:k], []openEdge{{Edge: e, id: c.last, glued: glued}}, c.edges[k:])
	return c.last
}

// transformed moves a part and everything on it; t must not mirror or stretch.
func (c openPiece) transformed(t Transform) openPiece {
	out := c
	out.edges = make([]openEdge, len(c.edges))
	for i, e := range c.edges {
		e.Path = e.Path.Transformed(t)
		out.edges[i] = e
	}
	out.internals = make([]Edge, len(c.internals))
	for i, e := range c.internals {
		out.internals[i] = Edge{e.Name, e.Path.Transformed(t)}
	}
	out.points, out.drills = transformedPoints(c.points, t), transformedPoints(c.drills, t)
	out.pressed = transformedPoints(c.pressed, t)
	out.grain = [2]Point{t.Apply(c.grain[0]), t.Apply(c.grain[1])}
	out.darts = append([]Dart(nil), c.darts...)
	for i := range out.darts {
		out.darts[i].Tip = t.Apply(out.darts[i].Tip)
	}
	return out
}

// join returns parts laid side by side as one, their edges in that order.
func joinOpen(name string, parts ...openPiece) openPiece {
	out := openPiece{name: name}
	for _, c := range parts {
		out.edges = append(out.edges, c.edges...)
		out.points = append(out.points, c.points...)
		out.drills = append(out.drills, c.drills...)
		out.internals = append(out.internals, c.internals...)
		out.darts = append(out.darts, c.darts...)
		out.pressed = append(out.pressed, c.pressed...)
		out.pleats = c.pleats
		if c.hasGrain && !out.hasGrain {
			out.grain, out.hasGrain = c.grain, true
		}
		out.last = max(out.last, c.last)
	}
	return out
}

// piece closes the outline again: glued edges become one with the edge before
// them, and everything else is as on like, whose name and cloth it takes.
func (c openPiece) piece(like Piece) (Piece, error) {
	edges := c.glue()
	out := like
	out.edges = make([]Edge, len(edges))
	for i, e := range edges {
		out.edges[i] = e.Edge
	}
	var err error
	if out.outline, err = checkEdges(like.name, out.edges); err != nil {
		return Piece{}, err
	}
	out.points, out.drills, out.internals = c.points, c.drills, numbered(c.internals)
	out.pressed = slices.DeleteFunc(slices.Clone(c.pressed), func(q NamedPoint) bool {
		return !slices.ContainsFunc(c.darts, func(d Dart) bool { return d.Name == q.Name })
	})
	out.grain, out.hasGrain = c.grain, c.hasGrain
	out = out.withOnlyOwnEdges()
	out.darts = nil
	if out, err = out.WithDart(c.darts...); err != nil {
		return Piece{}, err
	}
	out.notches = nil
	if out, err = out.WithNotch(measuredNotches(out, edges)...); err != nil {
		return Piece{}, err
	}
	if out.fold != "" {
		return out.WithFold(out.fold)
	}
	return out, nil
}

// withOnlyOwnEdges forgets what is said of edges that p no longer has.
func (p Piece) withOnlyOwnEdges() Piece {
	has := map[string]bool{}
	for _, e := range p.edges {
		has[e.Name] = true
	}
	if !has[p.fold] {
		p.fold = ""
	}
	p.pleats = slices.DeleteFunc(p.Pleats(), func(pl Pleat) bool { return !has[pl.Mouth] })
	for i := range p.pleats {
		if !has[p.pleats[i].End] {
			p.pleats[i].End = ""
		}
	}
	var origins map[string]string
	for edge, from := range p.origins {
		if has[edge] {
			if origins == nil {
				origins = map[string]string{}
			}
			origins[edge] = from
		}
	}
	p.origins = origins
	return p.withAllowancesOf(func(edge string) bool { return has[edge] })
}

// startingUnglued returns the edges with the outline begun at an edge that
// does not go on from the one before it.
func (c openPiece) startingUnglued() []openEdge {
	n := len(c.edges)
	k := slices.IndexFunc(c.edges, func(e openEdge) bool { return !e.glued })
	if k < 1 || c.edges[0].Name != c.edges[n-1].Name {
		return c.edges
	}
	return slices.Concat(c.edges[k:], c.edges[:k])
}

func (c openPiece) glue() []openEdge {
	var out []openEdge
	for _, e := range c.startingUnglued() {
		if e.glued && len(out) > 0 {
			last := &out[len(out)-1]
			if path, err := last.Path.Append(e.Path); err == nil && last.Name == e.Name {
				for _, n := range e.notches {
					n.s += last.Path.Length()
					last.notches = append(last.notches[:len(last.notches):len(last.notches)], n)
				}
				last.Path = path
				continue
			}
		}
		out = append(out, e)
	}
	return out
}

// measuredNotches measures the notches along the named edges of p, whose edges
// are those given.
func measuredNotches(p Piece, edges []openEdge) []Notch {
	var all []openNotch
	for _, name := range p.EdgeNames() {
		parts, _ := p.run(name)
		var before, total Length
		for _, k := range parts {
			total += edges[k].Path.Length()
		}
		for _, k := range parts {
			for _, n := range edges[k].notches {
				n.Edge, n.At = name, min(max(before+n.s, 0), total) // beyond the ends only by rounding
				all = append(all, n)
			}
			before += edges[k].Path.Length()
		}
	}
	sort.SliceStable(all, func(i, j int) bool { return all[i].order < all[j].order })
	out := make([]Notch, len(all))
	for i, n := range all {
		out[i] = n.Notch
	}
	return out
}

// numbered gives the parts of a line that was cut names of their own: "bust
// line", "bust line 2".
func numbered(lines []Edge) []Edge {
	used := map[string]bool{}
	for _, l := range lines {
		used[l.Name] = true
	}
	seen := map[string]bool{}
	out := make([]Edge, len(lines))
	for i, l := range lines {
		name := l.Name
		for n := 2; seen[name]; n++ {
			if next := fmt.Sprintf("%s %d", l.Name, n); !used[next] {
				name = next
			}
		}
		seen[name], used[name] = true, true
		out[i] = Edge{name, l.Path}
	}
	return out
}
