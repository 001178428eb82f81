// Package patternkit drafts garment patterns: from the measurements of a body
// to named pieces on the stitch line, the check that their seams meet, and
// pictures, tables and true-scale sheets of them.
//
// A pattern is a function of a body: measurements go in as a Body, a draft
// turns them into pieces, NewPattern joins pieces by seams, Walk checks the
// seams, and HTML, PNG, SVGFile and PDF hand the result on. Every value is
// shown in a notebook cell by its own methods.
//
// A Length is a distance in millimetres (92*CM, 2.5*Inch), an Angle a turn in
// radians (18*Degree). On a sheet x runs to the right and y up, and outlines
// run counterclockwise. Values do not change: what looks like a change returns
// another value. Drafts and seams work on the stitch line; no seam allowance
// is in any length.
package patternkit
