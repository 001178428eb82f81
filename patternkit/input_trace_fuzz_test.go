package patternkit

import (
	"encoding/binary"
	"fmt"
	"testing"

	"patternkit/patternkit/geom"
)

// Whatever the outline and the named points, a trace is a piece whose every
// edge is within what it says of the outline, or an error; in bounded time.
func FuzzTrace(f *testing.F) {
	pack := func(numbers ...int16) []byte {
		var b []byte
		for _, n := range numbers {
			b = binary.LittleEndian.AppendUint16(b, uint16(n))
		}
		return b
	}
	square := pack(0, 0, 500, 0, 500, 600, 0, 600, 0, 0)
	f.Add(square, pack(3, 2, 505, -4, 497, 610, 0, 600), 1.0, 1.5, false, uint8(0))
	f.Add(pack(0, 0, 150, -10, 300, 10, 500, 0, 480, 300, 490, 450, 500, 600, 300, 520, 150, 640, 0, 600, 10, 300, -10, 100, 0, 0),
		pack(0, 0, 500, 0, 500, 600, 0, 600), 1.0, 10.0, true, uint8(4))
	f.Add(square, pack(0, 0, 500, 600), 1e-3, 0.1, false, uint8(1))
	f.Add(square, pack(0, 0, 500, 600), 1e300, 0.1, false, uint8(9))
	f.Fuzz(func(t *testing.T, outline, named []byte, scale, within float64, curves bool, fold uint8) {
		if len(outline) > 4*400 || len(named) > 4*40 {
			t.Skip()
		}
		trace := Trace{Within: Length(within)}
		for i, q := range unpackPoints(named, scale) {
			trace.Edges = append(trace.Edges, NamedPoint{fmt.Sprintf("edge %d", i+1), q})
		}
		if fold > 0 {
			trace.Fold = fmt.Sprintf("edge %d", fold)
		}
		points := unpackPoints(outline, scale)
		if !curves {
			trace.Outline = geom.Polyline(points...)
		}
		for ; curves && len(points) > 3; points = points[3:] {
			next := Cubic(points[0], points[1], points[2], points[3])
			var err error
			if trace.Outline, err = trace.Outline.Append(next); err != nil {
				t.Skip()
			}
		}
		p, err := trace.Piece("traced")
		if err != nil {
			return
		}
		if !p.Outline().Finite() || !(p.Area() > 0) {
			t.Fatalf("a piece of %v mm²", p.Area())
		}
		edges, err := trace.drawn()
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range edges {
			between := e.traced.Length() / traceSamples // of two points that are compared
			for i := range 100 {
				q := e.fair.At(e.fair.Length() * Length(i) / 99)
				if d := e.traced.Dist(q); !(d <= trace.Within+between) {
					t.Fatalf("%s at %v is %v from its trace, want at most %v and %v", e.name, q, d, trace.Within, between)
				}
			}
		}
		if _, err := trace.Table(); err != nil {
			t.Fatal(err)
		}
	})
}

// unpackPoints reads pairs of numbers of 16 bits.
func unpackPoints(b []byte, scale float64) []Point {
	var points []Point
	for ; len(b) >= 4; b = b[4:] {
		x, y := int16(binary.LittleEndian.Uint16(b)), int16(binary.LittleEndian.Uint16(b[2:]))
		points = append(points, Pt(Length(float64(x)*scale), Length(float64(y)*scale)))
	}
	return points
}
