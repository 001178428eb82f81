// Package geom is plane geometry for things that are cut: lengths, angles,
// points and paths of straight lines and cubic Bezier curves.
//
// Coordinates are millimetres, x to the right and y up. Angles are radians,
// counterclockwise positive. Outlines run counterclockwise, so that their
// signed area is positive and their inside is on the left. Values never
// change: an operation returns a new value.
//
// Lengths along a path, places at a length, crossings and nearest points hold
// to 1e-6 mm on paths of up to 100 m.
package geom
