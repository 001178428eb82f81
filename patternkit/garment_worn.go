package patternkit

import (
	"fmt"
	"math"
)

// A Worn is the top edge where it is worn: what it lies around, how far that
// may be off, and what the edge and its elastic do there.
type Worn struct {
	Where     string  // "on the shoulders", "off the shoulders"
	Girth     Length  // of the body under the edge
	PlusMinus Length  // one standard deviation, of what is estimated
	From      string  // what the girth is derived from
	Gather    float64 // top edge of the cloth : girth
	Elastic   Elastic // cut for this place
}

// neckBreadth is the breadth of the neck base as a share of its girth: what the
// shoulders leave of the breadth between the shoulder points. Mean of the 1,986
// women of ANSUR II: (biacromialbreadth − 2 × shoulderlength × cos 21.3°) ÷
// neckcircumferencebase.
const neckBreadth = 0.305

// overShoulders is a ring over both shoulder points, to twice the breadth
// between them: the back is round and the chest stands out, so that it is longer
// than there and back. 1.05 ± 0.05 (common practice, no source).
const (
	overShoulders    = 1.05
	overShouldersOff = 0.05
)

// worn are the two places where the edge is worn.
//
// Off the shoulders it lies around both upper arms: the ShoulderGirth. On them
// it lies between the neck base and a ring over both shoulder points, at a share
// of the way.
func (o GatheredTopOptions) worn(b Body) ([2]Worn, error) {
	if err := checkNeeded("girths of the top edge", needed{"ShoulderGirth", float64(b.ShoulderGirth)}, needed{"NeckBaseGirth", float64(b.NeckBaseGirth)},
		needed{"ShoulderLength", float64(b.ShoulderLength)}, needed{"ShoulderSlope", float64(b.ShoulderSlope)}); err != nil {
		return [2]Worn{}, err
	}
	breadth := neckBreadth*b.NeckBaseGirth + 2*b.ShoulderLength*Length(b.ShoulderSlope.Cos())
	points := 2 * breadth * overShoulders
	on := b.NeckBaseGirth + (points-b.NeckBaseGirth)*Length(o.OnShoulder)
	if on > b.ShoulderGirth {
		return [2]Worn{}, fmt.Errorf("girths of the top edge: on the shoulders it would lie around %s, off them around %s: measure NeckBaseGirth (%s), ShoulderLength (%s) and ShoulderGirth again",
			on, b.ShoulderGirth, b.NeckBaseGirth, b.ShoulderLength)
	}
	share := o.OnShoulder
	off := math.Hypot(share*2*float64(breadth)*overShouldersOff,
		math.Hypot((1-share+share*2*neckBreadth*overShoulders)*b.plusMinus("NeckBaseGirth"), share*4*overShoulders*b.plusMinus("ShoulderLength")))
	return [2]Worn{
		{Where: "on the shoulders", Girth: on, PlusMinus: Length(off),
			From: fmt.Sprintf("%.0f %% of the way from the neck base (%.1f cm) to a ring over both shoulder points, about %.1f cm: twice the breadth between them, reckoned from NeckBaseGirth, ShoulderLength and ShoulderSlope, and 5 %% more",
				100*share, b.NeckBaseGirth.CM(), points.CM())},
		{Where: "off the shoulders", Girth: b.ShoulderGirth, PlusMinus: Length(b.plusMinus("ShoulderGirth")),
			From: "ShoulderGirth, around both upper arms"},
	}, nil
}

// plusMinus is how far a measurement may be off, 0 where it was taken.
func (b Body) plusMinus(field string) float64 {
	e, ok := b.estimate(fieldIndex(field))
	if !ok {
		return 0
	}
	return float64(e.PlusMinus)
}

// topEdgeGirth is the top edge all around, flat.
func (g GatheredTop) topEdgeGirth() Length {
	var sum Length
	for _, piece := range g.pattern.pieces {
		length, _ := piece.EdgeLength(topEdge) // every piece has it
		sum += length * Length(piece.copies())
	}
	return sum
}

// Worn returns the top edge on the shoulders and off them, each with the
// elastic that is cut for it. It is an error where the body lacks
// ShoulderGirth, NeckBaseGirth, ShoulderLength or ShoulderSlope; Estimated
// fills them.
func (g GatheredTop) Worn(b Body) ([]Worn, error) {
	worn, err := g.options.worn(b)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", gatheredWhat, err)
	}
	for i := range worn {
		w := &worn[i]
		w.Gather = float64(g.topEdgeGirth() / w.Girth)
		if w.Elastic, err = NewElastic(topEdge, g.options.Elastic, w.Girth, g.options.Reduction); err != nil {
			return nil, fmt.Errorf("%s: %w", gatheredWhat, err)
		}
		w.Elastic.Where = w.Where
	}
	return worn[:], nil
}

// Elastics returns what elastic the top takes: one ring in the top edge, cut
// for the shoulders or for off them, whichever the maker chooses by its Where;
// and two in the sleeves where their hems are gathered, for the upper arm. It is
// an error where the body lacks a girth; Estimated fills them.
func (g GatheredTop) Elastics(b Body) ([]Elastic, error) {
	worn, err := g.Worn(b)
	if err != nil {
		return nil, err
	}
	elastics := []Elastic{worn[0].Elastic, worn[1].Elastic}
	if g.options.SleeveElastic == 0 {
		return elastics, nil
	}
	arm, where := g.armAt(b)
	e, err := NewElastic("hem", g.options.SleeveElastic, arm, min(g.options.Reduction, mostSleeveReduction))
	if err != nil {
		return nil, fmt.Errorf("%s: sleeve: %w", gatheredWhat, err)
	}
	e.Where, e.Count = where, 2
	return append(elastics, e), nil
}

// mostSleeveReduction is the most by which an elastic around an arm is shorter
// (common practice, no source: 0 to 10 %).
const mostSleeveReduction = 0.1

// armAt is the girth of the arm at the hem of the sleeve: the wrist of one that
// still has its elbow line, else the upper arm.
func (g GatheredTop) armAt(b Body) (Length, string) {
	sleeve, _ := g.pattern.Piece("sleeve")
	if sleeve.hasInternal("elbow line") {
		return b.WristGirth, "wrist"
	}
	return b.UpperArmGirth, "upper arm"
}
