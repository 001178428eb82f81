package geom

import (
	"fmt"
	"math"
)

// MitreReach is past which multiple of the distance the point of a mitre is
// cut off square, as a sharp corner would otherwise reach far out: corners
// below 39°.
const MitreReach = 3

// Offset returns the path that runs at the distance d beside p, to its right
// where d is positive: a counterclockwise outline grows by a positive d and
// shrinks by a negative one. Curves stay curves, within tol of the true
// parallel. Corners that open are mitred, and squared off where the mitre
// would reach out by more than 3 d; no point is nearer to p than d less 3 tol.
// Corners that close, and loops where p bends tighter than d, are trimmed.
//
// Offset fails where p is empty or not finite, d is not finite, tol is not
// positive, or where nothing or more than one part would be left.
func (p Path) Offset(d, tol Length) (Path, error) {
	raw, err := p.Parallel(d, tol)
	if err != nil || d == 0 {
		return raw, err
	}
	limit := d.Abs() - 3*max(tol, meet)
	out, err := raw.Trimmed(func(at Point) bool { return p.Dist(at) < limit })
	if err != nil {
		return Path{}, fmt.Errorf("offset by %v: %w; want a smaller distance", d, err)
	}
	return out, nil
}

// Parallel returns the path at the distance d beside p as Offset does, but
// with the loops left in that arise where p bends or turns tighter than d: a
// corner that closes is led across straight.
func (p Path) Parallel(d, tol Length) (Path, error) {
	switch {
	case p.Empty() || !p.Finite():
		return Path{}, fmt.Errorf("offset of %v: want a path of at least one line or curve with finite coordinates", p)
	case !d.Finite():
		return Path{}, fmt.Errorf("offset by %v: want a finite distance, positive to the right", d)
	case !(tol > 0) || !tol.Finite():
		return Path{}, fmt.Errorf("offset with a tolerance of %v: want more than 0, such as 0.01 mm", tol)
	case d == 0:
		return p, nil
	}
	f := offsetter{d: d, tol: max(tol, meet)}
	if err := f.run(p); err != nil {
		return Path{}, err
	}
	return newPath(f.out), nil
}

// An offsetter gathers the untrimmed parallel of a path.
type offsetter struct {
	d, tol Length
	out    []Segment
}

func (f *offsetter) run(p Path) error {
	segs := p.segments()
	for i, g := range segs {
		if i > 0 {
			f.corner(segs[i-1], g)
		}
		if err := f.segment(g); err != nil {
			return fmt.Errorf("offset by %v, part %d of %d of the path: %w", f.d, i+1, len(segs), err)
		}
	}
	if p.Closed() {
		f.corner(segs[len(segs)-1], segs[0])
		if gap := f.end().Dist(f.out[0].A); gap > 0 {
			f.lineTo(f.out[0].A)
		}
	}
	return nil
}

func (f *offsetter) end() Point { return f.out[len(f.out)-1].B }

func (f *offsetter) lineTo(q Point) {
	if f.end().Dist(q) <= meet {
		f.out[len(f.out)-1].B = q
		return
	}
	f.out = append(f.out, Segment{A: f.end(), B: q})
}

// beside is the point at d to the right of g at t.
func (f *offsetter) beside(g Segment, t float64) Point {
	return g.at(t).Sub(g.tangent(t).Perp().Scale(float64(f.d)))
}

// corner leads from the parallel of g to that of h, which follows it: over
// the mitre where the corner opens, straight across where it closes, for the
// loop there to be trimmed.
func (f *offsetter) corner(g, h Segment) {
	u, v := g.tangent(1), h.tangent(0)
	from, to := f.beside(g, 1), f.beside(h, 0)
	turn := u.Cross(v) * float64(f.d)
	reversal := u.Dot(v) < -1+1e-12
	if turn > 0 || reversal {
		reach := math.Abs(float64(f.d)) * math.Sqrt(2/(1+u.Dot(v)))
		if !reversal && reach <= MitreReach*math.Abs(float64(f.d)) {
			n := u.Perp().Add(v.Perp()).Scale(-float64(f.d) / (1 + u.Dot(v)))
			f.lineTo(g.B.Add(n))
		} else {
			long := math.Abs(float64(f.d))
			f.lineTo(from.Add(u.Scale(long)))
			f.lineTo(to.Sub(v.Scale(long)))
		}
	}
	f.lineTo(to)
}

