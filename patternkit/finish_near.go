package patternkit

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"patternkit/patternkit/geom"
)

// A cutCheck tells which places a cut line must not come to.
type cutCheck struct {
	sides  []cutSide
	around []geom.Rect // what lies within the allowance of each side, and more
	fold   *cutSide    // that on the fold of the cloth
	ring   orb.Ring    // the stitch line, mouths folded shut
	box    geom.Rect   // around the ring
	area   float64     // what it encloses
}

// stitchChord is how far the ring of a cutCheck may lie beside the stitch line.
const stitchChord = 0.2 * MM

func newCutCheck(sides []cutSide) *cutCheck {
	k := &cutCheck{sides: sides, around: make([]geom.Rect, len(sides)), box: geom.EmptyRect()}
	corners := make([]Point, len(sides))
	for i, s := range sides {
		box := s.stitch.Bounds()
		k.around[i], k.box = box.Grow(s.Width), k.box.Union(box)
		if s.fold {
			k.fold = &sides[i]
		}
		k.ring = append(k.ring, s.stitch.Flatten(stitchChord)...)
		corners[i] = s.stitch.Start()
		k.area += s.stitch.Area() // beyond the chord between its ends
	}
	k.area += Polyline(corners...).Area()
	return k
}

// encloses reports whether an outline is as large as the stitch line, but for
// rounding.
func (k *cutCheck) encloses(cut Path) bool { return cut.Area() >= k.area-1 }

// misplaced reports whether a place is nearer to the stitch line than an
// allowance, or within it.
func (k *cutCheck) misplaced(at Point) bool { return k.tooNear(at) || k.inside(at) }

// tooNear reports whether a place is out from a side, square to it, by less than
// its allowance. It leaves out the edges shaped by what they lie on, and the
// line of the fold, beyond which the cloth goes on.
func (k *cutCheck) tooNear(at Point) bool {
	if k.fold != nil && k.fold.onLine(at) {
		return false
	}
	for i, s := range k.sides {
		if !s.foldedBack && s.Width > 0 && k.around[i].Contains(at) && s.tooNear(at) {
			return true
		}
	}
	return false
}

// inside reports whether a place lies well within the stitch line.
func (k *cutCheck) inside(at Point) bool {
	if !k.box.Contains(at) || !planar.RingContains(k.ring, orb.Point{at.X.MM(), at.Y.MM()}) {
		return false
	}
	for i, s := range k.sides {
		if k.around[i].Grow(2*stitchChord).Contains(at) && s.stitch.Dist(at) <= 2*stitchChord {
			return false
		}
	}
	return true
}

// tooNear reports whether a place is out from the stitch line, square to it,
// by less than the allowance.
func (s cutSide) tooNear(at Point) bool {
	along, foot := s.stitch.Nearest(at)
	if along <= joinTolerance || along >= s.stitch.Length()-joinTolerance || foot.Dist(at) >= s.Width-3*cutTolerance {
		return false
	}
	return at.Sub(foot).Dot(s.outward(s.stitch.TangentAt(along))) > 0
}

// onLine reports whether a place is on the straight line of the side.
func (s cutSide) onLine(at Point) bool {
	off := at.Sub(s.stitch.Start()).Cross(s.stitch.TangentAt(0))
	return math.Abs(off) <= joinTolerance.MM()
}

// tightBend is from which bend of an edge times its allowance on the parallel
// may cross itself.
const tightBend = 0.5

// mostBend is the most by which the stitch line bends toward its cut line, in
// 1/mm: infinite where it has a corner that way, 0 where it bends only away.
func (s cutSide) mostBend() float64 {
	segs := s.stitch.Segments()
	most := 0.0
	for i, g := range segs {
		if i > 0 && handleBack(segs[i-1]).AngleTo(handleOn(g)) < -leastTurnIn {
			return math.Inf(1)
		}
		if g.Curve {
			most = max(most, mostBendRight(g))
		}
	}
	return most
}

// leastTurnIn is a turn that is none on paper.
const leastTurnIn = 0.1 * Degree

// handleOn and handleBack are along a line or curve at its start and its end.
func handleOn(g geom.Segment) Point {
	if g.Curve && g.C1 != g.A {
		return g.C1.Sub(g.A)
	}
	return g.B.Sub(g.A)
}

func handleBack(g geom.Segment) Point {
	if g.Curve && g.C2 != g.B {
		return g.B.Sub(g.C2)
	}
	return g.B.Sub(g.A)
}

// mostBendRight is the most by which a curve turns to the right, in 1/mm, at
// places along it; 0 where it turns only to the left, as its handles do.
func mostBendRight(g geom.Segment) float64 {
	a, b, c := g.C1.Sub(g.A), g.C2.Sub(g.C1), g.B.Sub(g.C2)
	ab, ac, bc := a.Cross(b), a.Cross(c), b.Cross(c)
	if ab >= 0 && ac >= 0 && bc >= 0 {
		return 0
	}
	const samples = 32
	most := 0.0
	for i := range samples + 1 {
		t := float64(i) / samples
		u := 1 - t
		speed := float64(a.Scale(u * u).Add(b.Scale(2 * u * t)).Add(c.Scale(t * t)).Norm()) // a third of it
		if bend := -2.0 / 3 * (ab*u*u + ac*u*t + bc*t*t) / (speed * speed * speed); bend > most {
			most = bend
		}
	}
	return most
}
