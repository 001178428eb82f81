package patternkit

import (
	"fmt"
	"math"
	"slices"
)

// BlockChecks is what a cutter looks at before a block is cut, each measured
// on the pieces as they are drawn.
type BlockChecks struct {
	title string
	rows  []BlockCheck
}

// A BlockCheck is one thing looked at: what it is, how far off it may be, and
// how far off it is, in mm or degrees.
type BlockCheck struct {
	Name     string
	Got      string // as it reads in a table
	Want     string
	Off, Tol float64
}

// OK reports whether the block is as wanted.
func (c BlockCheck) OK() bool { return c.Off <= c.Tol }

// Rows returns the checks in the order of looking.
func (c BlockChecks) Rows() []BlockCheck { return slices.Clone(c.rows) }

// Faults returns the checks that fail.
func (c BlockChecks) Faults() []BlockCheck {
	var out []BlockCheck
	for _, r := range c.rows {
		if !r.OK() {
			out = append(out, r)
		}
	}
	return out
}

// Table returns the checks as rows of text.
func (c BlockChecks) Table() Table {
	t := Table{Title: c.title, Columns: []Column{{Head: "Check"}, {Head: "Found"}, {Head: "Wanted"}, {Head: "Verdict"}}}
	for _, r := range c.rows {
		verdict := "right"
		if !r.OK() {
			verdict = "FAULT"
		}
		t.Rows = append(t.Rows, []string{r.Name, r.Got, r.Want, verdict})
	}
	return t
}

// HTML returns the checks as a table.
func (c BlockChecks) HTML() string { return c.Table().HTML() }

// Markdown returns the checks as a table of pipes.
func (c BlockChecks) Markdown() string { return c.Table().Markdown() }

// String returns the checks as text in columns.
func (c BlockChecks) String() string { return c.Table().String() }

// A blockChecker collects checks.
type blockChecker struct {
	rows []BlockCheck
}

// angle looks whether an angle is as wanted to tol degrees.
func (c *blockChecker) angle(name string, got, want Angle, tol float64) {
	c.rows = append(c.rows, BlockCheck{
		Name: name, Got: fmt.Sprintf("%.1f°", got.Degrees()), Want: fmt.Sprintf("%.0f° ± %g°", want.Degrees(), tol),
		Off: math.Abs((got - want).Degrees()), Tol: tol,
	})
}

// length looks whether a length is as wanted to tol.
func (c *blockChecker) length(name string, got, want, tol Length) {
	c.rows = append(c.rows, BlockCheck{
		Name: name, Got: inCM(got) + " cm", Want: fmt.Sprintf("%s cm ± %g mm", inCM(want), tol.MM()),
		Off: float64((got - want).Abs()), Tol: float64(tol),
	})
}

// between looks whether a length is from least to most.
func (c *blockChecker) between(name string, got, least, most Length) {
	c.rows = append(c.rows, BlockCheck{
		Name: name, Got: inCM(got) + " cm", Want: inCM(least) + " cm to " + inCM(most) + " cm",
		Off: float64(max(least-got, got-most)), Tol: 1e-6,
	})
}

// sign looks whether a curve bends one way only; the straight is neither.
func (c *blockChecker) sign(name string, path Path) {
	const straight = 1e-5 // 1/mm: a radius of 100 m
	least, most := 0.0, 0.0
	for _, k := range curvatures(path) {
		least, most = min(least, k), max(most, k)
	}
	r := BlockCheck{Name: name + " has no wiggle", Got: "bends one way", Want: "bends one way", Off: min(most, -least), Tol: straight}
	if r.Off > straight {
		r.Got = fmt.Sprintf("bends both ways, to a radius of %.0f cm", 0.1/r.Off)
	}
	c.rows = append(c.rows, r)
}

// curvatures samples how a path bends, 1/mm, left positive.
func curvatures(path Path) []float64 {
	const n = 60
	total := path.Length()
	out := make([]float64, 0, n+1)
	for i := range n + 1 {
		out = append(out, path.CurvatureAt(total*Length(float64(i)*0.999998/n+1e-6)))
	}
	return out
}

// cornerAt is the corner of a piece between the named edges, after the first
// of which the second follows.
func cornerAt(p Piece, before, after string) Angle {
	for i, e := range p.edges {
		if next := p.edges[(i+1)%len(p.edges)]; e.Name == before && next.Name == after {
			return corner(e, next)
		}
	}
	return Angle(math.NaN())
}
