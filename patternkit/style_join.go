package patternkit

import (
	"fmt"
	"slices"

	"patternkit/patternkit/geom"
)

// sameShape is how far two edges may lie apart and still be joined without a
// seam; a difference of their lengths is spread over the second piece.
const sameShape = 0.01 * MM

// Join returns p with the two pieces of a seam joined into one piece of the
// given name, laid together along the seam, which is gone. It is the inverse
// of Cut. Each side must be one whole edge and both of one shape, within 0.01
// mm. The piece on side A keeps its place; that on side B is moved to it, and
// turned over where only so it fits.
//
// Edges that go on across the seam under one name become one edge, if their
// seams allow; so do internal lines. Where both pieces have an edge, a dart or
// a point of one name otherwise, that of side B gets the name of its piece
// before it: "back shoulder". Two halves on the fold can be joined only where
// their folds run on.
func (p Pattern) Join(seam, name string) (Pattern, error) {
	s, err := p.Seam(seam)
	if err != nil {
		return Pattern{}, fmt.Errorf("join: %w", err)
	}
	if len(s.A) != 1 || len(s.B) != 1 || s.A[0].Piece == s.B[0].Piece {
		return Pattern{}, fmt.Errorf("join along seam %q: it joins %s to %s, want one edge of one piece on each side, of two pieces",
			seam, sideWords(s.A), sideWords(s.B))
	}
	for _, other := range p.pieces {
		if other.name == name && name != s.A[0].Piece && name != s.B[0].Piece {
			return Pattern{}, fmt.Errorf("join along seam %q: pattern %q already has a piece %q, want another name", seam, p.name, name)
		}
	}
	j := joining{pattern: p, seam: s, name: name}
	out, err := j.joined()
	if err != nil {
		return Pattern{}, fmt.Errorf("join along seam %q: %w", seam, err)
	}
	return out, nil
}

// A joining is two pieces on their way to be one.
type joining struct {
	pattern Pattern
	seam    Seam
	name    string
	a, b    Piece // b where it will lie, its names made its own
	seams   []Seam
}

func (j *joining) joined() (Pattern, error) {
	var err error
	if j.a, err = j.pattern.Piece(j.seam.A[0].Piece); err != nil {
		return Pattern{}, err
	}
	if err := j.place(); err != nil {
		return Pattern{}, err
	}
	edgeA, edgeB := j.seam.A[0].Edge, j.seam.B[0].Edge
	glued := j.runsOn(edgeA, edgeB)
	if err := j.ownNames(edgeA, edgeB, glued); err != nil {
		return Pattern{}, err
	}
	piece, err := j.piece(edgeA, j.seam.B[0].Edge, glued)
	if err != nil {
		return Pattern{}, err
	}
	return j.gather(piece)
}

// place lays piece B against piece A: start to end, because of two pieces that
// lie side by side one edge runs up where the other runs down.
func (j *joining) place() error {
	name := j.seam.B[0].Piece
	if j.seam.A[0].Reversed == j.seam.B[0].Reversed {
		over, err := j.pattern.WithPieceTransformed(name, geom.ScaleXY(-1, 1))
		if err != nil {
			return err
		}
		if p, _ := j.pattern.Piece(name); p.fold == "" && p.copies()%2 != 0 {
			return fmt.Errorf("piece %q would have to be turned over, and is cut once: mirror it first", name)
		}
		j.pattern = over
		if j.seam, err = over.Seam(j.seam.Name); err != nil {
			return err
		}
	}
	b, err := j.pattern.Piece(name)
	if err != nil {
		return err
	}
	pathA, err := j.a.onlyEdge(j.seam.A[0].Edge)
	if err != nil {
		return err
	}
	pathB, err := b.onlyEdge(j.seam.B[0].Edge)
	if err != nil {
		return err
	}
	onto := pathA.Reversed()
	if off := onto.Length() - pathB.Length(); off.Abs() > sameShape {
		return fmt.Errorf("its sides are %s and %s long, want them within %s", onto.Length(), pathB.Length(), sameShape)
	}
	to, ok := carries(pathB.Start(), pathB.End(), onto.Start(), onto.End())
	if !ok {
		return fmt.Errorf("a side of it starts where it ends, want an open edge")
	}
	if off := apart(onto, pathB.Transformed(to)); off > sameShape {
		return fmt.Errorf("its sides differ in shape by %s, want them within %s of each other", off, sameShape)
	}
	j.b, err = b.Transformed(to)
	return err
}

// onlyEdge is an edge in one part.
func (p Piece) onlyEdge(name string) (Path, error) {
	parts, err := p.Edge(name)
	if err != nil {
		return Path{}, err
	}
	if len(parts) != 1 {
		return Path{}, fmt.Errorf("edge %q of piece %q is in %d parts with darts between them, want it whole: pivot the darts away first", name, p.name, len(parts))
	}
	return parts[0].Path, nil
}

