package patternkit

import (
	"fmt"
	"math"

	"patternkit/patternkit/geom"
)

// cutTolerance is how near the curves of a cut line follow the true parallel
// of the stitch line.
const cutTolerance = 0.002 * MM

// A cutSide is a stretch of the stitch line with its part of the cut line. It
// stands for an edge, or for the mouth of a dart shaped as it is folded shut.
type cutSide struct {
	Allowance
	mouth, fold bool
	backwards   bool // read clockwise, with the piece on its right
	foldedBack  bool // shaped at an end by what it lies on
	stitch      Path
	bend        float64 // the most that stitch bends toward cut, in 1/mm, infinite at a corner
	cut         Path    // beside stitch, then cut and lengthened at its corners
	join        Path    // from the end of cut to the next side's
}

// CutLine returns where the cloth is cut: the stitch line with each edge moved
// out by its own allowance, one closed path counterclockwise. Curves stay
// curves, within 0.01 mm of the true parallel, and no edge has less than its
// width square to it anywhere, except that an edge folded back is shaped to lie
// on the piece when it is turned up.
//
// Cut lines of neighbouring edges run on until they meet. Where the wider of
// two would have to come in for that, as between different widths at a flat
// corner, it ends square to its edge with a step. A mitre longer than 3 widths
// is cut off square. Squared and folded back edges end as Corner says; where
// both neighbours ask for the same, they are mitred. The cut line crosses the
// line of the fold in a straight run of it. The mouth of a dart or pleat is
// shaped by DartFold or PleatFold.
//
// It is an error where an edge has no allowance said, where an edge beside a
// folded back one is too short to lie under it, where a dart has unequal legs
// or no side to be pressed to (WithDartPressed), and where allowances are too wide to leave one
// outline.
func (p Piece) CutLine() (Path, error) {
	sides, err := p.cutSides()
	if err != nil {
		return Path{}, err
	}
	for i := range sides {
		j := (i + 1) % len(sides)
		if err := turnCorner(&sides[i], &sides[j]); err != nil {
			return Path{}, fmt.Errorf("piece %q: %w", p.name, err)
		}
	}
	raw, err := joinedSides(sides)
	if err != nil {
		return Path{}, fmt.Errorf("piece %q: cut line: %w", p.name, err)
	}
	k := newCutCheck(sides)
	cut, err := raw.Trimmed(k.misplaced)
	// What crossed itself nowhere came back as it was.
	if err == nil && !(cut.Closed() && (cut == raw || cut.Simple()) && k.encloses(cut)) {
		err = fmt.Errorf("it is not one outline around the piece")
	}
	if err != nil {
		return Path{}, fmt.Errorf("piece %q: cut line: %w; want narrower allowances%s", p.name, err, tightest(sides))
	}
	return cut, nil
}

// cutSides lays out the sides with their parallels, corners still open.
func (p Piece) cutSides() ([]cutSide, error) {
	sides := make([]cutSide, len(p.edges))
	for i, e := range p.edges {
		s := cutSide{mouth: p.isMouth(e.Name), fold: e.Name == p.fold, stitch: e.Path}
		var err error
		if s.mouth {
			err = s.shapeMouth(p, i)
		} else {
			s.Allowance, err = p.Allowance(e.Name)
		}
		if err != nil {
			return nil, err
		}
		if s.cut, err = s.stitch.Parallel(s.Width, cutTolerance); err != nil {
			return nil, fmt.Errorf("piece %q: edge %q: %w", p.name, e.Name, err)
		}
		if s.bend = s.mostBend(); s.bend*float64(s.Width) > tightBend {
			own, err := s.cut.Trimmed(newCutCheck([]cutSide{s}).tooNear)
			switch {
			case err == nil:
				s.cut = own
			case !s.mouth: // a small fold that points inward goes under in its neighbours' cut lines
				return nil, fmt.Errorf("piece %q: allowance of %q is %s: %w; want less%s", p.name, e.Name, s.Width, err, tightest([]cutSide{s}))
			}
		}
		sides[i] = s
	}
	return sides, nil
}

// shapeMouth makes s the mouth of a dart or pleat as it is folded shut, with
// the widest allowance of the edges beside it and those that it lies on.
func (s *cutSide) shapeMouth(p Piece, i int) error {
	n := len(p.edges)
	on, err := s.foldShut(p, p.edges[i].Name)
	if err != nil {
		return fmt.Errorf("cut line across a fold: %w", err)
	}
	if own, err := p.Allowance(p.edges[i].Name); err == nil && own.Width > 0 && !p.hasEverywhere {
		s.Allowance = own
		return nil
	}
	s.Allowance = Allowance{Edge: p.edges[i].Name}
	for _, edge := range append(on, p.edges[(i+n-1)%n].Name, p.edges[(i+1)%n].Name) {
		a, err := p.Allowance(edge)
		if err != nil {
			return err
		}
		s.Width = max(s.Width, a.Width)
	}
	return nil
}

// foldShut gives s the shape of a mouth and names the edges that it lies on. The
// free end of a pleat lies flat.
func (s *cutSide) foldShut(p Piece, mouth string) (on []string, err error) {
	for _, d := range p.darts {
		if d.Mouth != mouth {
			continue
		}
		toward, err := p.dartPressed(d)
		if err != nil {
			return nil, err
		}
		s.stitch, on, err = p.dartFold(d.Name, toward)
		return on, err
	}
	for _, pl := range p.pleats {
		if pl.Mouth == mouth {
			s.stitch, err = p.PleatFold(pl.Name)
			return nil, err
		}
	}
	return nil, nil
}

// joinedSides lines up the sides and what joins them.
func joinedSides(sides []cutSide) (Path, error) {
	segs := make([]geom.Segment, 0, 8*len(sides))
	add := func(path Path) {
		for _, g := range path.Segments() {
			if len(segs) > 0 {
				if gap := segs[len(segs)-1].B.Dist(g.A); gap > joinTolerance {
					segs = append(segs, geom.Segment{A: segs[len(segs)-1].B, B: g.A})
				}
				g.A = segs[len(segs)-1].B
			}
			segs = append(segs, g)
		}
	}
	for _, s := range sides {
		add(s.cut)
		add(s.join)
	}
	if len(segs) == 0 {
		return Path{}, fmt.Errorf("nothing is left of it")
	}
	if start := segs[0].A; segs[len(segs)-1].B.Dist(start) > joinTolerance {
		segs = append(segs, geom.Segment{A: segs[len(segs)-1].B, B: start})
	} else {
		segs[len(segs)-1].B = start
	}
	return geom.PathOf(segs...)
}

// tightest names the edge that bends in most sharply for its allowance.
func tightest(sides []cutSide) string {
	name, worst, radius := "", 0.5, Length(0)
	for _, s := range sides {
		for i := range 65 {
			bend := s.bendsIn(s.stitch.Length() * Length(i) / 64)
			if share := bend * float64(s.Width); share > worst && !math.IsInf(share, 0) {
				name, worst, radius = s.Edge, share, Length(1/bend)
			}
		}
	}
	if name == "" {
		return ""
	}
	return fmt.Sprintf(": edge %q bends in with a radius of %s", name, radius)
}
