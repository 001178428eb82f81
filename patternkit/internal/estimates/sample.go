package main

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"patternkit/patternkit/internal/ansur"
)

// predictors are what a designer is most likely to give, as ANSUR II names
// them, in the order of the coefficients.
var predictors = []struct{ letter, field, column string }{
	{"h", "Height", "stature"},
	{"b", "BustGirth", "chestcircumference"},
	{"w", "WaistGirth", "waistcircumference"}, // at the navel
	{"p", "HipGirth", "buttockcircumference"},
}

// used are the 1988 means that Body needs at run time.
var used = []struct{ name, measure string }{
	{"stature1988", "stature"},
	{"chest1988", "chest_circumference"},
	{"underbust1988", "chest_circumference_below_breast"},
	{"naturalWaist1988", "waist_circumference_natural"},
	{"navelWaist1988", "waist_circumference_omphalion"},
	{"armscyeGirth1988", "scye_circumference"},
}

type sample struct {
	women      ansur.Table
	means      map[string]ansur.Published
	predictors [][]float64
}

func readSample(folder string) (*sample, error) {
	women, err := ansur.Women(folder)
	if err != nil {
		return nil, err
	}
	means, err := ansur.Means1988(folder)
	if err != nil {
		return nil, err
	}
	s := &sample{women: women, means: means}
	for _, p := range predictors {
		c, err := women.Column(p.column)
		if err != nil {
			return nil, err
		}
		s.predictors = append(s.predictors, c)
	}
	return s, nil
}

// mean gives a 1988 mean, or with the suffix ".sd" its standard deviation.
func (s *sample) mean(measure string) float64 {
	name, sd := strings.CutSuffix(measure, ".sd")
	p, ok := s.means[name]
	if !ok {
		panic("no 1988 mean of " + name)
	}
	if sd {
		return p.SD
	}
	return p.Mean
}

func (s *sample) writeMeans(w io.Writer) error {
	fmt.Fprint(w, "// Women of 1988: mean and standard deviation in mm.\nvar (\n")
	for _, u := range used {
		p, ok := s.means[u.measure]
		if !ok {
			return fmt.Errorf("the 1988 means have no %s", u.measure)
		}
		fmt.Fprintf(w, "%s = published{mean: %g, sd: %g} // %s\n", u.name, p.Mean, p.SD, u.measure)
	}
	fmt.Fprint(w, ")\n\n")
	return nil
}

// writeSpans writes the smallest and largest of each predictor: outside of
// them an estimate stands on nobody.
func (s *sample) writeSpans(w io.Writer) error {
	fmt.Fprintf(w, "// measuredWomen is the number of women of ANSUR II.\nconst measuredWomen = %d\n\n", s.women.Rows())
	fmt.Fprint(w, "// spans holds the smallest and the largest of each predictor, in mm;\n// the waist is at the navel.\nvar spans = [...]span{\n")
	for i, p := range predictors {
		fmt.Fprintf(w, "{%q, %g, %g},\n", p.field, slices.Min(s.predictors[i]), slices.Max(s.predictors[i]))
	}
	fmt.Fprint(w, "}\n\n")
	return nil
}

func (s *sample) writeRegressions(w io.Writer) error {
	fmt.Fprint(w, `// regressions estimate a field in mm (ShoulderSlope in radians) as
// constant + slopes * predictors; the waist is at the navel.
var regressions = [...]regression{
`)
	for _, t := range targets {
		y, err := s.values(t)
		if err != nil {
			return err
		}
		for _, on := range subsets(t.on) {
			r, err := s.fit(y, on)
			if err != nil {
				return fmt.Errorf("%s on %q: %w", t.field, on, err)
			}
			s.bring(&r, t)
			fmt.Fprintf(w, "{%q, %q, %.7g, [...]float64{%.7g, %.7g, %.7g, %.7g}, %.5g},\n",
				t.field, on, r.constant, r.slope[0], r.slope[1], r.slope[2], r.slope[3], r.sd)
		}
	}
	fmt.Fprint(w, "}\n\n// regressedFrom says in words what each field was regressed on.\nvar regressedFrom = map[string]string{\n")
	for _, t := range targets {
		fmt.Fprintf(w, "%q: %q,\n", t.field, t.what)
	}
	fmt.Fprint(w, "}\n")
	return nil
}

// values computes a target for every woman.
func (s *sample) values(t target) ([]float64, error) {
	columns := map[string][]float64{}
	var missing error
	y := make([]float64, s.women.Rows())
	for i := range y {
		y[i] = t.value(func(name string) float64 {
			c, ok := columns[name]
			if !ok {
				var err error
				if c, err = s.women.Column(name); err != nil {
					missing = err
					c = make([]float64, len(y))
				}
				columns[name] = c
			}
			return c[i]
		})
	}
	return y, missing
}

// subsets returns the choices of letters, most letters first, that keep the
// bust where it may be used at all, because Body insists on a bust girth, and
// the height where it is alone.
func subsets(letters string) []string {
	if len(letters) <= 1 {
		return []string{letters}
	}
	var out []string
	for bits := 1; bits < 1<<len(letters); bits++ {
		var on strings.Builder
		for i, l := range letters {
			if bits&(1<<i) != 0 {
				on.WriteRune(l)
			}
		}
		if strings.Contains(on.String(), "b") == strings.Contains(letters, "b") {
			out = append(out, on.String())
		}
	}
	slices.SortStableFunc(out, func(a, b string) int { return len(b) - len(a) })
	return out
}

type fitted struct {
	constant float64
	slope    [4]float64
	sd       float64 // of the residuals
}

// fit regresses y on the predictors of on by least squares (QR).
func (s *sample) fit(y []float64, on string) (fitted, error) {
	used := []int{}
	for i, p := range predictors {
		if strings.Contains(on, p.letter) {
			used = append(used, i)
		}
	}
	x := mat.NewDense(len(y), len(used)+1, nil)
	for r := range y {
		x.Set(r, 0, 1)
		for c, i := range used {
			x.Set(r, c+1, s.predictors[i][r])
		}
	}
	var qr mat.QR
	qr.Factorize(x)
	var beta mat.VecDense
	if err := qr.SolveVecTo(&beta, false, mat.NewVecDense(len(y), y)); err != nil {
		return fitted{}, err
	}
	var residual mat.VecDense
	residual.MulVec(x, &beta)
	residual.SubVec(mat.NewVecDense(len(y), y), &residual)
	freedom := float64(len(y) - len(used) - 1)
	r := fitted{constant: beta.AtVec(0)}
	r.sd = stat.StdDev(residual.RawVector().Data, nil) * math.Sqrt(float64(len(y)-1)/freedom)
	for c, i := range used {
		r.slope[i] = beta.AtVec(c + 1)
	}
	return r, nil
}

// bring moves a regression to where the 1988 means say the measurement is.
func (s *sample) bring(r *fitted, t target) {
	if t.after != nil {
		k, add := t.after(s.mean)
		r.constant = k*r.constant + add
		for i := range r.slope {
			r.slope[i] *= k
		}
		r.sd *= k
	}
	if t.level != nil {
		r.constant = t.level(s.mean) - r.slope[0]*s.mean("stature") - r.slope[1]*s.mean("chest_circumference")
	}
}
