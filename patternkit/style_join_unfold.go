package patternkit

import (
	"fmt"
	"slices"
	"strings"

	"patternkit/patternkit/geom"
)

// The halves of an unfolded piece, as they are worn. The half that is drafted
// is the right one (common practice, no source).
const (
	rightHalf = "right "
	leftHalf  = "left "
)

// Mirrored returns p turned over, as the other one of a pair: mirrored in the
// upright through its middle. To mirror a piece that is sewn to others, use
// Pattern.WithPieceTransformed.
func (p Piece) Mirrored() (Piece, error) {
	x := p.Bounds().Center().X
	return p.Transformed(geom.Mirror(Pt(x, 0), Pt(x, 1)))
}

// Unfold returns p with the named pieces, which lie on the fold, opened out to
// whole ones. An edge that meets the fold and that no seam takes runs through;
// every other edge is there twice, and so are darts and points: "right
// armhole" is the one that was drafted, "left armhole" its mirror image.
// Seams along an unfolded piece are there twice as well, "right side seam" and
// "left side seam". A line that meets the fold runs through.
func (p Pattern) Unfold(pieces ...string) (Pattern, error) {
	out := p
	for _, name := range pieces {
		piece, err := out.Piece(name)
		if err != nil {
			return Pattern{}, fmt.Errorf("unfold: %w", err)
		}
		if out, err = out.unfolded(piece); err != nil {
			return Pattern{}, err
		}
	}
	return out, nil
}

func (p Pattern) unfolded(piece Piece) (Pattern, error) {
	if piece.fold == "" {
		return Pattern{}, fmt.Errorf("unfold: piece %q does not lie on the fold", piece.name)
	}
	for _, name := range piece.EdgeNames() {
		if strings.HasPrefix(name, rightHalf) || strings.HasPrefix(name, leftHalf) {
			return Pattern{}, fmt.Errorf("unfold: piece %q has an edge %q already, want names of one half: rename it", piece.name, name)
		}
	}
	through := p.throughFold(piece)
	whole, err := piece.unfold(through)
	if err != nil {
		return Pattern{}, fmt.Errorf("unfold piece %q: %w", piece.name, err)
	}
	var seams []Seam
	for _, s := range p.seams {
		seams = append(seams, s.unfoldedFor(piece, through)...)
	}
	return p.withSeams(seams, whole)
}

// throughFold names the edges that meet the fold and run on across it.
func (p Pattern) throughFold(piece Piece) map[string]bool {
	through := map[string]bool{}
	for _, last := range [2]bool{false, true} {
		beside := p.neighbour(Along{Piece: piece.name, Edge: piece.fold}, last)
		if !p.sewn(beside) && !piece.isMouth(beside.Edge) {
			through[beside.Edge] = true
		}
	}
	return through
}

// unfold lays the half and its mirror image together along the fold.
func (p Piece) unfold(through map[string]bool) (Piece, error) {
	path, err := p.onlyEdge(p.fold)
	if err != nil {
		return Piece{}, err
	}
	mirrored, err := p.Transformed(geom.Mirror(path.Start(), path.End()))
	if err != nil {
		return Piece{}, err
	}
	right, left := opened(p.named(rightHalf, through)), opened(mirrored.named(leftHalf, through))
	for i := range left.edges {
		left.edges[i].id += right.last + 1
		for k := range left.edges[i].notches {
			left.edges[i].notches[k].order += len(p.notches)
		}
	}
	left.last += right.last + 1
	right.edges, left.edges = edgesAround(right.edges, p.fold), edgesAround(left.edges, p.fold)
	right.edges[0].glued = through[right.edges[0].Name]
	left.edges[0].glued = through[left.edges[0].Name]
	whole := joinOpen(p.name, right, left)
	whole.internals = continuedLines(right.internals, left.internals)
	whole.points = onceOnFold(path, p.points, right.points, left.points)
	whole.drills = onceOnFold(path, p.drills, right.drills, left.drills)
	like := p
	like.fold = ""
	like.pleats = slices.Concat(p.named(rightHalf, through).pleats, mirrored.named(leftHalf, through).pleats)
	if like.cutNote == "on the fold" {
		like.cutNote = ""
	}
	for _, name := range p.EdgeNames() {
		if !through[name] && name != p.fold {
			like = like.withOrigin(rightHalf+name, name).withOrigin(leftHalf+name, name)
		}
	}
	return whole.piece(like)
}

// named puts a half's name before all of its names but those that run through
// and the fold.
func (p Piece) named(half string, through map[string]bool) Piece {
	out := p
	rename := func(edge string) string {
		if through[edge] || edge == p.fold {
			return edge
		}
		return half + edge
	}
	out.edges, out.darts, out.notches = p.Edges(), p.Darts(), p.Notches()
	out.points, out.drills = p.Points(), p.DrillHoles()
	for i := range out.edges {
		out.edges[i].Name = rename(out.edges[i].Name)
	}
	for i, d := range out.darts {
		out.darts[i].Name, out.darts[i].Mouth = half+d.Name, rename(d.Mouth)
	}
	out.pressed = p.pressedDarts()
	for i, q := range out.pressed {
		out.pressed[i].Name = half + q.Name
	}
	out.pleats = p.Pleats()
	for i, pl := range out.pleats {
		out.pleats[i].Name, out.pleats[i].Mouth = half+pl.Name, rename(pl.Mouth)
		if pl.End != "" {
			out.pleats[i].End = rename(pl.End)
		}
	}
	for i, n := range out.notches {
		if out.notches[i].Edge = rename(n.Edge); out.notches[i].Edge == n.Edge {
			out.notches[i].Name = half + n.Name
		}
	}
	for _, points := range [][]NamedPoint{out.points, out.drills} {
		for i := range points {
			points[i].Name = half + points[i].Name
		}
	}
	return out
}

// onceOnFold gives a point on the fold its own name, once.
func onceOnFold(fold Path, was, right, left []NamedPoint) []NamedPoint {
	var out []NamedPoint
	for i, q := range was {
		if fold.Dist(q.At) <= joinTolerance {
			out = append(out, q)
		} else {
			out = append(out, right[i], left[i])
		}
	}
	return out
}

// unfoldedFor returns the seams that take the place of one along a half. A
// seam that was doubled for another piece takes its own half of this one.
func (s Seam) unfoldedFor(piece Piece, through map[string]bool) []Seam {
	touches := func(a Along) bool { return a.Piece == piece.name }
	if !slices.ContainsFunc(slices.Concat(s.A, s.B), touches) {
		return []Seam{s}
	}
	half := func(half string, side []Along) []Along {
		out := slices.Clone(side)
		for i, a := range out {
			if !touches(a) || through[a.Edge] {
				continue
			}
			out[i].Edge = half + a.Edge
			if half == leftHalf {
				out[i].Reversed = !a.Reversed
			}
		}
		return out
	}
	if slices.Equal(s.A, s.B) { // the half sewn to its own mirror image
		s.A, s.B = half(rightHalf, s.A), half(leftHalf, s.B)
		return []Seam{s}
	}
	for _, h := range [2]string{rightHalf, leftHalf} {
		if strings.HasPrefix(s.Name, h) {
			s.A, s.B = half(h, s.A), half(h, s.B)
			return []Seam{s}
		}
	}
	right, left := s, s
	right.Name, right.A, right.B = rightHalf+s.Name, half(rightHalf, s.A), half(rightHalf, s.B)
	left.Name, left.A, left.B = leftHalf+s.Name, half(leftHalf, s.A), half(leftHalf, s.B)
	return []Seam{right, left}
}
