package drawing

import (
	"image/color"
	"math"
	"slices"

	"patternkit/patternkit/geom"
)

// A Label is text that looks for a free place near At: beside it first, then
// farther away, where a thin line leads back to At.
type Label struct {
	At     geom.Point // what the text is about
	S      string     // lines parted by "\n"
	Font   Font
	Angle  geom.Angle  // of the base line; turned half round where the text would stand on its head
	Toward geom.Point  // the direction in which it goes if it can; zero is to the right
	Gap    geom.Length // clear space around the text; zero is 0.4 of the size
	Halo   geom.Length // as in Text
	Leader Pen         // of the line back to At; zero is a thin grey one
}

// A placedLabel is where a label went.
type placedLabel struct {
	text   Text
	leader geom.Path
}

func (l Label) text() Text {
	angle := math.Remainder(float64(l.Angle), 2*math.Pi)
	if angle > math.Pi/2+1e-9 || angle <= -math.Pi/2+1e-9 {
		angle = math.Remainder(angle+math.Pi, 2*math.Pi)
	}
	return Text{At: l.At, S: l.S, Font: l.Font, Angle: geom.Angle(angle), Anchor: MiddleCenter, Halo: l.Halo}
}

func (l Label) gap() geom.Length {
	if l.Gap > 0 {
		return l.Gap
	}
	return l.Font.Size * 0.4
}

func (l Label) leaderPen() Pen {
	if l.Leader.Width > 0 {
		return l.Leader
	}
	return Pen{Width: 0.15, Color: color.NRGBA{0x44, 0x44, 0x44, 0xff}}
}

// placeLabels returns where each label of the page goes, in order: the first
// labels have the best places.
func (p *Page) placeLabels() []placedLabel {
	if !slices.ContainsFunc(p.elements, func(e element) bool { return e.kind == labelKind }) {
		return nil
	}
	full := newCrowd()
	count := 0
	for i := range p.elements {
		e := &p.elements[i]
		full.addElement(e)
		if e.kind == labelKind {
			count++
		}
	}
	placed := make([]placedLabel, 0, count)
	for _, e := range p.elements {
		if e.kind != labelKind {
			continue
		}
		l := e.label.place(full)
		full.addText(l.text)
		full.addPath(l.leader, e.label.leaderPen().Width)
		placed = append(placed, l)
	}
	return placed
}

// place returns the best place for l: the first that covers nothing, going
// outward, or the one that covers least.
func (l Label) place(full *crowd) placedLabel {
	best, least := placedLabel{text: l.text()}, math.Inf(1)
	room := l.gap() * 0.6
	for _, away := range [...]float64{0, 0.5, 1, 2, 3, 4.5, 6, 8, 11, 15, 20} {
		if away >= least {
			break // farther out costs more than what is found
		}
		for _, c := range l.ring(away) {
			if c.cost >= least {
				continue
			}
			cost := c.cost + full.cover(c.text.corners(room), least-c.cost)
			if !c.leader.Empty() && cost < least {
				cost += full.coverLine(c.leader, l.At)
			}
			if cost < least {
				best, least = c.placedLabel, cost
			}
		}
	}
	return best
}

type candidate struct {
	placedLabel
	cost float64
}

// Costs of a place, in multiples of what moving by one size costs.
const (
	costTurn  = 0.6 // away from the wanted direction, for half a turn
	costText  = 60  // on other text
	costLine  = 40  // on a line
	costGuide = 4   // a leader across a line
	costBlot  = 20  // a leader across text
)

// ring returns the places around l.At at a distance of away sizes, each with
// the cost of being far and of not lying in the wanted direction.
func (l Label) ring(away float64) []candidate {
	t, led, turns := l.text(), away >= 2, 16
	if led {
		turns = 32
	}
	corners := t.corners(l.gap())
	right := corners[1].Sub(corners[0]).Scale(0.5)
	up := corners[3].Sub(corners[0]).Scale(0.5)
	middle := corners[0].Mid(corners[2]).Sub(l.At) // of the box, off the middle of the capitals
	want := geom.Pt(1, 0)
	if l.Toward != (geom.Point{}) {
		want = l.Toward.Unit()
	}
	out := make([]candidate, turns)
	for k := range out {
		// The wanted direction first, then its neighbours on both sides.
		step := (k + 1) / 2
		if k%2 == 0 {
			step = -step
		}
		d := want.Rotated(2 * math.Pi * geom.Angle(step) / geom.Angle(turns))
		rim := l.At.Add(d.Scale(away * float64(l.Font.Size)))
		c := &out[k]
		c.cost = away + costTurn*math.Abs(float64(step))/float64(turns/2)
		c.text = t
		if led {
			c.text.At = rim.Add(behind(d, right, up)).Sub(middle)
			c.leader = geom.Line(l.At, rim.Add(d.Scale(float64(l.gap()/2))))
			c.cost++
		} else {
			c.text.At = rim.Add(beside(d, right, up)).Sub(middle)
		}
	}
	return out
}

// beside returns the way from a point to the middle of a box with the half
// sides right and up that lies in direction d from it: straight along an axis
// the point touches the middle of a side, else a corner, so that a line across
// d through the point stays clear of the box.
func beside(d, right, up geom.Point) geom.Point {
	share := func(axis geom.Point) float64 {
		return min(max(4*d.Dot(axis.Unit()), -1), 1)
	}
	return right.Scale(share(right)).Add(up.Scale(share(up)))
}

// behind returns the way from a point to the middle of such a box so that a
// line in direction d through the point runs on to the middle.
func behind(d, right, up geom.Point) geom.Point {
	reach := func(half geom.Point) geom.Length {
		n := half.Norm()
		return n / geom.Length(max(math.Abs(d.Dot(half))/float64(n), 1e-9))
	}
	return d.Scale(float64(min(reach(right), reach(up))))
}
