package patternkit

import (
	"fmt"

	"patternkit/patternkit/geom"
)

// SewTop sews three traced pieces to a top, by the usual names of their edges:
// "neckline", "shoulder", "armhole" and "side seam" of back and front, "cap",
// "front underarm" and "back underarm" of the sleeve, whichever way the pieces
// lie. The seams are those of a block: "shoulder", "side seam", "underarm" and
// "armhole". What the sleeve head is longer than the armholes becomes its
// ease; where it is shorter the walk shows it, and TrueSeams mends it.
//
// What a block has and the pieces lack is added: the named points at corners,
// the bust line square to the fold at the underarm, the biceps line, notches of
// armhole and cap, the grainline along the fold or square to the biceps line,
// and how often a piece is cut. It is an error, which names the piece, where an
// edge is missing or its neighbours are. An edge that was traced in parts of one
// name, as a sleeve head is, becomes one, whose parts run on into each other
// where they meet at less than 20°.
func SewTop(name string, back, front, sleeve Piece) (Pattern, error) {
	s := topSewing{back: back, front: front, sleeve: sleeve}
	for _, step := range []func() error{s.find, s.points, s.lines, s.marks} {
		if err := step(); err != nil {
			return Pattern{}, fmt.Errorf("top %q: %w", name, err)
		}
	}
	return NewPattern(name, flatPieces{s.back, s.front}, s.sleeve, s.seams[0], s.seams[1], s.seams[2], s.seams[3])
}

// A topSewing is a top being sewn of three pieces.
type topSewing struct {
	back, front, sleeve Piece
	seams               [4]Seam
	ease                Length
	armholes            [2]Along // front and back, in order of sewing
}

// from is an edge of a piece sewn from the end at which it meets another.
func (p Piece) from(edge, neighbour string) (Along, error) {
	run, err := p.run(edge)
	if err != nil {
		return Along{}, err
	}
	n := len(p.edges)
	before, after := p.edges[(run[0]+n-1)%n].Name, p.edges[(run[len(run)-1]+1)%n].Name
	switch neighbour {
	case before:
		return Along{Piece: p.name, Edge: edge}, nil
	case after:
		return Along{Piece: p.name, Edge: edge, Reversed: true}, nil
	}
	return Along{}, fmt.Errorf("piece %q: edge %q lies between %q and %q, want %q beside it", p.name, edge, before, after, neighbour)
}

// find finds how the seams run.
func (s *topSewing) find() error {
	var err error
	for _, p := range []struct {
		piece *Piece
		want  string
	}{{&s.back, "back"}, {&s.front, "front"}, {&s.sleeve, "sleeve"}} {
		if *p.piece, err = p.piece.inOneEdges(); err != nil {
			return err
		}
		if p.piece.name == p.want {
			continue
		}
		if *p.piece, err = p.piece.Renamed(p.want); err != nil {
			return err
		}
	}
	along := func(p Piece, edge, neighbour string) (a Along) {
		if err == nil {
			a, err = p.from(edge, neighbour)
		}
		return a
	}
	b, f, c := s.back, s.front, s.sleeve
	s.armholes = [2]Along{along(f, "armhole", "side seam"), along(b, "armhole", "shoulder")}
	s.seams = [4]Seam{
		{Name: "shoulder", A: []Along{along(b, "shoulder", "neckline")}, B: []Along{along(f, "shoulder", "neckline")}},
		{Name: "side seam", A: []Along{along(b, "side seam", "armhole")}, B: []Along{along(f, "side seam", "armhole")}},
		{Name: "underarm", A: []Along{along(c, "back underarm", "cap")}, B: []Along{along(c, "front underarm", "cap")}},
		{Name: "armhole", A: []Along{along(c, "cap", "front underarm")}, B: s.armholes[:]},
	}
	if err != nil {
		return err
	}
	cap, err := c.EdgeLength("cap")
	if err != nil {
		return err
	}
	around := Length(0)
	for _, p := range []Piece{f, b} {
		l, err := p.EdgeLength("armhole")
		if err != nil {
			return err
		}
		around += l
	}
	s.ease = max(0, cap-around)
	s.seams[3].Ease = s.ease
	return nil
}

