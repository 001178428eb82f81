package patternkit

import (
	"maps"
	"slices"

	"patternkit/patternkit/drawing"
	"patternkit/patternkit/geom"
)

// A board is a page on which pieces are being drawn in one style and at one
// scale. Lines are drawn before anything is written, so that text keeps clear
// of them.
type board struct {
	page  *drawing.Page
	style style
	scale float64 // millimetres of paper to one of cloth
	shown map[string]bool

	caption []string // further lines under the name of a piece without a cut line

	edgeNotes map[edgeOn]string // written after the lengths of edges

	listed  []string     // lines written under the key
	outside []pieceWords // what is said of pieces there
	lists   bool         // whether lines are written there

	shapes []shape   // what is drawn, for text to keep off
	write  []func()  // text, put off until all lines are drawn
	sizes  []keyLine // lines of sizes, for the key of a nest
}

// An edgeOn is an edge of one of several patterns on a drawing.
type edgeOn struct {
	group int
	edge  Along
}

func newBoard(title, description string, s style, scale float64) *board {
	return &board{page: drawing.NewPage(title, description), style: s, scale: scale, shown: map[string]bool{}, edgeNotes: map[edgeOn]string{}}
}

// textAt writes where a text says, upright, and keeps other text off it.
func (s *board) textAt(t drawing.Text) {
	s.page.Text(t)
	half := textHalf(t.S, t.Font)
	middle := t.At.Add(Pt(half.X*Length(1-int(t.Anchor)%3), half.Y*Length(1-int(t.Anchor)/3)))
	s.keepOff(polygon(geom.Rect{Min: middle.Sub(half), Max: middle.Add(half)}.Outline()))
}

// later puts off writing until all lines are there.
func (s *board) later(f func()) { s.write = append(s.write, f) }

// writeAll writes what was put off.
func (s *board) writeAll() {
	for _, f := range s.write {
		f()
	}
	s.write = nil
}

// line draws a path in the pen of a meaning and notes it for the key.
func (s *board) line(path Path, pen drawing.Pen, meaning string) {
	s.stroke(path, pen)
	if meaning != "" {
		s.shown[meaning] = true
	}
}

// arrow draws a solid arrowhead with its tip at a point, pointing along d.
func (s *board) arrow(tip, d Point, size Length) {
	d = d.Unit()
	back := tip.Sub(d.Scale(float64(size)))
	side := d.Perp().Scale(float64(size) * 0.32)
	head := Polyline(tip, back.Add(side), back.Sub(side), tip)
	s.page.Fill(head, s.style.grain.Color)
	s.keepOff(polygon(head))
}

// frame writes what was put off, and above and below the pieces the title, a
// scale bar and the key.
func (s *board) frame(pieces []placed, title, note string) {
	box := geom.EmptyRect()
	for _, p := range pieces {
		box = box.Union(p.box)
	}
	s.frameAround(box.Grow(1.8*s.style.edge.Size), title, note) // with what is written beside the edges
}

func (s *board) frameAround(box geom.Rect, title, note string) {
	s.head(box, title, note)
	foot := s.foot(box)
	s.lists = true
	s.writeAll()
	s.listOutside()
	s.list(Pt(box.Min.X, foot))
	s.page.Bounds() // settles the labels, so that what is written later only reads
}

func (s *board) head(box geom.Rect, title, note string) {
	y := box.Max.Y + 0.8*s.style.title.Size
	x := box.Min.X
	if title != "" {
		s.textAt(drawing.Text{At: Pt(x, y), S: title, Font: s.style.title})
		x += drawing.TextWidth(title, s.style.title) + 2*s.style.title.Size
	}
	s.textAt(drawing.Text{At: Pt(x, y), S: note, Font: s.style.small})
}

// foot draws the scale bar at the left and the key beside it, on further lines
// where it does not fit on one, or under it where the drawing is narrow. It
// returns how far down that goes.
func (s *board) foot(box geom.Rect) Length {
	y := box.Min.Y - 1.6*s.style.edge.Size
	x := s.scaleBar(Pt(box.Min.X, y)) + 3*s.style.edge.Size
	if box.Max.X-x < 25*s.style.edge.Size {
		x, y = box.Min.X, y-3*s.style.edge.Size
		box.Max.X = max(box.Max.X, x+25*s.style.edge.Size)
	}
	start := x
	for _, e := range s.key() {
		width := s.keySample() + 0.5*s.style.edge.Size + drawing.TextWidth(e.meaning, s.style.small)
		if x > start && x+width > box.Max.X {
			x, y = start, y-2*s.style.edge.Size
		}
		s.keyEntry(e, Pt(x, y))
		x += width + 1.3*s.style.edge.Size
	}
	return y
}

// list writes what is listed, line under line.
func (s *board) list(at Point) {
	at.Y -= 1.2 * s.style.edge.Size // below the figures of the scale bar
	for _, l := range s.listed {
		at.Y -= 1.5 * s.style.edge.Size
		s.textAt(drawing.Text{At: at, S: l, Font: s.style.edge})
	}
}

