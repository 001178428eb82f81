package patternkit

import (
	"fmt"
	"slices"
	"strings"
)

// passing are the girths of the trunk from the head down, each with the rank
// of a ring that sits there.
var passing = []struct {
	rank         int
	field, words string
}{
	{rankNeck, "HeadGirth", "head"},
	{rankTop, "ShoulderGirth", "shoulders"},
	{rankBust, "BustGirth", "bust"},
	{rankWaist, "WaistGirth", "waist"},
	{rankHip, "HipGirth", "hip"},
}

// A pullOnCheck gathers the rings of a garment and what must pass them.
type pullOnCheck struct {
	pattern   Pattern
	body      Body
	cloth     Cloth
	rows      []PullOnRow
	ranks     []int // of the rings around the trunk, 0 for the others
	missing   []string
	estimated []Estimate
}

// girth returns a girth of the body, noting one that is missing or estimated.
func (c *pullOnCheck) girth(field string) Length {
	i := fieldIndex(field)
	v := Length(c.body.field(i))
	if v == 0 && !slices.Contains(c.missing, field) {
		c.missing = append(c.missing, field)
	}
	if e, ok := c.body.estimate(i); ok && !slices.Contains(c.estimated, e) {
		c.estimated = append(c.estimated, e)
	}
	return v
}

// openings takes in the edges that no seam takes.
func (c *pullOnCheck) openings() {
	for _, ring := range c.pattern.rings() {
		if over, words := c.limb(ring); over != "" {
			c.add(PullOnRow{Ring: c.limbWords(ring), Girth: ring.length, OverHead: c.passage(words, c.girth(over), ring.length),
				at: c.pattern.edgeMarks(ring.edges)}, 0)
		} else if rank := ring.rank(); rank != 0 {
			c.add(PullOnRow{Ring: ring.words(), Girth: ring.length, Trunk: true, at: c.pattern.edgeMarks(ring.edges)}, rank)
		}
	}
}

func (c *pullOnCheck) add(row PullOnRow, rank int) {
	c.rows = append(c.rows, row)
	c.ranks = append(c.ranks, rank)
}

// limb says which girth must pass a ring around a limb, "" for another ring.
func (c *pullOnCheck) limb(r garmentRing) (field, words string) {
	if !r.round {
		return "", ""
	}
	if r.has("armhole") {
		return "UpperArmGirth", "upper arm"
	}
	for _, a := range r.edges {
		piece, _ := c.pattern.Piece(a.Piece)
		name := strings.ToLower(piece.name)
		switch {
		case piece.hasInternal("elbow line"):
			return "HandGirth", "hand"
		case piece.hasInternal("biceps line") || strings.Contains(name, "sleeve"):
			return "ElbowGirth", "elbow"
		case strings.Contains(name, "cuff"):
			return "HandGirth", "hand"
		case piece.hasInternal("knee line") || piece.hasInternal("thigh line"):
			return "HeelGirth", "heel"
		}
	}
	return "", ""
}

func (c *pullOnCheck) limbWords(r garmentRing) string {
	if r.has("armhole") {
		return r.words()
	}
	return r.edges[0].Piece + " " + r.words()
}

// rank says where a ring sits on the trunk, by the names of its edges: the
// lowest place that one of them names, 0 where none does. A ring that opens
// may run from the neck to the hem.
func (r garmentRing) rank() int {
	rank := 0
	for _, w := range []struct {
		word string
		rank int
	}{{"neck", rankNeck}, {"top", rankTop}, {"waist", rankWaist}, {"hip", rankHip}, {"hem", rankHem}} {
		if r.has(w.word) {
			rank = w.rank
		}
	}
	return rank
}

