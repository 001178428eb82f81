// Package gocell evaluates cells of Go: pieces of code that are typed one after
// the other, in a notebook say, and share their names.
//
// A cell is Go as the language defines it, with three comforts. Its last
// expression is shown. A trailing error that the code does not take stops the
// cell with that error. Names can be declared again, and everything that
// depends on them sees the new declaration.
//
// How a cell runs: it is parsed; its declarations join those of the cells
// before it, each replacing the one of the same name; what the cell can reach
// of them is one package, which go/types checks and go/ssa lowers anew; then
// only the statements of the new cell are run. A cell that changes what older
// code means has everything checked again. Nothing of a session changes until
// the package has passed its checks.
//
// A call takes no part in the second comfort where the language accepts it as
// it stands: v, err := f(), return f() in a function that returns the error
// too, fmt.Sprint(f()), go f() and defer f(). A call that stands alone would
// drop its error and does take part, except the printing functions of fmt,
// whose count is not shown either.
//
// A function that no longer fits a new declaration stays known; calling it
// stops the cell with the reason, until one of the two is declared again.
// After a run-time error the variables that were assigned keep their values,
// and new ones that the cell did not come to are not declared.
//
// A cell with a package clause is a Go file: its variables are initialised in
// the order in which they depend on each other. Everywhere else variables are
// declared in the order in which they are written.
//
// What a cell can't use is listed in Refusals.
package gocell
