package patternkit

import (
	"fmt"
	"strings"

	"patternkit/patternkit/geom"
)

// PleatFold returns the path that the edge takes across the mouth of a pleat
// so that the pleat, folded, ends in the seam: from the start of the mouth to
// its end in outline order. Each layer lies, once folded, along the edge beside
// it, so it is that edge mirrored at the folds. It is an error where that edge
// is too short to lie along the whole layer, or where the piece has lost the
// fold lines of the pleat.
func (p Piece) PleatFold(name string) (Path, error) {
	pl, err := p.Pleat(name)
	if err != nil {
		return Path{}, err
	}
	mouth, err := p.Edge(pl.Mouth)
	if err != nil {
		return Path{}, err
	}
	asDart := Dart{Name: pl.Name, Mouth: pl.Mouth} // for the edges beside the mouth
	before, after := p.besideMouth(asDart, true), p.besideMouth(asDart, false)
	switch {
	case pl.Kind == BoxPleat || pl.Kind == InvertedPleat:
		first, err := p.layersAlong(pl, mouth[0].Path, before, 0, 0.25)
		if err != nil {
			return Path{}, err
		}
		second, err := p.layersAlong(pl, mouth[0].Path, after, 1, 0.75)
		if err != nil {
			return Path{}, err
		}
		return first.Append(second.Reversed())
	case pl.TowardStart:
		layers, err := p.layersAlong(pl, mouth[0].Path, after, 1, 0.5)
		return layers.Reversed(), err
	}
	return p.layersAlong(pl, mouth[0].Path, before, 0, 0.5)
}

// layersAlong shapes two layers of a pleat along the edge beside it: from the
// line at one end of its mouth to the fold between the layers and on to where
// they come out again. end and fold are parts of the mouth.
func (p Piece) layersAlong(pl Pleat, mouth Path, beside Edge, end, fold float64) (Path, error) {
	first, err := p.pleatLineAt(pl, mouth, 0)
	if err != nil {
		return Path{}, err
	}
	last, err := p.pleatLineAt(pl, mouth, 1)
	if err != nil {
		return Path{}, err
	}
	turn := first[1].Sub(first[0]).AngleTo(last[1].Sub(last[0]))
	inner, err := p.pleatLineAt(pl, mouth, evenTurn(fold, turn))
	if err != nil {
		return Path{}, err
	}
	lines := [2][2]Point{first, inner}
	if end == 1 {
		lines[0] = last
	}
	near := beside.Path.Transformed(geom.Mirror(lines[0][0], lines[0][1]))
	along := lines[1][1].Sub(lines[1][0]).Unit().Scale(float64(near.Length() + 1*M))
	crossings := near.Intersections(Line(lines[1][0].Sub(along), lines[1][0].Add(along)))
	if len(crossings) == 0 {
		return Path{}, fmt.Errorf("piece %q: edge %q is %s beside the pleat %q, too short to lie along the folded pleat: turn it the other way or make it less deep",
			p.name, beside.Name, beside.Path.Length(), pl.Name)
	}
	s := crossings[0].S
	for _, x := range crossings {
		s = min(s, x.S)
	}
	if near, err = near.Between(0, s); err != nil {
		return Path{}, err
	}
	return near.Append(near.Transformed(geom.Mirror(lines[1][0], lines[1][1])).Reversed())
}

// pleatLineAt returns the line of a pleat that runs in from a place of its
// mouth, a part of the way across.
func (p Piece) pleatLineAt(pl Pleat, mouth Path, part float64) ([2]Point, error) {
	at := mouth.Start().Lerp(mouth.End(), part)
	for _, l := range p.internals {
		if strings.HasPrefix(l.Name, pl.Name+" ") && l.Path.Start().Dist(at) <= 0.01*MM {
			return [2]Point{l.Path.Start(), l.Path.End()}, nil
		}
	}
	return [2]Point{}, fmt.Errorf("piece %q: pleat %q has no fold line at %s, want the lines that Pleated draws", p.name, pl.Name, place(at))
}
