package patternkit

import (
	"fmt"
	"math"
	"strings"
)

// PleatAt says where a pleat is laid into a piece, how deep it is and how it
// is folded.
type PleatAt struct {
	Name string
	Kind PleatKind
	// The piece is slashed from From, the edge that the pleat is folded and
	// sewn into, to To, where it hangs free.
	From, To    OnEdge
	Depth       Length // from fold to fold at From, 1 mm to 50 cm
	Widens      Length // how much deeper it is at To: 0 for folds that run parallel, -Depth for folds that run out
	BothEnds    bool   // folded and sewn in at To as well
	TowardStart bool   // as of Pleat
	Sewn        Length // as of Pleat, of a Tuck: 0 is stitched from end to end
}

// A foldLine is one line of a pleat and where it lies across the pleat, from 0
// to 1 in outline order of its edge.
type foldLine struct {
	name string
	at   float64
}

// foldLines are the lines along which a pleat is folded. A fold line shows, an
// inner fold lies under it, and a placement line is where folds come to lie.
func (k PleatKind) foldLines(towardStart bool) []foldLine {
	switch k {
	case BoxPleat: // the inner folds meet under the middle of the box
		return []foldLine{{"inner fold", 0}, {"fold line", 0.25}, {"fold line", 0.75}, {"inner fold", 1}}
	case InvertedPleat:
		return []foldLine{{"fold line", 0}, {"inner fold", 0.25}, {"placement line", 0.5}, {"inner fold", 0.75}, {"fold line", 1}}
	case Tuck:
		return []foldLine{{"stitch line", 0}, {"fold line", 0.5}, {"stitch line", 1}}
	}
	if towardStart {
		return []foldLine{{"placement line", 0}, {"inner fold", 0.5}, {"fold line", 1}}
	}
	return []foldLine{{"fold line", 0}, {"inner fold", 0.5}, {"placement line", 1}}
}

// Pleated returns p slashed and spread by what each pleat takes, its fold
// lines drawn in: "side pleat fold line". A knife pleat or a tuck takes 2
// depths, a box or an inverted pleat 4 (exact for equal folds; a tuck of
// finished width t takes 2 t). The edge at From keeps its length with the
// pleat folded; that at To gains what the pleat takes there, or keeps its
// length too with BothEnds. All other edges keep theirs.
func (p Piece) Pleated(pleats ...PleatAt) (Piece, error) {
	if len(pleats) == 0 {
		return Piece{}, fmt.Errorf("piece %q is to be pleated nowhere, want at least one pleat", p.name)
	}
	c := opened(p)
	cuts := make([]openSlash, len(pleats))
	for i, pl := range pleats {
		if err := pl.check(p); err != nil {
			return Piece{}, err
		}
		var err error
		if cuts[i], err = c.markSlash(pl.slash(), p.fold); err != nil {
			return Piece{}, fmt.Errorf("pleat %q: %w", pl.Name, err)
		}
		cuts[i].fromName = pl.Name + " mouth"
		if pl.BothEnds {
			cuts[i].toName = pl.Name + " end"
		}
	}
	if err := c.checkSlashes(cuts); err != nil {
		return Piece{}, err
	}
	for i, pl := range pleats {
		next, gap, err := c.slashed(cuts[i], p.fold)
		if err != nil {
			return Piece{}, err
		}
		next.internals = append(next.internals[:len(next.internals):len(next.internals)], pl.lines(gap)...)
		c = next
	}
	out, err := c.startingAt(0).piece(p)
	if err != nil {
		return Piece{}, fmt.Errorf("pleated: %w", err)
	}
	for _, pl := range pleats {
		if out, err = out.WithPleat(pl.pleat()); err != nil {
			return Piece{}, err
		}
	}
	return out, nil
}

func (pl PleatAt) check(p Piece) error {
	about := fmt.Sprintf("piece %q: pleat %q", p.name, pl.Name)
	if strings.TrimSpace(pl.Name) == "" {
		return fmt.Errorf("piece %q: a pleat from %s has no name, want one such as \"side pleat\"", p.name, pl.From)
	}
	if pl.Kind < KnifePleat || pl.Kind > Tuck {
		return fmt.Errorf("%s is of kind %v, want KnifePleat, BoxPleat, InvertedPleat or Tuck", about, pl.Kind)
	}
	if err := checkRange(about, "Depth", pl.Depth, 1*MM, 50*CM); err != nil {
		return err
	}
	if err := checkRange(about, "Widens", pl.Widens, -pl.Depth, 50*CM); err != nil {
		return err
	}
	switch {
	case pl.BothEnds && pl.Depth+pl.Widens < shortestEdge:
		return fmt.Errorf("%s runs out at %s and can't be folded in there, want it to end in BothEnds false", about, pl.To)
	case pl.Sewn != 0 && pl.Kind != Tuck:
		return fmt.Errorf("%s is a %v stitched down for %s, want a Tuck to stitch down", about, pl.Kind, pl.Sewn)
	case !(pl.Sewn >= 0) || !pl.Sewn.Finite():
		return fmt.Errorf("%s is stitched down for %s, want 0 for its whole length, or more", about, pl.Sewn)
	}
	return nil
}

func (pl PleatAt) slash() Slash {
	n := pl.Kind.depths()
	return Slash{From: pl.From, To: pl.To, AtFrom: n * pl.Depth, AtTo: n * (pl.Depth + pl.Widens)}
}

func (pl PleatAt) pleat() Pleat {
	out := Pleat{Name: pl.Name, Kind: pl.Kind, Mouth: pl.Name + " mouth", TowardStart: pl.TowardStart, Sewn: pl.Sewn}
	if pl.BothEnds {
		out.End = pl.Name + " end"
	}
	return out
}

// evenTurn is where across the mouth of a pleat, whose sides spread by turn,
// the line lies that takes its part of the turn: layers are then mirror images
// of each other at the fold between them, and lie on each other when folded.
func evenTurn(part float64, turn Angle) float64 {
	if math.Abs(float64(turn)) < 1e-9 {
		return part
	}
	return 0.5 + (Angle(part-0.5)*turn).Tan()/(2*(turn/2).Tan())
}

// lines draws the fold lines across an opening. The stitch lines of a tuck end
// where its stitching does.
func (pl PleatAt) lines(gap slashGap) []Edge {
	var out []Edge
	turn := gap.to[1].Sub(gap.from[0]).AngleTo(gap.to[0].Sub(gap.from[1]))
	for _, l := range pl.Kind.foldLines(pl.TowardStart) {
		at := evenTurn(l.at, turn)
		a, b := gap.from[0].Lerp(gap.from[1], at), gap.to[1].Lerp(gap.to[0], at)
		if long := a.Dist(b); pl.Sewn > 0 && pl.Sewn < long && l.name == "stitch line" {
			b = a.Lerp(b, float64(pl.Sewn/long))
		}
		out = append(out, Edge{pl.Name + " " + l.name, Line(a, b)})
	}
	return out
}
