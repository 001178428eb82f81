// Package svgpath reads the lines and curves of SVG drawings as paths in
// millimetres, by Scalable Vector Graphics (SVG) 1.1, second edition, W3C
// Recommendation of 2011: chapters 7 (coordinates), 8 (paths), 9 (basic
// shapes), F.6 (elliptical arcs).
package svgpath