// column writes lines under a title, and under them the key, from the upper
// left corner down.
func (s *board) column(corner Point, lines []string) {
	em := s.style.edge.Size
	y := corner.Y
	for i, l := range lines {
		font := s.style.edge
		if i == 0 {
			font = s.style.name
		}
		s.textAt(drawing.Text{At: Pt(corner.X, y), S: l, Font: font, Anchor: drawing.TopLeft})
		y -= 1.5 * font.Size
	}
	for _, e := range s.key() {
		y -= 1.7 * em
		s.keyEntry(e, Pt(corner.X, y))
	}
}

// scaleBar draws centimetres at the scale of the sheet and returns where it
// ends.
func (s *board) scaleBar(at Point) Length {
	length := 1 * CM
	for _, l := range []Length{2 * CM, 5 * CM, 10 * CM, 20 * CM, 50 * CM} {
		if l*Length(s.scale) <= 50*MM {
			length = l
		}
	}
	const parts = 4
	step, height := length*Length(s.scale)/parts, 0.4*s.style.edge.Size
	for i := range parts {
		r := geom.Rect{Min: at.Add(Pt(step*Length(i), 0)), Max: at.Add(Pt(step*Length(i+1), height))}
		if i%2 == 0 {
			s.page.Fill(r.Outline(), ink)
		}
		s.stroke(r.Outline(), s.style.hair)
	}
	below := -0.4 * s.style.edge.Size
	for _, m := range []struct {
		at   Length
		text string
	}{{0, "0"}, {2, plainNumber((length / 2).CM())}, {parts, length.String()}} {
		s.textAt(drawing.Text{At: at.Add(Pt(step*m.at, below)), S: m.text, Font: s.style.small, Anchor: drawing.TopCenter})
	}
	return at.X + step*parts + drawing.TextWidth(length.String(), s.style.small)/2
}

// A keyLine is one meaning of the key with the line that shows it.
type keyLine struct {
	meaning string
	pen     drawing.Pen
}

// Meanings of lines, as the key names them.
const (
	meansCut      = "cut line"
	meansStitch   = "stitch line"
	meansSewn     = "stitch line, allowance outside"
	meansFold     = "fold of the cloth"
	meansDart     = "dart, width at its mouth"
	meansInternal = "line on the piece"
	meansTurn     = "fold line"
	meansPressed  = "folded this way"
	meansBefore   = "as it was before"
	meansGrain    = "grainline"
	meansNotch    = "notch"
	meansDouble   = "double notch"
	meansNotches  = "notch, double notch"
	meansFault    = "seam that does not meet"
	meansTrue     = "corner to be trued"
	meansNarrow   = "too short around"
)

// key lists the meanings that the sheet shows.
func (s *board) key() []keyLine {
	all := []keyLine{
		{meansCut, s.style.cut}, {meansStitch, s.style.stitch}, {meansSewn, s.style.sewn}, {meansFold, s.style.fold}, {meansDart, s.style.dart},
		{meansInternal, s.style.internal}, {meansBefore, s.style.before}, {meansTurn, s.style.turn}, {meansPressed, s.style.grain}, {meansGrain, s.style.grain},
		{meansNotch, s.style.notch}, {meansDouble, s.style.notch}, {meansNotches, s.style.notch}, {meansFault, s.style.fault}, {meansTrue, s.style.fault},
		{meansNarrow, s.style.fault},
	}
	shown := maps.Clone(s.shown)
	if shown[meansNotch] && shown[meansDouble] {
		shown[meansNotch], shown[meansDouble], shown[meansNotches] = false, false, true
	}
	return append(slices.DeleteFunc(all, func(k keyLine) bool { return !shown[k.meaning] }), s.sizes...)
}

// keySample is the length of a line in the key: one dash and dot of a fold.
func (s *board) keySample() Length {
	sum := Length(0)
	for _, d := range s.style.fold.Dash {
		sum += d
	}
	return sum
}

func (s *board) keyEntry(k keyLine, at Point) {
	em := s.style.edge.Size
	a, b := at.Add(Pt(0, 0.3*em)), at.Add(Pt(s.keySample(), 0.3*em))
	switch k.meaning {
	case meansFault, meansNarrow:
		s.stroke(zigzag(Line(a, b), 0, s.style.mark), k.pen)
	case meansTrue:
		s.stroke(circle(a.Mid(b), 0.8*s.style.mark), k.pen)
	case meansNotch, meansDouble:
		s.stroke(Line(a, b), s.style.stitch)
		s.ticks(a.Mid(b), Pt(1, 0), k.meaning == meansDouble)
	case meansNotches:
		s.stroke(Line(a, b), s.style.stitch)
		s.ticks(a.Lerp(b, 0.3), Pt(1, 0), false)
		s.ticks(a.Lerp(b, 0.7), Pt(1, 0), true)
	case meansFold:
		k.pen.Phase = k.pen.Dash[0] / 2 // the dot stands in the middle
		s.stroke(Line(a, b), k.pen)
	case meansGrain:
		s.doubleArrow(a, b)
	case meansPressed:
		s.stroke(Line(a, b.Sub(Pt(s.style.mark, 0))), k.pen)
		s.arrow(b, Pt(1, 0), 2*s.style.mark)
	default:
		s.stroke(Line(a, b), k.pen)
	}
	s.textAt(drawing.Text{At: at.Add(Pt(s.keySample()+0.5*em, 0)), S: k.meaning, Font: s.style.small})
}
