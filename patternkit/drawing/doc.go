// Package drawing is one recorded page of lines, areas and text, and its
// writers: SVG, PNG and PDF. Every picture of a program is recorded once and
// every writer sees only the record.
//
// Coordinates are millimetres, x to the right and y up, without bounds: the
// page is as large as what is on it. What is recorded first lies below.
// Lines have round corners and straight ends. Text is set in Liberation Sans
// or, in SVG, in a typeface of the same widths.
//
// A Page also draws charts of gonum.org/v1/plot: see Chart and Canvas.
package drawing
