// Package gocell evaluates cells of Go: pieces of code that are typed one after
// the other, in a notebook say, and share their names.
//
// A cell is Go as the language defines it, with three comforts. Its last
// expression is shown. A trailing error that the code does not take stops the
// cell with that error. Names can be declared again, and everything that
// depends on them sees the new declaration.
//
// How a cell runs: it is parsed; its declarations join those of the cells
// before it, each replacing the one of the same name; all of them are one
// package, which go/types checks and go/ssa lowers anew for each cell; then
// only the statements of the new cell are run. Nothing of a session changes
// until the whole package has passed its checks.
package gocell
