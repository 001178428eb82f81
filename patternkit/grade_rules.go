package patternkit

import (
	"fmt"
	"slices"
	"strings"
)

// A GradeRule says how far one point of a piece moves at each size break, in
// millimetres across (x) and up (y), seen from the grade reference of the
// piece. Step 0 leads from the first size to the second.
type GradeRule struct {
	Piece string
	Point string
	Steps []Point
}

// A RuleTable holds grade rules for a range of sizes. Steps may differ from
// break to break.
type RuleTable struct {
	sizes      []string
	base       int
	references []GradeReference
	rules      []GradeRule
	handles    map[gradeKey]bool // rules of handles and joints, which Table leaves out
	notches    map[gradeKey][]Length
	eases      map[string][]Length   // for each seam
	shares     map[gradeKey][]Length // for each seam, of the ease up to a notch
}

// A gradeKey names a place or a notch of a piece, or of a seam.
type gradeKey struct{ piece, name string }

// NewRuleTable returns a table of rules written by hand, for sizes in order.
// Each rule needs a step for every break, one less than there are sizes, and
// names a point of a piece as Piece.GradePoints lists them. Points without a
// rule follow those that have one: see Pattern.GradedBy.
func NewRuleTable(sizes []string, base string, rules ...GradeRule) (RuleTable, error) {
	t := RuleTable{sizes: slices.Clone(sizes), base: slices.Index(sizes, base)}
	if len(sizes) < 2 {
		return RuleTable{}, fmt.Errorf("grade rules for %d sizes, want at least 2", len(sizes))
	}
	if t.base < 0 {
		return RuleTable{}, fmt.Errorf("grade rules from base size %q, want one of %s", base, quoted(sizes))
	}
	for i, s := range sizes {
		if strings.TrimSpace(s) == "" || slices.Contains(sizes[:i], s) {
			return RuleTable{}, fmt.Errorf("grade rules: size %d is %q, want a name of its own", i+1, s)
		}
	}
	seen := map[gradeKey]bool{}
	for _, r := range rules {
		key := gradeKey{r.Piece, r.Point}
		if seen[key] {
			return RuleTable{}, fmt.Errorf("grade rules: two for %q of piece %q, want one", r.Point, r.Piece)
		}
		seen[key] = true
		if len(r.Steps) != len(sizes)-1 {
			return RuleTable{}, fmt.Errorf("grade rule of %q of piece %q has %d steps, want %d, one for each size break", r.Point, r.Piece, len(r.Steps), len(sizes)-1)
		}
		for i, s := range r.Steps {
			if !s.Finite() || s.Norm() > 1*M {
				return RuleTable{}, fmt.Errorf("grade rule of %q of piece %q moves it by %s from %s to %s, want less than 1 m; a bare number is millimetres",
					r.Point, r.Piece, place(s), sizes[i], sizes[i+1])
			}
		}
		t.rules = append(t.rules, GradeRule{r.Piece, r.Point, slices.Clone(r.Steps)})
	}
	return t, nil
}

// GradePoints lists the names of the points of p that a grade rule may move:
// corners of the outline, named points, tips of darts and drill holes.
func (p Piece) GradePoints() []string {
	var names []string
	for _, q := range p.gradePlaces() {
		if !q.handle && !slices.Contains(names, q.name) {
			names = append(names, q.name)
		}
	}
	return names
}

// Rules takes the grade rules out of drafted sizes: for every point, handle
// and notch its way from size to size, and for every seam that of its ease.
// References name for a piece what stands still; without one its rules are
// measured from the origin of the draft. Applied to the base with
// Pattern.GradedBy, the rules give every size again, within 0.000001 mm, each
// moved as its reference says. An edge that has more curves in one size than
// in another is an error.
func (g Graded) Rules(references ...GradeReference) (RuleTable, error) {
	if len(g.sizes) < 2 {
		return RuleTable{}, fmt.Errorf("grade rules of %d sizes, want at least 2", len(g.sizes))
	}
	t := RuleTable{
		sizes: g.Sizes(), base: g.base, references: slices.Clone(references),
		handles: map[gradeKey]bool{}, notches: map[gradeKey][]Length{},
		eases: map[string][]Length{}, shares: map[gradeKey][]Length{},
	}
	for i, base := range g.sizes[g.base].pattern.pieces {
		if err := t.extract(g, i, base); err != nil {
			return RuleTable{}, err
		}
	}
	for _, r := range references {
		if _, err := g.sizes[g.base].pattern.Piece(r.Piece); err != nil {
			return RuleTable{}, fmt.Errorf("grade reference %q: %w", r.Point, err)
		}
	}
	for k, s := range g.sizes[g.base].pattern.seams {
		t.eases[s.Name] = stepsOf(g, func(p Pattern) Length { return p.seams[k].Ease })
		for j, share := range s.Shares {
			t.shares[gradeKey{s.Name, share.Upto}] = stepsOf(g, func(p Pattern) Length { return p.seams[k].Shares[j].Ease })
		}
	}
	return t, nil
}

// stepsOf lists how a length changes from each size to the next.
func stepsOf(g Graded, of func(Pattern) Length) []Length {
	steps := make([]Length, len(g.sizes)-1)
	for i := range steps {
		steps[i] = of(g.sizes[i+1].pattern) - of(g.sizes[i].pattern)
	}
	return steps
}

