package patternkit

import (
	"fmt"
	"slices"

	"patternkit/patternkit/geom"
)

// A shutChunk is what lies to the right of a line between two darts whose
// mouths lie there.
type shutChunk struct {
	clothPart
	seam  []openEdge // its stretches of the new edge, in outline order
	darts []Dart     // those whose tips lie here, their mouths now in the new edge
	place Transform  // to where it lies with the darts beside it shut, the first chunk staying
}

// beside parts c along a line into what lies to its left and to its right.
// Each side has the new edge under the given name. A dart that the line
// crosses goes on as a dart from the new edge to its tip on the one side; on
// the other side it is shut, and what was drawn inside it there is gone. The
// chunk on the fold stays in place, else that with the grainline, else the
// longest.
func (c openPiece) beside(l shutLine, from, to int, seam, fold string) (left, right openPiece, err error) {
	rightChunks, rightAway, err := c.rightOf(l, from, to, seam)
	if err != nil {
		return left, right, err
	}
	leftChunks, leftAway, err := c.rightOf(l.reversed(), to, from, seam)
	if err != nil {
		return left, right, err
	}
	var parts []clothPart
	for _, k := range slices.Concat(leftChunks, rightChunks) {
		parts = append(parts, k.clothPart)
	}
	open, err := c.parted(parts, slices.Concat(leftAway, rightAway))
	if err != nil {
		return left, right, err
	}
	left = c.shut(leftChunks, open[:len(leftChunks)], fold)
	right = c.shut(rightChunks, open[len(leftChunks):], fold)
	return left, right, nil
}

// rightOf returns the chunks to the right of a line in outline order, from the
// corner where it starts to that where it ends, and what is folded away
// between them.
func (c openPiece) rightOf(l shutLine, from, to int, seam string) (chunks []shutChunk, away []clothRegion, err error) {
	k, first := shutChunk{place: geom.Translate(Point{})}, from
	var back []Path // the way from the start of the chunk along the line, so far
	finish := func(last int, beyond ...Path) error {
		way, err := Path{}.Append(append(back, beyond...)...)
		if err != nil {
			return err
		}
		if first == last {
			return fmt.Errorf("piece %q: the line starts or ends at a dart that it crosses, want it beside the dart", c.name)
		}
		k.edges, k.cut = c.between(first, last), way.Reversed()
		chunks = append(chunks, k)
		return nil
	}
	for i, stretch := range l.stretches {
		back = append(back, stretch)
		shutNext := i < len(l.darts) && l.darts[i].tipLeft
		k.seam = slices.Insert(k.seam, 0, openEdge{Edge: Edge{seam, stretch.Reversed()}, glued: shutNext})
		if i == len(l.darts) {
			break
		}
		d, onward := l.darts[i], l.stretches[i+1].Start()
		chord := Line(stretch.End(), onward)
		if !d.tipLeft {
			k.seam = slices.Insert(k.seam, 0, openEdge{Edge: Edge{d.Mouth, chord.Reversed()}})
			k.darts = append(k.darts, d.Dart)
			back = append(back, chord)
			continue
		}
		mouth := c.edges[c.index(c.mouthOf(d.Dart))]
		if len(mouth.notches) > 0 {
			return nil, nil, fmt.Errorf("piece %q: notch %q lies in the mouth of the %s, which is to be shut along the line", c.name, mouth.notches[0].Name, d.Name)
		}
		leg, next := Line(stretch.End(), mouth.Path.Start()), Line(mouth.Path.End(), onward)
		if err := finish(mouth.id, leg); err != nil {
			return nil, nil, err
		}
		wedge := Polyline(mouth.Path.End(), onward, stretch.End(), mouth.Path.Start())
		away = append(away, regionOf([]openEdge{mouth}, wedge))
		k, first, back = shutChunk{place: d.back.Then(k.place)}, c.after(mouth.id), []Path{next}
	}
	return chunks, away, finish(to)
}

// shut lays the chunks of one side together, the darts between them closed,
// and closes them with the new edge.
func (c openPiece) shut(chunks []shutChunk, open []openPiece, fold string) openPiece {
	anchor := 0
	for i := range open {
		if !open[anchor].anchored(open[i], fold) {
			anchor = i
		}
	}
	// The moves are turns, so there is always a way back.
	toAnchor, _ := chunks[anchor].place.Inverse()
	var seam []openEdge
	for i, k := range chunks {
		move := k.place.Then(toAnchor)
		open[i].darts = append(open[i].darts, k.darts...)
		open[i].pressed = append(open[i].pressed, pressedOf(c.pressed, k.darts)...)
		if i != anchor {
			open[i] = open[i].transformed(move)
			k.seam = openPiece{edges: k.seam}.transformed(move).edges
		}
		if i > 0 {
			before := open[i-1].edges[len(open[i-1].edges)-1]
			open[i].edges = slices.Clone(open[i].edges)
			open[i].edges[0].glued = open[i].edges[0].Name == before.Name
		}
		seam = slices.Concat(k.seam, seam)
	}
	out := joinOpen(c.name, open...)
	if len(open) > 1 { // lines that were cut at the legs meet again
		out.internals = continuedLines(nil, out.internals)
	}
	for _, e := range seam {
		out.last++
		e.id = out.last
		out.edges = append(out.edges, e)
	}
	return out
}

// pressedOf are the points toward which some darts are pressed.
func pressedOf(pressed []NamedPoint, darts []Dart) []NamedPoint {
	var out []NamedPoint
	for _, q := range pressed {
		if slices.ContainsFunc(darts, func(d Dart) bool { return d.Name == q.Name }) {
			out = append(out, q)
		}
	}
	return out
}
