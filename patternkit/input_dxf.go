package patternkit

import (
	"io"
	"strings"

	"patternkit/patternkit/drawing/dxf"
)

// OutlinesFromDXF reads the lines and curves of a DXF file in its text form:
// LINE, POLYLINE and LWPOLYLINE with bulges, ARC, CIRCLE, ELLIPSE, SPLINE of
// degree up to 3, in blocks and outside. Each comes in millimetres under the
// name of its block and layer; what follows on one layer and begins within
// 0.001 mm of where the one before ends is joined. unit is the length of a
// drawing unit where the file says none (1*MM, 1*Inch), or 0 to make that an
// error. Other errors tell the line of the file: no DXF, cut short, lines in
// space, more than 200,000 lines and curves or 64 MiB.
func OutlinesFromDXF(r io.Reader, unit Length) ([]Edge, error) {
	read, err := dxf.Read(r, unit)
	if err != nil {
		return nil, err
	}
	edges := make([]Edge, len(read))
	for i, o := range read {
		edges[i] = Edge{strings.TrimSpace(o.Block + " " + o.Layer), o.Path}
	}
	return edges, nil
}