// cornerOf is where two edges of a piece meet.
func (p Piece) cornerOf(edge, neighbour string) (Point, error) {
	a, err := p.from(edge, neighbour)
	if err != nil {
		return Point{}, err
	}
	run, _ := p.run(edge)
	if a.Reversed {
		return p.edges[run[len(run)-1]].Path.End(), nil
	}
	return p.edges[run[0]].Path.Start(), nil
}

// points names the corners that have no name yet.
func (s *topSewing) points() error {
	for _, c := range []struct {
		piece                 *Piece
		point, edge, neighbor string
	}{
		{&s.back, "side neck point", "shoulder", "neckline"}, {&s.front, "side neck point", "shoulder", "neckline"},
		{&s.back, "shoulder point", "armhole", "shoulder"}, {&s.front, "shoulder point", "armhole", "shoulder"},
		{&s.back, "underarm point", "armhole", "side seam"}, {&s.front, "underarm point", "armhole", "side seam"},
		{&s.back, "hem side point", "side seam", "hem"}, {&s.front, "hem side point", "side seam", "hem"},
		{&s.back, "back neck point", "neckline", s.back.fold}, {&s.front, "front neck point", "neckline", s.front.fold},
		{&s.sleeve, "back underarm point", "cap", "back underarm"}, {&s.sleeve, "front underarm point", "cap", "front underarm"},
		{&s.sleeve, "back hem point", "back underarm", "hem"}, {&s.sleeve, "front hem point", "front underarm", "hem"},
	} {
		if _, err := c.piece.Point(c.point); err == nil || edgeOr0(*c.piece, c.neighbor) == 0 {
			continue // a top that ends at the waist has no hem
		}
		at, err := c.piece.cornerOf(c.edge, c.neighbor)
		if err != nil {
			return err
		}
		if *c.piece, err = c.piece.WithPoint(c.point, at); err != nil {
			return err
		}
	}
	return nil
}

// lines draws the levels, the grainlines and how often a piece is cut.
func (s *topSewing) lines() error {
	for _, p := range []*Piece{&s.back, &s.front} {
		if p.fold == "" {
			return fmt.Errorf("piece %q lies on no fold, want WithFold on its centre line", p.name)
		}
		fold, err := p.Edge(p.fold)
		if err != nil {
			return err
		}
		a, b := fold[0].Path.Start(), fold[0].Path.End()
		underarm := p.at("underarm point")
		along := b.Sub(a).Unit()
		foot := a.Add(along.Scale(float64(underarm.Sub(a).Dot(along))))
		into := underarm.Sub(foot).Scale(0.4)
		if err := p.complete("bust line", Line(foot, underarm), a.Lerp(b, 0.25).Add(into), a.Lerp(b, 0.75).Add(into), 1, "on the fold"); err != nil {
			return err
		}
	}
	c := &s.sleeve
	l, r := c.at("back underarm point"), c.at("front underarm point")
	mid, square := l.Lerp(r, 0.5), r.Sub(l).Unit().Perp()
	var up, down Length
	for _, q := range c.outline.Flatten(1 * MM) {
		h := Length(Pt(Length(q[0]), Length(q[1])).Sub(mid).Dot(square))
		up, down = max(up, h), min(down, h)
	}
	return c.complete("biceps line", Line(l, r), mid.Add(square.Scale(float64(down)*0.7)), mid.Add(square.Scale(float64(up)*0.7)), 2, "a pair")
}

// complete adds a level, a grainline and a quantity where there is none.
func (p *Piece) complete(line string, path Path, grainFrom, grainTo Point, quantity int, note string) (err error) {
	out := *p
	if !out.hasInternal(line) {
		if out, err = out.WithInternal(line, path); err != nil {
			return err
		}
	}
	if !out.hasGrain {
		if out, err = out.WithGrainline(grainFrom, grainTo); err != nil {
			return err
		}
	}
	if out.quantity == 1 && out.cutNote == "" {
		if out, err = out.WithQuantity(quantity, note); err != nil {
			return err
		}
	}
	*p = out
	return nil
}

