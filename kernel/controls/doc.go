// Package controls is what a cell asks of its notebook: sliders, choices and
// toggles that a drawing reads, live views that draw it again as they move,
// progress of long work, and files to take away.
//
// In a notebook with a front end the controls can be moved. Everywhere else
// (a plain Go program, a console, a run without a front end) the same code
// gives the static result with the values used. The functions of this package
// work on a panel of the process, which prints; a session of cells binds them
// to a Panel of its own.
//
// Values of controls are exact: lengths are geom.Length in millimetres and
// angles geom.Angle in radians, however the front end shows them.
package controls