// carries is the move that brings two points onto two others, as much larger
// as they lie further apart.
func carries(a, b, toA, toB Point) (Transform, bool) {
	d, e := b.Sub(a), toB.Sub(toA)
	n := d.Dot(d)
	if n < float64(shortestEdge*shortestEdge) {
		return Transform{}, false
	}
	cos, sin := d.Dot(e)/n, d.Cross(e)/n
	turn := geom.Affine(cos, -sin, sin, cos, 0, 0)
	return turn.Then(geom.Translate(toA.Sub(turn.Apply(a)))), true
}

// apart is how far two paths lie apart at most, end to end.
func apart(a, b Path) Length {
	var most Length
	for k := range 101 {
		at := Length(k) / 100
		most = max(most, a.At(a.Length()*at).Dist(b.At(b.Length()*at)))
	}
	return most
}

// runsOn says which edges go on under their name across the ends of the joint:
// [0] at the start of A's edge, [1] at its end. One that a seam takes on one
// piece alone does not.
func (j *joining) runsOn(edgeA, edgeB string) (glued [2]string) {
	for i, last := range [2]bool{false, true} {
		a := j.pattern.neighbour(Along{Piece: j.a.name, Edge: edgeA}, last)
		b := j.pattern.neighbour(Along{Piece: j.b.name, Edge: edgeB}, !last)
		if a.Edge == b.Edge && !j.a.isMouth(a.Edge) && !j.b.isMouth(b.Edge) && j.sewnTogether(a, b) {
			glued[i] = a.Edge
		}
	}
	return glued
}

// sewnTogether reports whether every seam along one of two edges goes on along
// the other.
func (j *joining) sewnTogether(a, b Along) bool {
	for _, s := range j.pattern.seams {
		for _, side := range [][]Along{s.A, s.B} {
			for i, here := range side {
				if here.Piece != a.Piece || here.Edge != a.Edge {
					if here.Piece == b.Piece && here.Edge == b.Edge && !besideIn(side, i, a) {
						return false
					}
					continue
				}
				if !besideIn(side, i, b) {
					return false
				}
			}
		}
	}
	return true
}

func besideIn(side []Along, i int, other Along) bool {
	for _, k := range [2]int{i - 1, i + 1} {
		if k >= 0 && k < len(side) && side[k].Piece == other.Piece && side[k].Edge == other.Edge {
			return true
		}
	}
	return false
}

// ownNames gives piece B names of its own where A has them too, and the seams
// with it.
func (j *joining) ownNames(edgeA, edgeB string, glued [2]string) error {
	was := j.b.name
	pattern, err := j.pattern.WithPiece(j.b)
	if err != nil {
		return err
	}
	for _, edge := range j.b.EdgeNames() {
		if _, err := j.a.run(edge); err != nil || edge == edgeB || slices.Contains(glued[:], edge) {
			continue
		}
		if pattern, err = pattern.RenamedEdge(was, edge, was+" "+edge); err != nil {
			return err
		}
	}
	j.seams = pattern.seams
	if j.b, err = pattern.Piece(was); err != nil {
		return err
	}
	if j.seam, err = pattern.Seam(j.seam.Name); err != nil {
		return err
	}
	j.b = j.b.ownFolds(was, j.a)
	points, err := j.ownPoints(j.b.points, j.a.points)
	if err != nil {
		return err
	}
	j.b.points = points
	if j.b.drills, err = j.ownPoints(j.b.drills, j.a.drills); err != nil {
		return err
	}
	notches := j.b.Notches()
	for i, n := range notches {
		if slices.ContainsFunc(j.a.notches, func(m Notch) bool { return m.Name == n.Name && m.Edge == n.Edge }) {
			notches[i].Name = was + " " + n.Name
		}
	}
	j.b.notches = notches
	return nil
}

// ownFolds names the darts and pleats of a piece apart from those of another.
func (p Piece) ownFolds(name string, beside Piece) Piece {
	p.darts, p.pleats, p.pressed = p.Darts(), p.Pleats(), slices.Clone(p.pressed)
	for i, d := range p.darts {
		if _, err := beside.Dart(d.Name); err != nil {
			continue
		}
		p.darts[i].Name = name + " " + d.Name
		for k, q := range p.pressed {
			if q.Name == d.Name {
				p.pressed[k].Name = p.darts[i].Name
			}
		}
	}
	for i, pl := range p.pleats {
		if slices.ContainsFunc(beside.pleats, func(o Pleat) bool { return o.Name == pl.Name }) {
			p.pleats[i].Name = name + " " + pl.Name
		}
	}
	return p
}

// ownPoints leaves out the points that both pieces have in one place.
func (j *joining) ownPoints(points, beside []NamedPoint) ([]NamedPoint, error) {
	var out []NamedPoint
	for _, q := range points {
		i := slices.IndexFunc(beside, func(o NamedPoint) bool { return o.Name == q.Name })
		if i >= 0 && beside[i].At.Dist(q.At) <= sameShape {
			continue
		}
		if i >= 0 {
			q.Name = j.b.name + " " + q.Name
		}
		out = append(out, q)
	}
	return out, nil
}