// marks adds the notches of armhole and cap, and the crown point at the one
// that meets the shoulder seam, where none of the three has any.
func (s *topSewing) marks() error {
	for _, p := range []Piece{s.back, s.front, s.sleeve} {
		for _, n := range p.notches {
			if n.Edge == "armhole" || n.Edge == "cap" {
				return nil
			}
		}
	}
	front, _ := s.front.EdgeLength("armhole")
	back, _ := s.back.EdgeLength("armhole")
	cap, _ := s.sleeve.EdgeLength("cap")
	low, high := front*frontNotchPlace, back*backNotchPlace
	shoulder := front + s.ease*(1-backEase)
	var err error
	set := func(p *Piece, a Along, whole Length, n Notch) {
		if n.Edge = a.Edge; a.Reversed {
			n.At = whole - n.At
		}
		if err == nil {
			*p, err = p.WithNotch(n)
		}
	}
	set(&s.front, s.armholes[0], front, Notch{Name: "front", At: low})
	set(&s.back, s.armholes[1], back, Notch{Name: "back", At: back - high, Double: true})
	head := s.seams[3].A[0]
	set(&s.sleeve, head, cap, Notch{Name: "front", At: low})
	set(&s.sleeve, head, cap, Notch{Name: "shoulder", At: shoulder})
	set(&s.sleeve, head, cap, Notch{Name: "back", At: cap - high, Double: true})
	if err != nil {
		return err
	}
	if _, had := s.sleeve.Point("crown point"); had == nil {
		return nil
	}
	at := shoulder
	if head.Reversed {
		at = cap - shoulder
	}
	crown, err := s.sleeve.PointOn("cap", at)
	if err != nil {
		return err
	}
	s.sleeve, err = s.sleeve.WithPoint("crown point", crown)
	return err
}

// flatPieces are pieces as one part, drawn level.
type flatPieces []Piece

func (p flatPieces) Pieces() []Piece { return p }
func (p flatPieces) Seams() []Seam   { return nil }

// inOneEdges joins neighbouring edges of one name.
func (p Piece) inOneEdges() (Piece, error) {
	n := len(p.edges)
	first := 0 // an edge that does not go on from the one before
	for first < n && p.edges[first].Name == p.edges[(first+n-1)%n].Name {
		first++
	}
	var edges []Edge
	for i := range n {
		e := p.edges[(first+i)%n]
		last := len(edges) - 1
		if last < 0 || edges[last].Name != e.Name {
			edges = append(edges, e)
			continue
		}
		path, err := runningOn(edges[last].Path, e.Path)
		if err != nil {
			return Piece{}, fmt.Errorf("piece %q: edge %q: %w", p.name, e.Name, err)
		}
		edges[last].Path = path
	}
	if len(edges) == n {
		return p, nil
	}
	outline, err := checkEdges(p.name, edges)
	if err != nil {
		return Piece{}, err
	}
	p.edges, p.outline = edges, outline
	return p, nil
}

// runningOn joins two paths. Where both are curved and turn little, both
// handles are laid in the direction between them.
func runningOn(a, b Path) (Path, error) {
	before, after := a.Segments(), b.Segments()
	g, h := &before[len(before)-1], &after[0]
	if turn := a.TangentAt(a.Length()).AngleTo(b.TangentAt(0)); g.Curve && h.Curve && max(turn, -turn) < traceSharp {
		g.C2 = g.B.Add(g.C2.Sub(g.B).Rotated(turn / 2))
		h.C1 = h.A.Add(h.C1.Sub(h.A).Rotated(-turn / 2))
	}
	h.A = g.B
	return geom.PathOf(append(before, after...)...)
}
