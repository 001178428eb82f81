package geom

import (
	"fmt"
	"math"
	"slices"
	"sync/atomic"

	"github.com/paulmach/orb"
)

// A Path is a chain of straight lines and cubic curves, each beginning where
// the one before ends. The zero value is empty. A Path never changes and may
// be shared between goroutines.
type Path struct{ chain *chain }

// A chain is what a path holds; its ruler is measured when first needed.
type chain struct {
	segs  []Segment
	ruler atomic.Pointer[ruler]
	one   [1]Segment // room for segs of a path of one part
}

func newPath(segs []Segment) Path {
	if len(segs) == 0 {
		return Path{}
	}
	return Path{&chain{segs: segs}}
}

func single(g Segment) Path {
	c := &chain{one: [1]Segment{g}}
	c.segs = c.one[:]
	return Path{c}
}

// segments are the parts of p, to be read only.
func (p Path) segments() []Segment {
	if p.chain == nil {
		return nil
	}
	return p.chain.segs
}

// Line returns the straight path from a to b.
func Line(a, b Point) Path { return single(Segment{A: a, B: b}) }

// Cubic returns the Bezier curve from a to b with handles c1 and c2.
func Cubic(a, c1, c2, b Point) Path { return single(Segment{a, c1, c2, b, true}) }

// Polyline returns straight lines through pts in order. A point that repeats
// the one before it adds no line; fewer than two points make an empty path.
func Polyline(pts ...Point) Path {
	segs := make([]Segment, 0, max(len(pts)-1, 0))
	for i := 1; i < len(pts); i++ {
		if pts[i] != pts[i-1] {
			segs = append(segs, Segment{A: pts[i-1], B: pts[i]})
		}
	}
	return newPath(segs)
}

// PathOf returns the path of segs in order. Each must begin within 1e-6 mm of
// where the one before ends, and all coordinates must be numbers.
func PathOf(segs ...Segment) (Path, error) {
	out := slices.Clone(segs)
	for i, g := range out {
		if !g.finite() {
			return Path{}, fmt.Errorf("part %d of %d of the path has a coordinate that is not a number", i+1, len(out))
		}
		if i == 0 {
			continue
		}
		if gap := out[i-1].B.Dist(g.A); gap > meet {
			return Path{}, fmt.Errorf("part %d of %d of the path begins at %v, %v away from the end of the part before at %v; want them to meet within 1e-6 mm", i+1, len(out), g.A, gap, out[i-1].B)
		}
		out[i].A = out[i-1].B
	}
	return newPath(out), nil
}

// Append returns p with the paths q after it. Each must begin within 1e-6 mm
// of where the one before ends; it is joined exactly there. Empty paths add
// nothing.
func (p Path) Append(q ...Path) (Path, error) {
	n := len(p.segments())
	for _, r := range q {
		n += len(r.segments())
	}
	segs := make([]Segment, 0, n)
	segs = append(segs, p.segments()...)
	for i, r := range q {
		next := r.segments()
		if len(next) == 0 {
			continue
		}
		if len(segs) == 0 {
			segs = append(segs, next...)
			continue
		}
		end := segs[len(segs)-1].B
		if gap := end.Dist(next[0].A); !(gap <= meet) {
			return Path{}, fmt.Errorf("path %d of %d to append begins at %v, %v away from the end at %v; want them to meet within 1e-6 mm", i+1, len(q), next[0].A, gap, end)
		}
		joint := len(segs)
		segs = append(segs, next...)
		segs[joint].A = end
	}
	return newPath(segs), nil
}

// Segments returns the lines and curves of p in order.
func (p Path) Segments() []Segment { return slices.Clone(p.segments()) }

// Empty reports whether p has no parts.
func (p Path) Empty() bool { return len(p.segments()) == 0 }

// Finite reports whether all coordinates of p are numbers and not infinite.
func (p Path) Finite() bool {
	for _, g := range p.segments() {
		if !g.finite() {
			return false
		}
	}
	return true
}