// levels takes in the bust, the waist and the hip of a garment that does not
// open, where they are no openings themselves.
func (c *pullOnCheck) levels() {
	if slices.ContainsFunc(c.rows, func(r PullOnRow) bool { return r.Trunk && r.Girth == 0 }) {
		return
	}
	for _, level := range girthLevels {
		if level.rank == 0 || slices.Contains(c.ranks, level.rank) {
			continue
		}
		if around, at := c.pattern.girthAt(level); len(at) > 0 {
			c.add(PullOnRow{Ring: level.name, Girth: around, Trunk: true, at: at}, level.rank)
		}
	}
}

// own takes in the rings that the designer names.
func (c *pullOnCheck) own(openings []Opening) error {
	for _, o := range openings {
		if strings.TrimSpace(o.Name) == "" || len(o.Edges) == 0 {
			return fmt.Errorf("opening %q of %d edges, want a name and at least one edge", o.Name, len(o.Edges))
		}
		if err := checkRange(fmt.Sprintf("opening %q", o.Name), "Over", o.Over, 5*CM, 300*CM); err != nil {
			return err
		}
		for _, a := range o.Edges {
			piece, err := c.pattern.Piece(a.Piece)
			if err != nil {
				return fmt.Errorf("opening %q: %w", o.Name, err)
			}
			if _, err := piece.run(a.Edge); err != nil {
				return fmt.Errorf("opening %q: %w", o.Name, err)
			}
		}
		around := c.pattern.around(garmentRing{edges: o.Edges, round: o.Once})
		row := PullOnRow{Ring: o.Name, Girth: around, OverHead: c.passage("girth given", o.Over, around),
			at: c.pattern.edgeMarks(o.Edges)}
		if i := slices.IndexFunc(c.rows, func(r PullOnRow) bool { return r.Ring == o.Name }); i >= 0 {
			c.rows[i], c.ranks[i] = row, 0
			continue
		}
		c.add(row, 0)
	}
	return nil
}

// passage holds one girth against a ring.
func (c *pullOnCheck) passage(words string, girth, ring Length) Passage {
	w := Passage{Over: words, Widest: girth, Least: c.cloth.toPass(girth)}
	if short := w.Least - ring; ring > 0 && short > walkTolerance {
		w.Short = short
	}
	return w
}

// judge says of each ring whether it passes. What goes around the trunk is
// judged by the way that lacks least.
func (c *pullOnCheck) judge() {
	hipped := slices.Contains(c.ranks, rankHip)
	var over, below Length
	for i := range c.rows {
		if c.ranks[i] > 0 {
			c.trunk(&c.rows[i], c.ranks[i], hipped)
			over += c.rows[i].OverHead.Short
			below += c.rows[i].Below.Short
		}
	}
	for i := range c.rows {
		r := &c.rows[i]
		way, words := r.OverHead, ""
		if c.ranks[i] > 0 {
			words = " over the head"
			if below < over {
				way, words = r.Below, " from below"
			}
		}
		r.Fault, r.judged, r.how = way.Short > 0, way, words
		switch {
		case r.Girth == 0:
			r.Verdict = "opens, not pulled on"
		case r.Fault:
			r.Verdict = fmt.Sprintf("FAULT: %s cm too narrow for the %s%s", inCM(way.Short), way.Over, words)
		case way.Over == "":
			r.Verdict = "passed by nothing" + words
		default:
			r.Verdict = "passes" + words
		}
	}
}

// trunk finds the widest of the body on both sides of a ring. A hem sits no
// lower than the hip is measured.
func (c *pullOnCheck) trunk(r *PullOnRow, rank int, hipped bool) {
	lowest := rank
	if rank == rankHem && !hipped {
		lowest = rankBust
	}
	for _, g := range passing {
		if g.rank <= lowest {
			if v := c.girth(g.field); v > r.OverHead.Widest {
				r.OverHead = c.passage(g.words, v, r.Girth)
			}
		}
		if g.rank >= rank && g.rank > rankNeck {
			if v := c.girth(g.field); v > r.Below.Widest {
				r.Below = c.passage(g.words, v, r.Girth)
			}
		}
	}
}
