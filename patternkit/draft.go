package patternkit

import (
	"fmt"
	"strings"
)

// A Draft is a sheet on which points, lines and curves are constructed in
// steps. Each step keeps its label, its rule in words and what came of it, so
// that the whole can be read as a numbered table and shown step by step. It
// does not change: each With method returns another draft.
type Draft struct {
	title string
	steps []Step
}

// StepKind says what a step of a draft constructs.
type StepKind int

// The kinds of step: a length or a turn that is worked out, and a point, a
// line or a curve that is drawn.
const (
	MeasureStep StepKind = iota
	TurnStep
	PointStep
	LineStep
	CurveStep
)

// A Step is one step of a draft. What it holds besides Label and Rule depends
// on Kind: Length of a measure, Turn of a turn, At of a point, Path of a line
// or a curve.
type Step struct {
	Kind   StepKind
	Label  string // "armhole depth"
	Rule   string // in words: "armscye depth + 2.5 cm"
	Length Length
	Turn   Angle
	At     Point
	Path   Path
}

// Value returns what came of the step, in words: "21.40 cm", "18°", the place
// of a point, the length of a line or a curve.
func (s Step) Value() string {
	switch s.Kind {
	case MeasureStep:
		return inCM(s.Length) + " cm"
	case TurnStep:
		return fmt.Sprintf("%.2f°", s.Turn.Degrees())
	case PointStep:
		return place(s.At)
	default:
		return inCM(s.Path.Length()) + " cm long"
	}
}

// String reads like "armhole depth = armscye depth + 2.5 cm = 21.40 cm".
func (s Step) String() string { return s.Label + " = " + s.Rule + " = " + s.Value() }

// NewDraft returns an empty sheet.
func NewDraft(title string) Draft { return Draft{title: title} }

// WithMeasure returns d with a length worked out: its label, the rule in words
// and the value.
func (d Draft) WithMeasure(label, rule string, v Length) (Draft, error) {
	return d.with(Step{Kind: MeasureStep, Label: label, Rule: rule, Length: v}, v.Finite())
}

// WithTurn returns d with an angle worked out.
func (d Draft) WithTurn(label, rule string, a Angle) (Draft, error) {
	return d.with(Step{Kind: TurnStep, Label: label, Rule: rule, Turn: a}, Length(a).Finite())
}

// WithPoint returns d with a point marked.
func (d Draft) WithPoint(label, rule string, at Point) (Draft, error) {
	return d.with(Step{Kind: PointStep, Label: label, Rule: rule, At: at}, at.Finite())
}

// WithLine returns d with a straight line drawn from a to b.
func (d Draft) WithLine(label, rule string, a, b Point) (Draft, error) {
	if a.Finite() && a == b {
		return Draft{}, fmt.Errorf("draft %q: line %q starts and ends at %s, want two points", d.title, label, place(a))
	}
	return d.with(Step{Kind: LineStep, Label: label, Rule: rule, Path: Line(a, b)}, a.Finite() && b.Finite())
}

// WithCurve returns d with a curve drawn.
func (d Draft) WithCurve(label, rule string, path Path) (Draft, error) {
	return d.with(Step{Kind: CurveStep, Label: label, Rule: rule, Path: path}, !path.Empty() && path.Finite())
}

func (d Draft) with(s Step, sound bool) (Draft, error) {
	switch {
	case strings.TrimSpace(s.Label) == "":
		return Draft{}, fmt.Errorf("draft %q: step %d has no label, want one such as \"armhole depth\"", d.title, len(d.steps)+1)
	case !sound:
		return Draft{}, fmt.Errorf("draft %q: %q is empty, not a number or infinite", d.title, s.Label)
	}
	for i, o := range d.steps {
		if o.Label == s.Label {
			return Draft{}, fmt.Errorf("draft %q: step %d is already called %q, want another label", d.title, i+1, s.Label)
		}
	}
	d.steps = append(d.steps[:len(d.steps):len(d.steps)], s)
	return d, nil
}

// Title returns the name of the draft.
func (d Draft) Title() string { return d.title }

// Steps returns the steps in the order of drafting.
func (d Draft) Steps() []Step { return append([]Step(nil), d.steps...) }

// Step returns the step of that label.
func (d Draft) Step(label string) (Step, error) {
	labels := make([]string, len(d.steps))
	for i, s := range d.steps {
		if s.Label == label {
			return s, nil
		}
		labels[i] = s.Label
	}
	return Step{}, fmt.Errorf("draft %q has no step %q, it has %s", d.title, label, quoted(labels))
}

// A sheet is a draft in the making: each method records a step and hands on
// what it was given, so that a block is written down as it is drawn.
type sheet struct {
	steps []Step
}

func newSheet() *sheet { return &sheet{steps: make([]Step, 0, 80)} }

func (s *sheet) measure(label, rule string, v Length) Length {
	s.steps = append(s.steps, Step{Kind: MeasureStep, Label: label, Rule: rule, Length: v})
	return v
}

func (s *sheet) turn(label, rule string, a Angle) Angle {
	s.steps = append(s.steps, Step{Kind: TurnStep, Label: label, Rule: rule, Turn: a})
	return a
}

func (s *sheet) point(label, rule string, at Point) Point {
	s.steps = append(s.steps, Step{Kind: PointStep, Label: label, Rule: rule, At: at})
	return at
}

func (s *sheet) line(label, rule string, a, b Point) Path {
	return s.draw(LineStep, label, rule, Line(a, b))
}

func (s *sheet) curve(label, rule string, path Path) Path {
	return s.draw(CurveStep, label, rule, path)
}

func (s *sheet) draw(kind StepKind, label, rule string, path Path) Path {
	s.steps = append(s.steps, Step{Kind: kind, Label: label, Rule: rule, Path: path})
	return path
}

func (s *sheet) draft(title string) Draft { return Draft{title: title, steps: s.steps} }
