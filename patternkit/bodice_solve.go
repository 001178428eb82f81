package patternkit

import "math"

// rootBetween finds where f is zero between lo and hi, where its signs differ,
// to within tol, by Chandrupatla's method (inverse quadratic steps where they
// can be trusted, halving where not). ok is false where the signs are alike.
func rootBetween(f func(float64) float64, lo, hi, tol float64) (x float64, ok bool) {
	a, b := hi, lo
	fa, fb := f(a), f(b)
	if fa == 0 {
		return a, true
	}
	if fb == 0 {
		return b, true
	}
	if !(fa*fb < 0) {
		return 0, false
	}
	c, fc := a, fa
	t := 0.5
	for range 100 {
		x = a + t*(b-a)
		fx := f(x)
		if math.Signbit(fx) == math.Signbit(fa) {
			c, fc = a, fa
		} else {
			c, b, fc, fb = b, a, fb, fa
		}
		a, fa = x, fx
		if math.Abs(fb) < math.Abs(fa) {
			x = b
		}
		share := tol / math.Abs(b-c)
		if share > 0.5 || fx == 0 {
			return x, true
		}
		t = chandrupatlaStep(a, b, c, fa, fb, fc)
		t = min(1-share, max(share, t))
	}
	return x, true
}

// chandrupatlaStep is the next step as a share of the way from a to b.
func chandrupatlaStep(a, b, c, fa, fb, fc float64) float64 {
	xi, phi := (a-b)/(c-b), (fa-fb)/(fc-fb)
	if phi*phi < xi && (1-phi)*(1-phi) < 1-xi {
		return fa/(fb-fa)*fc/(fb-fc) + (c-a)/(b-a)*fa/(fc-fa)*fb/(fc-fb)
	}
	return 0.5
}
