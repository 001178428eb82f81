package patternkit

import (
	"fmt"
	"slices"
	"strings"
)

// A Graded is a pattern in every size of a chart, each drafted for its own
// body. Pieces, edges, points, darts, notches and seams bear the same names at
// every size.
type Graded struct {
	name  string
	base  int
	sizes []gradedSize
	chart SizeChart // that was drafted by; empty where the sizes came by rules
}

type gradedSize struct {
	name    string
	pattern Pattern
	body    Body // the zero body where the size came by rules
}

// Grade drafts every size of a chart with one draft and returns the sizes in
// the order of the chart. What a body of the chart leaves out is estimated
// first. Base names the size that the others are compared with. A draft that
// fails, or one whose names differ from those of the base, is an error that
// names the size and what differs.
func Grade(chart SizeChart, base string, draft func(Body) (Pattern, error)) (Graded, error) {
	if _, err := chart.Size(base); err != nil {
		return Graded{}, fmt.Errorf("grading from size %q: %w", base, err)
	}
	if draft == nil {
		return Graded{}, fmt.Errorf("grading %s: the draft is nil, want a function from a body to a pattern", chart.name)
	}
	g := Graded{chart: chart}
	for i, s := range chart.sizes {
		body, err := s.Body.Estimated()
		if err != nil {
			return Graded{}, fmt.Errorf("grading size %s: %w", s.Name, err)
		}
		p, err := draft(body)
		if err != nil {
			return Graded{}, fmt.Errorf("grading size %s: %w", s.Name, err)
		}
		if len(p.pieces) == 0 {
			return Graded{}, fmt.Errorf("grading size %s: the draft returned an empty pattern, want one made by NewPattern", s.Name)
		}
		if s.Name == base {
			g.base, g.name = i, p.name
		}
		g.sizes = append(g.sizes, gradedSize{s.Name, p, body})
	}
	return g, g.checkNames()
}

// checkNames compares the names at every size with those of the base.
func (g Graded) checkNames() error {
	base := g.sizes[g.base]
	for _, s := range g.sizes {
		if err := gradeSame(base.pattern, s.pattern); err != nil {
			return fmt.Errorf("grading size %s against size %s: %w", s.name, base.name, err)
		}
	}
	return nil
}

// gradeSame says which name of a pattern is not that of the base.
func gradeSame(base, p Pattern) error {
	if err := gradeSameNames("pieces", namesOf(base.pieces, Piece.Name), namesOf(p.pieces, Piece.Name)); err != nil {
		return err
	}
	seam := func(s Seam) string {
		return s.Name + strings.Join(namesOf(s.Shares, func(e EaseShare) string { return ", ease up to " + e.Upto }), "")
	}
	if err := gradeSameNames("seams", namesOf(base.seams, seam), namesOf(p.seams, seam)); err != nil {
		return err
	}
	for i, piece := range p.pieces {
		was := base.pieces[i]
		for _, list := range []struct {
			what      string
			want, got []string
		}{
			{"edges", namesOf(was.edges, edgeName), namesOf(piece.edges, edgeName)},
			{"points", namesOf(was.points, pointName), namesOf(piece.points, pointName)},
			{"darts", namesOf(was.darts, dartName), namesOf(piece.darts, dartName)},
			{"notches", namesOf(was.notches, notchName), namesOf(piece.notches, notchName)},
		} {
			if err := gradeSameNames(list.what, list.want, list.got); err != nil {
				return fmt.Errorf("piece %q: %w", piece.name, err)
			}
		}
	}
	return nil
}

func edgeName(e Edge) string        { return e.Name }
func pointName(p NamedPoint) string { return p.Name }
func dartName(d Dart) string        { return d.Name }
func notchName(n Notch) string      { return n.Name + " on " + n.Edge }

func namesOf[T any](all []T, name func(T) string) []string {
	names := make([]string, len(all))
	for i, v := range all {
		names[i] = name(v)
	}
	return names
}

func gradeSameNames(what string, want, got []string) error {
	if slices.Equal(want, got) {
		return nil
	}
	return fmt.Errorf("its %s are %s, want those of the base, %s", what, quoted(got), quoted(want))
}

// Base returns the name of the base size.
func (g Graded) Base() string {
	if len(g.sizes) == 0 {
		return ""
	}
	return g.sizes[g.base].name
}

// Sizes returns the names of the sizes in order.
func (g Graded) Sizes() []string {
	return namesOf(g.sizes, func(s gradedSize) string { return s.name })
}

// Size returns the pattern in the named size.
func (g Graded) Size(name string) (Pattern, error) {
	for _, s := range g.sizes {
		if s.name == name {
			return s.pattern, nil
		}
	}
	return Pattern{}, fmt.Errorf("graded pattern %q has no size %q, it has %s", g.name, name, quoted(g.Sizes()))
}

// Walk walks every seam at every size: a row for each seam, and under each
// size how far in millimetres the seam misses the ease that is meant at that
// size. A seam that misses it by more than 0.5 mm, or a notch out of place, is
// a fault, marked by an exclamation mark.
func (g Graded) Walk() Table {
	t := Table{Title: "Seams of " + g.name + ", off by (mm)", Columns: g.columns("Seam", "Verdict")}
	if len(g.sizes) == 0 {
		return t
	}
	for _, s := range g.sizes[g.base].pattern.seams {
		t.Rows = append(t.Rows, []string{s.Name})
	}
	faults := make([][]string, len(t.Rows))
	for _, s := range g.sizes {
		for i, r := range s.pattern.Walk().rows {
			text := gradeMM(r.Difference - r.Ease)
			if r.Fault {
				text += " !"
				faults[i] = append(faults[i], s.name)
			}
			t.Rows[i] = append(t.Rows[i], text)
		}
	}
	bad := 0
	for i, f := range faults {
		verdict := "meets at every size"
		if len(f) > 0 {
			bad++
			verdict = "FAULT at " + strings.Join(f, ", ")
		}
		t.Rows[i] = append(t.Rows[i], verdict)
	}
	t.Notes = []string{fmt.Sprintf("%d seams at %d sizes, %d with a fault; within %.1f mm of the ease meant a seam meets.",
		len(t.Rows), len(g.sizes), bad, walkTolerance.MM())}
	return t
}

// columns heads a table with a column of words, one for each size, and more.
func (g Graded) columns(first string, more ...string) []Column {
	columns := []Column{{Head: first}}
	for i, s := range g.sizes {
		head := s.name
		if i == g.base {
			head += " (base)"
		}
		columns = append(columns, Column{Head: head, Number: true})
	}
	for _, m := range more {
		columns = append(columns, Column{Head: m})
	}
	return columns
}

// gradeMM is a length as a bare number of millimetres, to a hundredth.
func gradeMM(l Length) string {
	s := fmt.Sprintf("%+.2f", l.MM())
	if s == "+0.00" || s == "-0.00" {
		return "0.00"
	}
	return strings.Replace(s, "-", "−", 1)
}

// Table lists what the sizes measure: see FinishedMeasurements.
func (g Graded) Table() Table { return g.FinishedMeasurements() }

// HTML returns Table as markup.
func (g Graded) HTML() string { return g.Table().HTML() }

// Markdown returns Table in the pipe notation.
func (g Graded) Markdown() string { return g.Table().Markdown() }

// String returns Table as aligned text.
func (g Graded) String() string { return g.Table().String() }