// Start returns where p begins. An empty path begins nowhere: the coordinates
// are not numbers.
func (p Path) Start() Point {
	if p.Empty() {
		return nowhere()
	}
	return p.chain.segs[0].A
}

// End returns where p ends, nowhere for an empty path.
func (p Path) End() Point {
	if p.Empty() {
		return nowhere()
	}
	return p.chain.segs[len(p.chain.segs)-1].B
}

// Closed reports whether p ends within 1e-6 mm of where it begins, after
// going somewhere.
func (p Path) Closed() bool {
	return p.Start().Dist(p.End()) <= meet && p.goesSomewhere()
}

// goesSomewhere reports whether p is longer than what counts as one place.
func (p Path) goesSomewhere() bool {
	for _, g := range p.segments() {
		if g.A.Dist(g.B) > meet {
			return true
		}
	}
	return p.Length() > meet
}

// Equal reports whether p and q have the same parts with the same
// coordinates.
func (p Path) Equal(q Path) bool { return slices.Equal(p.segments(), q.segments()) }

// Reversed returns p run from its end to its start.
func (p Path) Reversed() Path {
	segs := p.segments()
	out := make([]Segment, len(segs))
	for i, g := range segs {
		out[len(segs)-1-i] = g.reversed()
	}
	return newPath(out)
}

// Transformed returns p moved, turned, mirrored or scaled by t, curves
// exactly. It still begins at the start of p: a mirrored outline runs the
// other way round.
func (p Path) Transformed(t Transform) Path {
	segs := p.segments()
	if len(segs) == 1 {
		return single(segs[0].transformed(t))
	}
	out := make([]Segment, len(segs))
	for i, g := range segs {
		out[i] = g.transformed(t)
	}
	return newPath(out)
}

// Bounds returns the exact box around p, the empty box for an empty path.
func (p Path) Bounds() Rect {
	r := EmptyRect()
	for _, g := range p.segments() {
		r = r.Union(g.bounds())
	}
	return r
}

// Area returns the area that p encloses in square millimetres, positive where
// p runs counterclockwise around it, exact for lines and curves. An open path
// is closed by the straight line from its end to its start.
func (p Path) Area() float64 {
	if p.Empty() {
		return 0
	}
	o, sum := p.Start(), 0.0
	for _, g := range p.segments() {
		sum += g.area2(o)
	}
	return sum / 2
}

// Flatten returns points on p whose straight connections stay within tol of
// it. A tolerance below 1e-6 mm, which nothing here is more exact than,
// counts as 1e-6 mm.
func (p Path) Flatten(tol Length) orb.LineString {
	if !(tol >= meet) {
		tol = meet
	}
	if p.Empty() {
		return nil
	}
	points := 1
	for _, g := range p.segments() {
		points += g.pieces(tol)
	}
	start := p.Start()
	line := make(orb.LineString, 1, points)
	line[0] = orb.Point{float64(start.X), float64(start.Y)}
	for _, g := range p.segments() {
		n := g.pieces(tol)
		for i := 1; i <= n; i++ {
			q := g.at(float64(i) / float64(n))
			line = append(line, orb.Point{float64(q.X), float64(q.Y)})
		}
	}
	return line
}

// pieces returns into how many equal steps of the parameter g is parted so
// that chords stay within tol: a chord over a step h is off by at most
// h*h/8 times the largest second derivative, and that of a cubic is largest
// at an end.
func (g Segment) pieces(tol Length) int {
	if !g.Curve {
		return 1
	}
	bend := max(g.acceleration(0).Norm(), g.acceleration(1).Norm())
	n := math.Ceil(math.Sqrt(float64(bend / (8 * tol))))
	if !(n >= 1) {
		return 1
	}
	return int(min(n, 1e6))
}

// String tells the length and the ends of p.
func (p Path) String() string {
	if p.Empty() {
		return "an empty path"
	}
	if p.Closed() {
		return fmt.Sprintf("a closed path of %d parts, %v around", len(p.segments()), p.Length())
	}
	return fmt.Sprintf("a path of %d parts, %v long, from %v to %v", len(p.segments()), p.Length(), p.Start(), p.End())
}
