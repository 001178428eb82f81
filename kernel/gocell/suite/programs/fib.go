package programs

// Fib is the nth Fibonacci number, by the slowest way.
func Fib(n int) int {
	if n < 2 {
		return n
	}
	return Fib(n-1) + Fib(n-2)
}