func (f *offsetter) segment(g Segment) error {
	if len(f.out) > 0 && f.end().Dist(f.beside(g, 0)) > meet {
		f.lineTo(f.beside(g, 0))
	}
	if !g.Curve {
		f.add(Segment{A: f.beside(g, 0), B: f.beside(g, 1)})
		return nil
	}
	t0 := 0.0
	for _, t1 := range append(f.cusps(g), 1) {
		if t1-t0 < 1e-9 {
			continue
		}
		if err := f.fit(g, t0, t1, 0); err != nil {
			return err
		}
		t0 = t1
	}
	return nil
}

func (f *offsetter) add(g Segment) {
	if len(f.out) > 0 {
		g.A = f.end()
	}
	f.out = append(f.out, g)
}

// stretch is the speed of the parallel over that of g: 1 + d·curvature.
func (f *offsetter) stretch(g Segment, t float64) float64 {
	k := 1 + float64(f.d)*g.curvature(t)
	if math.IsNaN(k) || math.IsInf(k, 0) {
		return 0
	}
	return k
}

// cusps are the parameters where the parallel of g turns back on itself: none
// where g bends away from it.
func (f *offsetter) cusps(g Segment) []float64 {
	if g.turns(f.d < 0) {
		return nil
	}
	const steps = 64
	var found []float64
	low, before := 0.0, f.turnsBack(g, 0)
	for i := 1; i <= steps; i++ {
		high := float64(i) / steps
		after := f.turnsBack(g, high)
		if before*after < 0 {
			a, b := low, high
			for b-a > 1e-14 {
				m := (a + b) / 2
				if f.turnsBack(g, m)*before > 0 {
					a = m
				} else if b == m {
					break
				} else {
					b = m
				}
			}
			found = append(found, (a+b)/2)
		}
		low, before = high, after
	}
	return found
}

// turnsBack has the sign of the stretch at t: the same times the third power of
// the speed.
func (f *offsetter) turnsBack(g Segment, t float64) float64 {
	v := g.velocity(t)
	speed2 := v.Dot(v)
	return speed2*math.Sqrt(speed2) + float64(f.d)*v.Cross(g.acceleration(t))
}

// turns reports whether g turns only to the right, or only to the left, as its
// control polygon does.
func (g Segment) turns(right bool) bool {
	a, b, c := g.C1.Sub(g.A), g.C2.Sub(g.C1), g.B.Sub(g.C2)
	if right {
		a, c = c, a
	}
	return a.Cross(b) >= 0 && b.Cross(c) >= 0 && a.Cross(c) >= 0
}

// fit adds curves beside g from t0 to t1, halving until they are within the
// tolerance.
func (f *offsetter) fit(g Segment, t0, t1 float64, depth int) error {
	h := t1 - t0
	a, b := f.beside(g, t0), f.beside(g, t1)
	c := Hermite(a, g.velocity(t0).Scale(h*f.stretch(g, t0)), b, g.velocity(t1).Scale(h*f.stretch(g, t1))).segments()[0]
	if f.close(g, c, t0, t1) {
		f.add(c)
		return nil
	}
	if depth == 20 {
		return fmt.Errorf("no curve follows it within %v near %v; want a larger tolerance or a smoother path", f.tol, g.at(t0))
	}
	mid := (t0 + t1) / 2
	if err := f.fit(g, t0, mid, depth+1); err != nil {
		return err
	}
	return f.fit(g, mid, t1, depth+1)
}

// close reports whether points of c lie within the tolerance of the true
// parallel. Each is compared with the parallel at the foot of its normal,
// found from the same parameter by two Newton steps.
func (f *offsetter) close(g, c Segment, t0, t1 float64) bool {
	const samples = 9
	for i := 1; i < samples; i++ {
		u := float64(i) / samples
		q := c.at(u)
		t := t0 + u*(t1-t0)
		off := q.Dist(f.beside(g, t))
		for i := 0; i < 2 && off > f.tol; i++ {
			w, v := q.Sub(g.at(t)), g.velocity(t)
			t = min(max(t+w.Dot(v)/(v.Dot(v)-w.Dot(g.acceleration(t))), t0), t1)
			if math.IsNaN(t) {
				break
			}
			off = min(off, q.Dist(f.beside(g, t)))
		}
		if off > f.tol {
			return false
		}
	}
	return true
}
