// Package programs holds small programs that are timed three ways: compiled,
// in cells, and (in the module under testdata) by another interpreter. Cells
// and the interpreter read the source of this package, so all run the same.
package programs

import "embed"

// Source holds the programs, one a file, each readable as a cell of its own
// once its package clause is cut off.
//
//go:embed loop.go fib.go calls.go callbacks.go slices.go bodice.go
//go:embed points.go lengths.go sizes.go fields.go texts.go closures.go
//go:embed methods.go angles.go sorting.go printing.go
var Source embed.FS
