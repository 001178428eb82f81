package patternkit

import (
	"fmt"
	"math"
)

// A Casing is an edge turned twice and stitched down, with an elastic run
// through it. From the finished edge in: the channel, as wide as the elastic
// and its clearance, the line of stitching, and the inner folded edge.
type Casing struct {
	Edge      string
	Elastic   Length // width of the elastic
	Clearance Length // by which the channel is wider
	Turn      Length // by which the raw edge is turned under, 1/4 in when zero
	Stitching Length // from the inner folded edge to the stitching, 1/8 in when zero
}

// What of a casing is common practice (no source): the raw edge turned by 1/4
// in, stitched 1/8 in from its fold, 2 in left open to thread the elastic.
const (
	casingTurn      = Inch / 4
	casingStitching = Inch / 8
	casingOpening   = 2 * Inch
)

// NewCasing returns the casing of an edge for an elastic. The elastic is 3 mm
// to 10 cm wide, the clearance 1 mm to 3 cm; an elastic of 1 1/2 in with 1/8
// in runs in a casing of 1 3/4 in.
func NewCasing(edge string, elastic, clearance Length) (Casing, error) {
	c := Casing{Edge: edge, Elastic: elastic, Clearance: clearance, Turn: casingTurn, Stitching: casingStitching}
	return c, c.check()
}

func (c Casing) check() error {
	about := fmt.Sprintf("casing of %q", c.Edge)
	if err := checkRange(about, "Elastic", c.Elastic, 3*MM, 10*CM); err != nil {
		return err
	}
	if err := checkRange(about, "Clearance", c.Clearance, 1*MM, 3*CM); err != nil {
		return err
	}
	c = c.whole()
	if err := checkRange(about, "Stitching", c.Stitching, 1*MM, 1*CM); err != nil {
		return err
	}
	return checkRange(about, "Turn", c.Turn, leastAllowance, c.Depth())
}

// whole fills in what is by custom.
func (c Casing) whole() Casing {
	if c.Turn == 0 {
		c.Turn = casingTurn
	}
	if c.Stitching == 0 {
		c.Stitching = casingStitching
	}
	return c
}

// Channel is the width that the elastic runs in.
func (c Casing) Channel() Length { return c.Elastic + c.Clearance }

// Depth is the width of the casing from the finished edge to its inner fold.
func (c Casing) Depth() Length { return c.Channel() + c.whole().Stitching }

// Allowance returns what the casing takes beyond the finished edge: its depth
// and the turn.
func (c Casing) Allowance() Allowance { return DoubleFoldHem(c.Edge, c.whole().Turn, c.Depth()) }

// WithCasing returns p with the allowance of a casing and its line of
// stitching, "waist stitching", which runs inside the edge from end to end. An
// edge in parts, with dart mouths between, or one that bends in more tightly
// than the channel is wide, is an error.
func (p Piece) WithCasing(c Casing) (Piece, error) {
	if err := c.check(); err != nil {
		return Piece{}, fmt.Errorf("piece %q: %w", p.name, err)
	}
	out, err := p.WithAllowance(c.Allowance())
	if err != nil {
		return Piece{}, err
	}
	parts, err := p.Edge(c.Edge)
	if err != nil {
		return Piece{}, err
	}
	if len(parts) > 1 {
		return Piece{}, fmt.Errorf("piece %q: edge %q is in %d parts, want it in one for a casing: close or move its darts", p.name, c.Edge, len(parts))
	}
	line, err := parts[0].Path.Offset(-c.Channel(), cutTolerance)
	if err != nil {
		return Piece{}, fmt.Errorf("piece %q: stitching of the casing of %q: %w", p.name, c.Edge, err)
	}
	return out.WithInternal(c.Edge+" stitching", toCutLine(line, p.outline, 2*c.Channel()+5*CM, true, true))
}

// Table returns the making of the casing in steps.
func (c Casing) Table() Table {
	c = c.whole()
	return Table{
		Title:   "Casing of the " + c.Edge,
		Columns: []Column{{Head: "Step"}, {Head: "Width (cm)", Number: true}},
		Rows: [][]string{
			{"allowance beyond the finished edge", inCM(c.Allowance().Width)},
			{"turn the raw edge under by", inCM(c.Turn)},
			{"turn the whole down by", inCM(c.Depth())},
			{"stitch from the inner folded edge at", inCM(c.Stitching)},
			{"leave open to thread the elastic", inCM(casingOpening)},
			{"the elastic runs in", inCM(c.Channel())},
			{"for an elastic of", inCM(c.Elastic)},
		},
		Notes: []string{"Turn, stitching and opening are common practice, no source. Cords and elastic ends on children's wear: see CautionsForChildren."},
	}
}

// HTML returns the steps as a table.
func (c Casing) HTML() string { return c.Table().HTML() }

// Markdown returns the steps as a table of pipes.
func (c Casing) Markdown() string { return c.Table().Markdown() }

// String returns the steps as text in columns.
func (c Casing) String() string { return c.Table().String() }

// ElasticLength returns how long an elastic is cut that lies around a girth of
// the body shorter by a share of it, from 0 to 0.5, and is joined into a ring
// with an overlap: girth times (1 − reduction) and the overlap. At the waist
// 0.05 to 0.10 is usual, at a sleeve or leg 0 to 0.10, with 1/2 in to join
// (common practice, no source); try it on the body.
func ElasticLength(girth Length, reduction float64, overlap Length) (Length, error) {
	if err := checkRange("elastic", "girth", girth, 8*CM, 3*M); err != nil {
		return 0, err
	}
	if !(reduction >= 0 && reduction <= 0.5) || math.IsNaN(reduction) {
		return 0, fmt.Errorf("elastic: reduction is %v, want a share from 0 to 0.5, such as 0.08 for 8 %%", reduction)
	}
	if overlap != 0 {
		if err := checkRange("elastic", "overlap", overlap, 5*MM, 10*CM); err != nil {
			return 0, err
		}
	}
	return girth*Length(1-reduction) + overlap, nil
}
