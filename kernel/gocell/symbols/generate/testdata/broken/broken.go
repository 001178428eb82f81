// Package broken does not compile: the generator must say so.
package broken

func Length() float64 { return "one metre" }
