// Package dxf writes and reads drawings in the drawing interchange format in
// its text form: the DXF Reference of AutoCAD release 12 for lines, and of
// 2000 for exact curves. Group codes and names of entities are from those
// references, from memory, and are checked by reading the files with ezdxf.
package dxf
