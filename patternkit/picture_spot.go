package patternkit

import (
	"iter"
	"math"
	"strings"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/geom"
)

// A spot is a place for text: the middle of its box and the direction of its
// lines.
type spot struct {
	at    Point
	angle Angle
}

// A shape is a drawn line, or the rim of a text, that other text keeps off.
type shape struct {
	points []Point
	box    geom.Rect
}

// stroke draws a line that text keeps off.
func (s *board) stroke(path Path, pen drawing.Pen) {
	s.page.Stroke(path, pen)
	s.keepOff(polygon(path))
}

func (s *board) keepOff(points []Point) {
	s.shapes = append(s.shapes, shape{points, geom.RectAround(points...)})
}

// text writes at a spot, and keeps other text off it.
func (s *board) text(words string, font drawing.Font, at spot) {
	s.page.Text(drawing.Text{At: at.at, S: words, Font: font, Angle: at.angle, Anchor: drawing.MiddleCenter})
	half := textHalf(words, font)
	turn := geom.Rotate(Point{}, at.angle).Then(geom.Translate(at.at))
	s.keepOff(polygon(geom.Rect{Min: half.Neg(), Max: half}.Outline().Transformed(turn)))
}

// textHalf returns half the width and half the height of a text.
func textHalf(words string, font drawing.Font) Point {
	lines := strings.Split(words, "\n")
	width := Length(0)
	for _, l := range lines {
		width = max(width, drawing.TextWidth(l, font))
	}
	return Pt(width/2, font.Size*(0.48+0.6*Length(len(lines)-1)))
}

// plenty is as much room around a text as makes a difference.
const plenty = 4 * MM

// first writes at the first spot with room enough, and reports whether there
// is one.
func (s *board) first(words string, font drawing.Font, spots iter.Seq[spot]) bool {
	half := textHalf(words, font)
	for at := range spots {
		if s.room(half, at) >= s.style.gap*0.7 {
			s.text(words, font, at)
			return true
		}
	}
	return false
}

// roomiest writes at the spot with most room, and reports whether there is any.
func (s *board) roomiest(words string, font drawing.Font, spots []spot) bool {
	half := textHalf(words, font)
	best, room := spot{}, s.style.gap*0.7
	for _, at := range spots {
		if r := s.room(half, at); r > room*1.1 {
			best, room = at, r
		}
	}
	if best == (spot{}) {
		return false
	}
	s.text(words, font, best)
	return true
}

// room returns how far what is drawn is from a box at a spot, at most plenty,
// and below 0 where something runs through it.
func (s *board) room(half Point, at spot) Length {
	room := plenty
	reach := half.Norm() + plenty
	around := geom.Rect{Min: at.at, Max: at.at}.Grow(reach)
	box := geom.Rect{Min: half.Neg(), Max: half}
	sin, cos := Length(math.Sin(float64(-at.angle))), Length(math.Cos(float64(-at.angle)))
	local := func(q Point) Point {
		q = q.Sub(at.at)
		return Pt(q.X*cos-q.Y*sin, q.X*sin+q.Y*cos)
	}
	for _, sh := range s.shapes {
		if !sh.box.Overlaps(around) {
			continue
		}
		for i := 1; i < len(sh.points); i++ {
			a, b := sh.points[i-1], sh.points[i]
			if max(a.X, b.X) < around.Min.X || min(a.X, b.X) > around.Max.X || max(a.Y, b.Y) < around.Min.Y || min(a.Y, b.Y) > around.Max.Y {
				continue
			}
			if room = min(room, boxToSegment(box, local(a), local(b), room)); room < 0 {
				return room
			}
		}
	}
	return room
}

// beside returns the spot beside a path at a length, on its left side (1) or
// its right (-1): turned with the chord under the text, clear of where the
// path bulges toward it, and false where the path is too short.
func (s *board) beside(path Path, at Length, side float64, words string, font drawing.Font) (spot, bool) {
	half := textHalf(words, font)
	length := path.Length()
	chord := path.At(min(length, at+half.X)).Sub(path.At(max(0, at-half.X)))
	if chord.Norm() < 0.5*MM {
		chord = path.TangentAt(at)
	}
	out := chord.Unit().Perp().Scale(side)
	foot := path.At(at)
	bulge := Length(0)
	for k := -4; k <= 4; k++ {
		q := path.At(min(length, max(0, at+half.X*Length(k)/4)))
		bulge = max(bulge, Length(q.Sub(foot).Dot(out)))
	}
	away := bulge + half.Y + 0.95*s.style.gap
	return spot{foot.Add(out.Scale(float64(away))), upright(chord.Direction())}, length > 2*half.X
}

// alongSide gives spots beside a path from the middle outward, first on one
// side, then on the other. Most text takes the first, so that the others need
// not be found.
func (s *board) alongSide(path Path, side float64, words string, font drawing.Font) iter.Seq[spot] {
	return func(yield func(spot) bool) {
		for _, d := range []float64{side, -side} {
			for _, t := range []Length{0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82} {
				if at, _ := s.beside(path, path.Length()*t, d, words, font); !yield(at) {
					return
				}
			}
		}
	}
}

// labelNear writes text where drawing finds a place near a point, with a
// leader line where that is far.
func (s *board) labelNear(at Point, words string, font drawing.Font, toward Point, gap Length) {
	s.page.Label(drawing.Label{At: at, S: words, Font: font, Toward: toward, Gap: gap})
}

// upright turns the direction of a base line so that it is read from below or
// from the right.
func upright(a Angle) Angle {
	const quarter = Angle(math.Pi / 2)
	for a > quarter+1e-6 {
		a -= 2 * quarter
	}
	for a <= -quarter+1e-6 {
		a += 2 * quarter
	}
	return a
}