// piece lays the edges of both pieces in one chain around the joint.
func (j *joining) piece(edgeA, edgeB string, glued [2]string) (Piece, error) {
	a, b := opened(j.a), opened(j.b)
	for i := range b.edges {
		b.edges[i].id += a.last + 1
		for k := range b.edges[i].notches {
			b.edges[i].notches[k].order += len(j.a.notches)
		}
	}
	b.last += a.last + 1
	a.edges, b.edges = edgesAround(a.edges, edgeA), edgesAround(b.edges, edgeB)
	// What follows the joint on A starts where B ends, and the other way round.
	a.edges[0].glued = glued[1] != "" && a.edges[0].Name == glued[1]
	b.edges[0].glued = glued[0] != "" && b.edges[0].Name == glued[0]
	whole := joinOpen(j.name, a, b)
	whole.internals = continuedLines(a.internals, b.internals)
	like, err := j.a.Renamed(j.name)
	if err != nil {
		return Piece{}, err
	}
	if like, err = j.cloth(like); err != nil {
		return Piece{}, err
	}
	for edge, from := range j.b.origins {
		like = like.withOrigin(edge, from)
	}
	like.pleats = slices.Concat(j.a.pleats, j.b.pleats)
	like.allowances = slices.Clone(j.a.allowances)
	for _, edge := range j.b.EdgeNames() {
		if own, err := j.b.Allowance(edge); err == nil && edge != edgeB && edge != j.b.fold && !slices.Contains(glued[:], edge) && !j.b.isMouth(edge) {
			like.allowances = append(like.allowances, own)
		}
	}
	return whole.piece(like)
}

// edgesAround returns the edges from behind the named one around to before it.
func edgesAround(edges []openEdge, name string) []openEdge {
	k := slices.IndexFunc(edges, func(e openEdge) bool { return e.Name == name })
	return slices.Concat(edges[k+1:], edges[:k])
}

// continuedLines joins the lines of one name that meet end to end, those that
// a cut has numbered too.
func continuedLines(a, b []Edge) []Edge {
	out := slices.Clone(a)
	for _, line := range b {
		for {
			i := slices.IndexFunc(out, func(e Edge) bool {
				_, ok := endToEnd(e.Path, line.Path)
				return ok && plainName(e.Name) == plainName(line.Name)
			})
			if i < 0 {
				break
			}
			line.Path, _ = endToEnd(out[i].Path, line.Path)
			line.Name = min(line.Name, out[i].Name) // "elbow line" before "elbow line 2"
			out = slices.Delete(out, i, i+1)
		}
		out = append(out, line)
	}
	return out
}

func endToEnd(a, b Path) (Path, bool) {
	for _, pair := range [][2]Path{{a, b}, {b, a}, {a, b.Reversed()}, {a.Reversed(), b}} {
		if pair[0].End().Dist(pair[1].Start()) <= joinTolerance {
			joint, err := pair[0].Append(pair[1])
			return joint, err == nil
		}
	}
	return Path{}, false
}

// cloth says how often the joined piece is cut: as often as both were.
func (j *joining) cloth(like Piece) (Piece, error) {
	if j.a.copies() != j.b.copies() {
		return Piece{}, fmt.Errorf("%q goes %d times into the garment and %q %d times, want as often", j.a.name, j.a.copies(), j.b.name, j.b.copies())
	}
	switch {
	case j.a.fold != "" && j.b.fold != "" && j.a.fold != j.b.fold:
		return Piece{}, fmt.Errorf("both %q and %q lie on the fold, and the folds do not run on: unfold one of them first", j.a.name, j.b.name)
	case j.a.fold == "" && j.b.fold != "":
		like.fold, like.quantity, like.cutNote = j.b.fold, j.b.quantity, j.b.cutNote
	}
	return like, nil
}

// gather puts the joined piece where the first of both was.
func (j *joining) gather(piece Piece) (Pattern, error) {
	var seams []Seam
	for _, s := range j.seams {
		if s.Name != j.seam.Name {
			s.A, s.B = j.alongs(s.A), j.alongs(s.B)
			seams = append(seams, s)
		}
	}
	rest := Pattern{name: j.pattern.name, seams: seams}
	for i, q := range j.pattern.pieces {
		if q.name != j.b.name {
			rest.pieces, rest.parts = append(rest.pieces, q), append(rest.parts, j.pattern.parts[i])
		}
	}
	return rest.withPiecesFor(j.a.name, seams, piece)
}

// alongs names the joined piece; a stretch that goes on along one edge is one.
func (j *joining) alongs(side []Along) []Along {
	var out []Along
	for _, a := range side {
		if a.Piece == j.a.name || a.Piece == j.b.name {
			a.Piece = j.name
		}
		if n := len(out); n == 0 || out[n-1] != a || a.Piece != j.name {
			out = append(out, a)
		}
	}
	return out
}
