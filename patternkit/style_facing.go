package patternkit

import (
	"fmt"
	"slices"
	"strings"

	"patternkit/patternkit/geom"
)

// innerEdge names the edge of a facing that lies inside the garment, and the
// edge of a lining that is sewn to it.
const innerEdge = "inner edge"

// A Facing is a strip of cloth that neatens an edge of the garment from
// within: of one width, its inner edge parallel to the edge that is faced.
type Facing struct {
	Name  string  // "neckline facing"
	Edges []Along // what is faced, one edge or a run of edges on each piece
	Width Length  // 4 to 6 cm at a neckline or an armhole, by custom (common practice, no source)
}

// WithFacing returns p with a facing piece for each piece that has a faced
// edge, cut from it, named "front neckline facing" and of the same cloth. It
// keeps the fold, the grain, and the notches of the faced edge; its other
// edges lie on those of the piece, and are sewn to the neighbouring facing
// where those are sewn. A seam of the same name joins it to its piece.
//
// A waist facing or another that darts run into is traced with the darts folded
// shut (common practice, no source): it has none, and its width is measured
// across their folds.
//
// It is an error where such a dart is not at least 1 cm longer than the facing
// is wide, or where the width does not fit into the piece.
func (p Pattern) WithFacing(f Facing) (Pattern, error) {
	if strings.TrimSpace(f.Name) == "" || !strings.Contains(strings.ToLower(f.Name), "facing") {
		return Pattern{}, fmt.Errorf("facing %q, want a name with the word facing in it, such as \"neckline facing\"", f.Name)
	}
	if err := checkRange(fmt.Sprintf("facing %q", f.Name), "Width", f.Width, 5*MM, 60*CM); err != nil {
		return Pattern{}, err
	}
	if len(f.Edges) == 0 {
		return Pattern{}, fmt.Errorf("facing %q has no edges, want at least one to be faced", f.Name)
	}
	out := Pattern{name: p.name, pieces: p.Pieces(), parts: slices.Clone(p.parts), seams: p.Seams(), drawn: &drawnPage{}}
	var faced []string
	for _, a := range f.Edges {
		if slices.Contains(faced, a.Piece) {
			continue
		}
		faced = append(faced, a.Piece)
		piece, err := p.Piece(a.Piece)
		if err != nil {
			return Pattern{}, fmt.Errorf("facing %q: %w", f.Name, err)
		}
		facing, _, err := piece.facing(f)
		if err != nil {
			return Pattern{}, err
		}
		i := slices.IndexFunc(p.pieces, func(q Piece) bool { return q.name == a.Piece })
		out.pieces, out.parts = append(out.pieces, facing), append(out.parts, p.parts[i])
		out.seams = append(out.seams, f.toPiece(a.Piece))
	}
	out.seams = append(out.seams, p.innerSeams(f.Name, faced, out.pieces)...)
	if err := out.checkPieces(); err != nil {
		return Pattern{}, err
	}
	return out, out.checkSeams()
}

// on returns the faced edges of a piece.
func (f Facing) on(piece string) []string {
	var edges []string
	for _, a := range f.Edges {
		if a.Piece == piece {
			edges = append(edges, a.Edge)
		}
	}
	return edges
}

// toPiece is the seam that joins a facing to its piece.
func (f Facing) toPiece(piece string) Seam {
	s := Seam{Name: piece + " " + f.Name}
	for _, edge := range f.on(piece) {
		s.A = append(s.A, Along{Piece: piece, Edge: edge})
		s.B = append(s.B, Along{Piece: s.Name, Edge: edge})
	}
	return s
}

// facing cuts a piece beside the faced edges: what lies along them, and the
// rest.
func (p Piece) facing(f Facing) (facing, rest Piece, err error) {
	fail := func(err error) (Piece, Piece, error) {
		return Piece{}, Piece{}, fmt.Errorf("facing %q of piece %q: %w", f.Name, p.name, err)
	}
	edges := f.on(p.name)
	run, err := p.facedRun(edges)
	if err != nil {
		return fail(err)
	}
	along, err := p.besideRun(run, f.Width)
	if err != nil {
		return fail(err)
	}
	name := p.name + " " + f.Name
	parts, _, err := p.partedAlong(along, Cut{Piece: p.name, Left: name, Right: name, Seam: innerEdge})
	if err != nil {
		return fail(err)
	}
	facing, rest = parts[0], parts[1]
	if _, err := facing.run(edges[0]); err != nil {
		facing, rest = rest, facing
	}
	for _, edge := range edges {
		if _, err := rest.run(edge); err == nil {
			return fail(fmt.Errorf("edge %q would be cut, want a width that fits", edge))
		}
	}
	facing.internals = nil
	return facing, rest, nil
}

// A facedRun is the path along faced edges, one after the other and the darts
// between them folded shut, as it lies beside one of them.
type facedRun struct {
	path   Path
	middle Length // along the path, of the edge where it lies as on the piece
	darts  []string
}

