package patternkit

import (
	"fmt"
	"slices"
	"strings"
)

// dartWords tell how the darts of a piece are sewn.
func (m *making) dartWords(name string) string {
	piece, _ := m.pattern.Piece(name)
	var b strings.Builder
	switch n := piece.copies(); {
	case n == 2:
		b.WriteString("Sew each on the right and on the left. ")
	case n > 2:
		fmt.Fprintf(&b, "Sew each %d times. ", n)
	}
	if !m.toldDarts {
		m.toldDarts = true
		b.WriteString("Fold a dart through its middle, right sides together, its two lines on each other; stitch along them from the mouth to the point, run off the cloth there and tie the threads. ")
	}
	for _, d := range piece.darts {
		intake, _ := piece.DartIntake(d.Name)
		first, _ := piece.legs(d)
		fmt.Fprintf(&b, "\nThe %s takes %s at its mouth and is %s long", d.Name, makerLength(intake), makerLength(first))
		if toward := m.dartToward(piece, d); toward != "" {
			fmt.Fprintf(&b, "; press it %s", toward)
		}
		b.WriteString(". ")
	}
	return strings.TrimSpace(b.String())
}

// dartToward says which way a dart is pressed, by the edge that lies there.
func (m *making) dartToward(p Piece, d Dart) string {
	at, err := p.dartPressed(d)
	if err != nil {
		return ""
	}
	start, end := p.mouth(d)
	axis := start.Mid(end).Sub(d.Tip)
	toward := at.Sub(start.Mid(end))
	if a, b, ok := p.Grainline(); ok {
		grain := b.Sub(a).Unit()
		if Length(axis.Cross(grain)).Abs() > Length(axis.Dot(grain)).Abs() {
			if toward.Dot(grain) < 0 {
				return "down"
			}
			return "up"
		}
	}
	middle := p.outline.Bounds().Center()
	centre := Line(middle.Sub(axis.Scale(100)), middle.Add(axis.Scale(100)))
	for _, e := range p.edges {
		if e.Name == p.fold || isCentre(e.Name) || isCentre(p.origins[e.Name]) {
			centre = e.Path
		}
	}
	if centre.Dist(at) < centre.Dist(start.Mid(end)) {
		return "toward the middle of the " + p.name
	}
	return "toward the side"
}

// pleatWords tell how the pleats of a piece are folded.
func (m *making) pleatWords(name string) string {
	piece, _ := m.pattern.Piece(name)
	var b strings.Builder
	for _, pl := range piece.pleats {
		take, _ := piece.PleatTake(pl.Name)
		numbers, _ := piece.run(pl.Mouth)
		n := len(piece.edges)
		prev, next := piece.edges[(numbers[0]+n-1)%n].Name, piece.edges[(numbers[len(numbers)-1]+1)%n].Name
		fmt.Fprintf(&b, "\nThe %s, a %s: bring its lines together, so that it takes %s. ", pl.Name, pl.Kind, makerLength(take))
		if pl.Kind == KnifePleat || pl.Kind == Tuck {
			toward := next
			if pl.TowardStart {
				toward = prev
			}
			fmt.Fprintf(&b, "Lay it to the side where the %s goes on, as the arrow on the piece shows. ", toward)
		}
		if pl.Sewn > 0 {
			fmt.Fprintf(&b, "Stitch it down for %s from the edge. ", makerLength(pl.Sewn))
		}
		b.WriteString("Press it and baste it across its edge, inside the allowance. ")
	}
	return strings.TrimSpace(b.String())
}

// turnTitle names the turning of a run.
func (m *making) turnTitle(run turnedRun) string {
	words := m.turnedName(run)
	allowance, _ := m.allowanceOf(run.ring.edges[0])
	_, isCasing := m.casingOf(run)
	switch {
	case isCasing:
		return "casing of the " + words
	case !allowance.turnedUp():
		return "finish of the " + words
	case strings.Contains(strings.ToLower(words), "hem"):
		return words
	}
	return "hem of the " + words
}

// turnedName names a run by its edges, and by its piece where it is on one.
func (m *making) turnedName(run turnedRun) string {
	if m.onePiece(run) {
		return run.ring.words() + " of the " + run.ring.edges[0].Piece
	}
	return run.ring.words()
}

func (m *making) onePiece(run turnedRun) bool {
	return !slices.ContainsFunc(run.ring.edges, func(a Along) bool { return a.Piece != run.ring.edges[0].Piece })
}