func (t *RuleTable) extract(g Graded, piece int, base Piece) error {
	sizes := make([][]gradePlace, len(g.sizes))
	names := namesOf(base.gradePlaces(), func(q gradePlace) string { return q.name })
	for i, s := range g.sizes {
		sizes[i] = s.pattern.pieces[piece].gradePlaces()
		if len(sizes[i]) != len(names) {
			return fmt.Errorf("grade rules of piece %q: its lines consist of %d points in size %s and of %d in the base, want as many curves in each: draft the sizes by the same steps",
				base.name, len(sizes[i]), s.name, len(names))
		}
	}
	still, err := t.still(g, piece, base)
	if err != nil {
		return err
	}
	steps := make([][]Point, len(names))
	for k := range names {
		steps[k] = make([]Point, len(sizes)-1)
		for i := range steps[k] {
			steps[k][i] = sizes[i+1][k].at.Sub(sizes[i][k].at).Sub(still[i+1].Sub(still[i]))
		}
	}
	t.keep(base, steps)
	for k, n := range base.notches {
		t.notches[gradeKey{base.name, notchName(n)}] = stepsOf(g, func(p Pattern) Length { return p.pieces[piece].notches[k].At })
	}
	return nil
}

// still lists for each size where what stands still in a piece was drafted.
func (t *RuleTable) still(g Graded, piece int, base Piece) ([]Point, error) {
	frame, _, err := base.gradeFrame(t.references)
	if err != nil {
		return nil, err
	}
	at := make([]Point, len(g.sizes))
	for i, s := range g.sizes {
		if at[i], err = frame.still(s.pattern.pieces[piece]); err != nil {
			return nil, fmt.Errorf("size %s: %w", s.name, err)
		}
	}
	return at, nil
}

// keep makes a rule of each place. Places of one name that go one way share
// it: a corner and the named point on it. One that goes another way, as a
// corner that only in the base lies under a named point, is named apart.
func (t *RuleTable) keep(p Piece, steps [][]Point) {
	for k, q := range p.gradePlaces() {
		name := q.name
		if at := t.find(p.name, name); at >= 0 {
			if sameSteps(t.rules[at].Steps, steps[k]) {
				continue
			}
			name = placeApart(name)
		}
		t.rules = append(t.rules, GradeRule{p.name, name, steps[k]})
		if q.handle {
			t.handles[gradeKey{p.name, name}] = true
		}
	}
}

// placeApart names the point inside that does not go with its corner.
func placeApart(name string) string { return name + ", beside the corner" }

func (t RuleTable) find(piece, point string) int {
	return slices.IndexFunc(t.rules, func(r GradeRule) bool { return r.Piece == piece && r.Point == point })
}

func sameSteps(a, b []Point) bool {
	return slices.EqualFunc(a, b, func(p, q Point) bool { return p.Dist(q) <= joinTolerance })
}

// Sizes returns the names of the sizes in order.
func (t RuleTable) Sizes() []string { return slices.Clone(t.sizes) }

// Base returns the name of the base size.
func (t RuleTable) Base() string {
	if len(t.sizes) == 0 {
		return ""
	}
	return t.sizes[t.base]
}

// Rule returns the rule of a point of a piece.
func (t RuleTable) Rule(piece, point string) (GradeRule, error) {
	if at := t.find(piece, point); at >= 0 {
		r := t.rules[at]
		r.Steps = slices.Clone(r.Steps)
		return r, nil
	}
	var names []string
	for _, r := range t.rules {
		if r.Piece == piece && !t.handles[gradeKey{r.Piece, r.Point}] {
			names = append(names, r.Point)
		}
	}
	return GradeRule{}, fmt.Errorf("no grade rule for %q of piece %q, there are rules for %s", point, piece, quoted(names))
}

// WithSize returns the table with one more size between two: it lies at a
// share, more than 0 and less than 1, of the way from the named size to the
// next.
func (t RuleTable) WithSize(name, after string, share float64) (RuleTable, error) {
	at := slices.Index(t.sizes, after)
	switch {
	case strings.TrimSpace(name) == "" || slices.Contains(t.sizes, name):
		return RuleTable{}, fmt.Errorf("a size named %q between others, want a name of its own beside %s", name, quoted(t.sizes))
	case at < 0 || at == len(t.sizes)-1:
		return RuleTable{}, fmt.Errorf("size %q after size %q, want it after one of %s", name, after, quoted(t.sizes[:max(len(t.sizes)-1, 0)]))
	case !(share > 0 && share < 1):
		return RuleTable{}, fmt.Errorf("size %q lies %v of the way from %q to the next, want more than 0 and less than 1", name, share, after)
	}
	out := t
	out.sizes = slices.Insert(slices.Clone(t.sizes), at+1, name)
	if t.base > at {
		out.base++
	}
	out.rules = make([]GradeRule, len(t.rules))
	for i, r := range t.rules {
		steps := slices.Insert(slices.Clone(r.Steps), at+1, r.Steps[at].Scale(1-share))
		steps[at] = r.Steps[at].Scale(share)
		out.rules[i] = GradeRule{r.Piece, r.Point, steps}
	}
	out.notches, out.eases = partedSteps(t.notches, at, share), partedSteps(t.eases, at, share)
	out.shares = partedSteps(t.shares, at, share)
	return out, nil
}

func partedSteps[K comparable](all map[K][]Length, at int, share float64) map[K][]Length {
	out := map[K][]Length{}
	for k, steps := range all {
		parted := slices.Insert(slices.Clone(steps), at+1, steps[at]*Length(1-share))
		parted[at] = steps[at] * Length(share)
		out[k] = parted
	}
	return out
}
