package programs

// Closures calls functions that it is given n times, one of which keeps count.
func Closures(n int) float64 {
	calls := 0
	ease := 0.25
	rule := func(x float64) float64 {
		calls++
		return x*1.01 + ease
	}
	curve := func(x float64) float64 { return x * (1 - x/10_000) }
	then := func(f, g func(float64) float64) func(float64) float64 {
		return func(x float64) float64 { return g(f(x)) }
	}
	both := then(rule, curve)
	x := 1.0
	for i := 0; i < n; i++ {
		x = both(x)
	}
	return x + float64(calls)
}