// turnWords tell how a run is turned.
func (m *making) turnWords(run turnedRun) string {
	a, _ := m.allowanceOf(run.ring.edges[0])
	lead := m.runLead(run)
	if c, ok := m.casingOf(run); ok {
		return lead + m.casingWords(run, c)
	}
	strips := a.strips()
	switch {
	case !a.turnedUp() && m.isInner(run):
		return lead + "Neaten it and leave it flat."
	case !a.turnedUp() && m.within(run):
		return lead + fmt.Sprintf("Turn it in by %s and sew it by hand to the allowances of the garment that it lies on, loosely, so that nothing pulls.", makerLength(a.Width))
	case !a.turnedUp():
		return lead + fmt.Sprintf("The pattern leaves %s here and does not say how it is finished. Unless you were told, neaten the edge, turn it to the inside by that width, press, and stitch it down close to the neatened edge.", makerLength(a.Width))
	case len(strips) == 1:
		return lead + fmt.Sprintf("Neaten the raw edge. Turn it to the inside by %s, press, and stitch or hand-sew it down close to the neatened edge.", makerLength(strips[0]))
	}
	var folds []string
	for i := len(strips) - 1; i >= 0; i-- {
		folds = append(folds, "by "+makerLength(strips[i]))
	}
	return lead + fmt.Sprintf("Turn it to the inside %s, pressing each fold, so that the raw edge lies within. Stitch 2 mm (1/16 in) beside the inner fold.", strings.Join(folds, ", then again "))
}

// runLead says which edges are turned, how long they are, and how often.
func (m *making) runLead(run turnedRun) string {
	words := capital(edgesInWords(run.ring.edges))
	n := m.times(run.ring.edges...)
	switch {
	case run.ring.round && n > 1:
		return fmt.Sprintf("%s, all the way around, %s; do each of the %d. ", words, makerLength(run.ring.length), n)
	case run.whole:
		return fmt.Sprintf("%s, all the way around, %s. ", words, makerLength(run.ring.length))
	}
	return fmt.Sprintf("%s, %s in all. ", words, makerLength(m.pattern.around(garmentRing{edges: run.ring.edges})))
}

// casingWords tell how a casing is turned, stitched and threaded.
func (m *making) casingWords(run turnedRun, c madeCasing) string {
	var b strings.Builder
	b.WriteString("\nWhere seams cross it, the cut edge is shaped so that it lies flat when it is turned: do not cut it straight; trim the seam allowances to half within the casing and stitch them flat, so that the elastic does not catch. ")
	if c.turn > 0 {
		fmt.Fprintf(&b, "\nTurn the raw edge to the inside by %s and press. Turn again by %s, so that the finished edge is the fold line of the pattern; press and pin. ", makerLength(c.turn), makerLength(c.depth))
	} else {
		fmt.Fprintf(&b, "\nNeaten the raw edge and turn it to the inside by %s, so that the finished edge is the fold line of the pattern; press and pin. ", makerLength(c.depth))
	}
	fmt.Fprintf(&b, "\nStitch %s from the inner fold, which leaves a channel of %s; leave %s open %s. ",
		makerLength(c.stitching), makerLength(c.channel()), makerLength(casingOpening), m.openingWhere(run))
	if len(c.elastics) == 0 {
		fmt.Fprintf(&b, "\nThread an elastic that is a little narrower than the channel, about 3 mm (1/8 in), cut to fit the body and %s longer for the join. ", makerLength(elasticOverlap))
	}
	for i, e := range c.elastics {
		where, verb := "", "\nCut an elastic"
		if e.Where != "" {
			where = " (" + e.Where + ")"
		}
		if i > 0 {
			verb = "Or cut one"
		}
		fmt.Fprintf(&b, "%s %s wide and %s long%s. ", verb, makerLength(e.Width), makerLength(e.Length), where)
	}
	overlap := elasticOverlap
	if len(c.elastics) > 0 && c.elastics[0].Overlap > 0 {
		overlap = c.elastics[0].Overlap
	}
	fmt.Fprintf(&b, "\nPin its one end beside the opening, fasten a safety pin to the other and push it through all around, without a twist. Lay the ends on each other by %s, try it on, and stitch them together with a close zigzag, there and back. ", makerLength(overlap))
	b.WriteString("\nLet the ring slip in, stitch the opening shut, and spread the cloth evenly. A few stitches through casing and elastic at each seam keep it from twisting.")
	return b.String()
}

// openingWhere says where the opening for the elastic is left: at the back.
func (m *making) openingWhere(run turnedRun) string {
	for _, a := range run.ring.edges {
		if strings.Contains(strings.ToLower(a.Piece+" "+a.Edge), "back") {
			return "at the middle of the back"
		}
	}
	return "beside the seam"
}