// facedRun follows the named edges. It lies as the longest of them does.
func (p Piece) facedRun(names []string) (facedRun, error) {
	order, err := p.facedOrder(names)
	if err != nil {
		return facedRun{}, err
	}
	var run facedRun
	var longest, before Length
	shut, settle := geom.Translate(Point{}), geom.Translate(Point{})
	for i, k := range order {
		if i > 0 && (order[i-1]+1)%len(p.edges) != k {
			d, err := p.dartAt((k + len(p.edges) - 1) % len(p.edges))
			if err != nil {
				return facedRun{}, err
			}
			start, end := p.mouth(d)
			shut = geom.Rotate(d.Tip, end.Sub(d.Tip).AngleTo(start.Sub(d.Tip))).Then(shut)
			run.darts = append(run.darts, d.Name)
		}
		edge := p.edges[k].Path
		length := edge.Length()
		if length > longest {
			if settle, err = shut.Inverse(); err != nil {
				return facedRun{}, err
			}
			longest, run.middle = length, before+length/2
		}
		if run.path, err = run.path.Append(edge.Transformed(shut)); err != nil {
			return facedRun{}, err
		}
		before += length
	}
	run.path = run.path.Transformed(settle)
	return run, nil
}

// facedOrder returns where the named edges are, one after the other with at
// most the mouth of a dart between two.
func (p Piece) facedOrder(names []string) ([]int, error) {
	var numbers []int
	for _, name := range names {
		run, err := p.run(name)
		if err != nil {
			return nil, err
		}
		numbers = append(numbers, run...)
	}
	n := len(p.edges)
	step := func(k, by int) int { // to the next edge that is no mouth of a dart
		k = (k + by + n) % n
		if _, err := p.dartAt(k); err == nil {
			k = (k + by + n) % n
		}
		return k
	}
	first := slices.IndexFunc(numbers, func(k int) bool { return !slices.Contains(numbers, step(k, -1)) })
	if first < 0 {
		return nil, fmt.Errorf("its edges %s go all around, want some left to cut it off at", quoted(names))
	}
	order := numbers[first : first+1 : first+1]
	for len(order) < len(numbers) {
		k := step(order[len(order)-1], 1)
		if !slices.Contains(numbers, k) {
			return nil, fmt.Errorf("its edges %s do not lie one after the other, want one run, with at most darts between them", quoted(names))
		}
		order = append(order, k)
	}
	return order, nil
}

// dartAt returns the dart whose mouth an edge is; its legs must be equal.
func (p Piece) dartAt(edge int) (Dart, error) {
	for _, d := range p.darts {
		if d.Mouth == p.edges[edge].Name {
			return p.equalDart(d.Name)
		}
	}
	return Dart{}, fmt.Errorf("piece %q: edge %q is not the mouth of a dart", p.name, p.edges[edge].Name)
}

// besideRun is the line at the width inside a run of edges, from outline to
// outline.
func (p Piece) besideRun(run facedRun, width Length) (shutLine, error) {
	inner, err := run.path.Offset(-width, 0.01*MM)
	if err != nil {
		return shutLine{}, err
	}
	// It leads on at both ends, because the edges beside the run may lean away.
	start, end := inner.TangentAt(0), inner.TangentAt(inner.Length())
	lead := float64(2 * width)
	long, err := Line(inner.Start().Sub(start.Scale(lead)), inner.Start()).Append(inner, Line(inner.End(), inner.End().Add(end.Scale(lead))))
	if err != nil {
		return shutLine{}, err
	}
	middle, _ := long.Nearest(run.path.At(run.middle))
	if !p.inside(long.At(middle)) {
		return shutLine{}, fmt.Errorf("a width of %s does not fit into the piece, want less", width)
	}
	line, err := p.ruledFrom(long, middle)
	if err != nil {
		return shutLine{}, err
	}
	for _, name := range run.darts {
		if !slices.ContainsFunc(line.darts, func(d shutDart) bool { return d.Name == name }) {
			return shutLine{}, fmt.Errorf("a width of %s reaches beyond the tip of the %s, want less, or the dart pivoted away first", width, name)
		}
	}
	return line, nil
}

// innerSeams copies the seams that join the edges of pieces to their facings
// or linings: "shoulder of the neckline facing".
func (p Pattern) innerSeams(name string, pieces []string, all []Piece) []Seam {
	inner := func(side []Along) ([]Along, bool) {
		out := slices.Clone(side)
		for i, a := range out {
			out[i].Piece = a.Piece + " " + name
			k := slices.IndexFunc(all, func(q Piece) bool { return q.name == out[i].Piece })
			if k < 0 || !slices.Contains(pieces, a.Piece) {
				return nil, false
			}
			if _, err := all[k].run(a.Edge); err != nil {
				return nil, false
			}
		}
		return out, true
	}
	var seams []Seam
	for _, s := range p.seams {
		a, okA := inner(s.A)
		b, okB := inner(s.B)
		if okA && okB {
			seams = append(seams, Seam{Name: s.Name + " of the " + name, A: a, B: b, Ease: s.Ease})
		}
	}
	return seams
}

// facingSeams returns the seams that join facings to a piece: each has the
// name of its facing, and the faced edges on its side A.
func (p Pattern) facingSeams(piece string) []Seam {
	var out []Seam
	for _, s := range p.seams {
		if s.A[0].Piece != piece || s.B[0].Piece != s.Name {
			continue
		}
		if facing, err := p.Piece(s.Name); err == nil && facing.within() {
			if _, err := facing.run(innerEdge); err == nil {
				out = append(out, s)
			}
		}
	}
	return out
}
