package patternkit

import (
	"fmt"
	"slices"
	"strings"
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
// It is an error where the inner edge runs through a dart, or where the width
// does not fit into the piece.
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
	parts, _, err := p.partedBy(Cut{Piece: p.name, Along: along, Left: name, Right: name, Seam: innerEdge})
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

// facedRun is the path along the faced edges, one after the other.
func (p Piece) facedRun(names []string) (Path, error) {
	var numbers []int
	for _, name := range names {
		run, err := p.run(name)
		if err != nil {
			return Path{}, err
		}
		numbers = append(numbers, run...)
	}
	n := len(p.edges)
	first := slices.IndexFunc(numbers, func(k int) bool { return !slices.Contains(numbers, (k+n-1)%n) })
	if first < 0 {
		return Path{}, fmt.Errorf("its edges %s go all around, want some left to cut it off at", quoted(names))
	}
	var path Path
	var err error
	k := numbers[first]
	for range numbers {
		if !slices.Contains(numbers, k) {
			return Path{}, fmt.Errorf("its edges %s do not lie one after the other, or have a dart between them: want one run, pivot the dart away", quoted(names))
		}
		if path, err = path.Append(p.edges[k].Path); err != nil {
			return Path{}, err
		}
		k = (k + 1) % n
	}
	return path, nil
}

// besideRun is the line at the width inside a run of edges, from outline to
// outline.
func (p Piece) besideRun(run Path, width Length) (Path, error) {
	inner, err := run.Offset(-width, 0.01*MM)
	if err != nil {
		return Path{}, err
	}
	// It leads on at both ends, because the edges beside the run may lean away.
	start, end := inner.TangentAt(0), inner.TangentAt(inner.Length())
	lead := float64(2 * width)
	long, err := Line(inner.Start().Sub(start.Scale(lead)), inner.Start()).Append(inner, Line(inner.End(), inner.End().Add(end.Scale(lead))))
	if err != nil {
		return Path{}, err
	}
	middle := long.Length() / 2
	from, to := Length(-1), Length(-1)
	for _, x := range long.Intersections(p.outline) {
		switch {
		case x.S+x.Shared <= middle:
			from = x.S + x.Shared
		case to < 0 && x.S >= middle:
			to = x.S
		}
	}
	if from < 0 || to < 0 || !p.inside(long.At(middle)) {
		return Path{}, fmt.Errorf("a width of %s does not fit into the piece, want less", width)
	}
	return long.Between(from, to)
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
