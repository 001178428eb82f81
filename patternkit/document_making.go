package patternkit

import (
	"fmt"
	"html"
	"strings"
)

// MakingOptions say for whom and with what a garment is made. The zero value
// is an order of making without a body, elastics or a choice of cloth.
type MakingOptions struct {
	Body     Body      // for whom; zero leaves out what needs one
	Elastics []Elastic // for the casings, each named by its edge: "top", "sleeve hem"
	Cloth    Cloth     // of which it is made

	ClothWidth Length // as it lies in the shop, 140 cm when zero
	Child      bool   // made for a child: cautions are printed; so they are for a body of up to 134 cm
	// SleevesInTheRound sets sleeves in when side and underarm are closed; else
	// they are set in flat.
	SleevesInTheRound bool
	StitchLength      Length    // 2.5 mm when zero
	Openings          []Opening // as for PullOn
	Paper             Paper     // of the true-scale printout, A4 when zero
	Printout          string    // the file that it is in: "top.pdf"
}

// A MakingStep is one step of sewing.
type MakingStep struct {
	Title string   // "Side seam and underarm, in one"
	Words string   // what to do, an action on each line
	Seams []string // the seams that are sewn
	Edges []Along  // the edges that are sewn or turned
	Darts []string // the darts that are sewn, "front bust dart"
}

// Making is the order in which a pattern is sewn, step by step, each with a
// picture.
type Making struct {
	pattern Pattern
	steps   []MakingStep
	pairs   [][]makingPair // what is drawn heavy in each step
}

// Making returns the order of sewing, worked out from the pattern alone: darts
// and pleats, then each seam when the seams that run into the middle of it are
// sewn, then each edge that is turned, cased or neatened when all seams that
// end on it are. What that leaves open follows the habits of the trade (common
// practice, no source): panels, shoulders, sleeves set in flat, sides and
// underarms in one line, waists and collars, facings, casings, hems.
//
// An elastic whose edge is none that is turned is an error, and so are the
// errors of the elastics.
func (p Pattern) Making(o MakingOptions) (Making, error) {
	if err := o.check(p); err != nil {
		return Making{}, fmt.Errorf("making of %q: %w", p.name, err)
	}
	m := newMaking(p, o)
	for _, e := range o.Elastics {
		if err := m.hasPlace(e); err != nil {
			return Making{}, fmt.Errorf("making of %q: %w", p.name, err)
		}
	}
	out := Making{pattern: p}
	for _, step := range m.steps {
		out.steps = append(out.steps, m.step(step))
		out.pairs = append(out.pairs, m.pairs(step))
	}
	return out, nil
}

func (o MakingOptions) check(p Pattern) error {
	if len(p.pieces) == 0 {
		return fmt.Errorf("the pattern is empty, want one made by NewPattern")
	}
	for _, e := range o.Elastics {
		if err := e.check(); err != nil {
			return err
		}
	}
	if o.ClothWidth != 0 {
		if err := checkRange("cloth", "ClothWidth", o.ClothWidth, 30*CM, 400*CM); err != nil {
			return err
		}
	}
	if o.StitchLength != 0 {
		if err := checkRange("stitch", "StitchLength", o.StitchLength, 1*MM, 6*MM); err != nil {
			return err
		}
	}
	return o.Cloth.check()
}

// hasPlace looks for the edge that an elastic is meant for.
func (m *making) hasPlace(e Elastic) error {
	var turned []string
	for _, t := range m.tasks {
		if t.turned == nil {
			continue
		}
		if _, ok := m.casingOf(*t.turned); ok && m.isNamedBy(e, t.turned.ring) {
			return nil
		}
		turned = append(turned, t.turned.ring.words())
	}
	return fmt.Errorf("elastic of %q: no such edge is folded back for it, want WithCasing there; edges that are turned: %s", e.Edge, quoted(turned))
}

// step tells one step.
func (m *making) step(tasks []int) MakingStep {
	s := MakingStep{Title: m.title(tasks), Words: oneToALine(m.words(tasks))}
	for _, k := range tasks {
		t := m.tasks[k]
		switch {
		case t.seam >= 0:
			seam := m.pattern.seams[t.seam]
			s.Seams = append(s.Seams, seam.Name)
			s.Edges = append(append(s.Edges, seam.A...), seam.B...)
		case t.turned != nil:
			s.Edges = append(s.Edges, t.turned.ring.edges...)
		case t.darts != "":
			piece, _ := m.pattern.Piece(t.darts)
			for _, d := range piece.darts {
				s.Darts = append(s.Darts, piece.name+" "+d.Name)
			}
		}
	}
	return s
}

// oneToALine drops what is blank around the lines of a text.
func oneToALine(words string) string {
	lines := strings.Split(strings.TrimSpace(words), "\n")
	for i := range lines {
		lines[i] = strings.TrimSpace(lines[i])
	}
	return strings.Join(lines, "\n")
}

// Steps returns the steps in order.
func (m Making) Steps() []MakingStep { return append([]MakingStep(nil), m.steps...) }

// HTML returns the steps, each with its picture.
func (m Making) HTML() string {
	var b strings.Builder
	for i, s := range m.steps {
		fmt.Fprintf(&b, "<div class=\"step\">\n<h3>%d. %s</h3>\n<p>%s</p>\n", i+1, html.EscapeString(s.Title), strings.ReplaceAll(html.EscapeString(s.Words), "\n", "<br>\n"))
		if p, err := m.Picture(i + 1); err == nil {
			b.WriteString(documentPicture{p}.HTML() + "\n")
		}
		b.WriteString("</div>\n")
	}
	return b.String()
}

// Markdown returns the steps as a numbered list.
func (m Making) Markdown() string {
	var b strings.Builder
	for i, s := range m.steps {
		fmt.Fprintf(&b, "%d. **%s.** %s\n", i+1, markdownText(s.Title), markdownText(s.Words)) // lines run on
	}
	return b.String()
}

// String returns the steps as text.
func (m Making) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "Making of %s\n", m.pattern.name)
	for i, s := range m.steps {
		fmt.Fprintf(&b, "%d. %s\n   %s\n", i+1, s.Title, strings.ReplaceAll(s.Words, "\n", "\n   "))
	}
	return b.String()
}
