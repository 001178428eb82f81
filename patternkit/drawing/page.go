package drawing

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	"slices"

	"patternkit/patternkit/geom"
)

// defaultMargin is the paper left around what is on a page.
const defaultMargin = 4 * geom.MM

// A Page records lines, areas, text and labels in the order in which they lie
// on each other. It is not for use by several goroutines at once.
type Page struct {
	title, description string
	margin             geom.Length
	elements           []element
	open               []string // layers begun and not ended
	faults             []error
	ready              []element // the record as it is written; nil after a change
}

type kind uint8

const (
	strokeKind kind = iota
	fillKind
	textKind
	labelKind
	imageKind
	beginKind
	endKind
)

// An element is one entry of the record.
type element struct {
	kind  kind
	paths []geom.Path // of one line or area
	pen   Pen         // of a line
	fill  color.NRGBA // of an area
	text  Text
	label *Label
	image image.Image
	frame geom.Rect // of an image
	photo bool      // an image that may lose detail which is not seen
	layer string    // that begins
}

// NewPage returns an empty page. The title names it in one line and the
// description tells those who do not see it what it shows.
func NewPage(title, description string) *Page {
	return &Page{title: title, description: description, margin: defaultMargin}
}

// Title returns the title of the page.
func (p *Page) Title() string { return p.title }

// Description returns what the page shows, in words.
func (p *Page) Description() string { return p.description }

// SetMargin sets how much paper is left around what is on the page, 4 mm if
// it is not called.
func (p *Page) SetMargin(margin geom.Length) {
	if !(margin >= 0) || !margin.Finite() {
		p.fail("margin of %v, want 0 cm or more", margin)
		return
	}
	p.margin = margin
}

// A Pen is how a line is drawn.
type Pen struct {
	Width geom.Length   // more than 0
	Dash  []geom.Length // lengths of dashes and gaps in turn; none for a solid line
	Phase geom.Length   // how far into Dash the line begins
	Color color.Color   // nil is black
}

// Stroke draws a line along path.
func (p *Page) Stroke(path geom.Path, pen Pen) { p.strokeAll([]geom.Path{path}, pen) }

func (p *Page) strokeAll(paths []geom.Path, pen Pen) {
	if err := pen.check(); err != nil {
		p.fail("%w", err)
		return
	}
	pen.Dash = slices.Clone(pen.Dash)
	p.add(element{kind: strokeKind, paths: paths, pen: pen})
}

// Fill colours the area that path encloses; an open path is closed by a
// straight line. A nil colour leaves it as it is.
func (p *Page) Fill(path geom.Path, fill color.Color) {
	if fill != nil {
		p.fillAll([]geom.Path{path}, fill)
	}
}

func (p *Page) fillAll(paths []geom.Path, fill color.Color) {
	p.add(element{kind: fillKind, paths: paths, fill: opaqueOr(fill, black)})
}

// Text writes a line of text, or several parted by "\n", where it says.
func (p *Page) Text(t Text) {
	if err := t.check(); err != nil {
		p.fail("%w", err)
		return
	}
	p.add(element{kind: textKind, text: t})
}

// Label writes text near a place where it covers no line and no other text of
// the page: see Label. Where it goes is settled when the page is written, so
// that it keeps clear of what is recorded later too.
func (p *Page) Label(l Label) {
	if err := l.text().check(); err != nil {
		p.fail("%w", err)
		return
	}
	p.add(element{kind: labelKind, label: &l})
}

// Image draws a picture of pixels into frame.
func (p *Page) Image(frame geom.Rect, img image.Image) { p.addImage(frame, img, false) }

// Photo is Image for a photograph: files hold it as JPEG, a tenth as large,
// with details lost that are not seen.
func (p *Page) Photo(frame geom.Rect, img image.Image) { p.addImage(frame, img, true) }

func (p *Page) addImage(frame geom.Rect, img image.Image, photo bool) {
	if frame.Empty() || !frame.Min.Finite() || !frame.Max.Finite() || img == nil || img.Bounds().Empty() {
		p.fail("an image needs pixels and a frame with an extent")
		return
	}
	p.add(element{kind: imageKind, image: img, frame: frame, photo: photo})
}

// Begin puts what follows, up to the matching End, in a layer: a group of
// that class in SVG and a layer that a reader can switch off in PDF. Layers
// may lie within each other, and one name may be begun many times.
func (p *Page) Begin(layer string) {
	p.open = append(p.open, layer)
	p.add(element{kind: beginKind, layer: layer})
}

// End closes the layer that was begun last.
func (p *Page) End() {
	if len(p.open) == 0 {
		p.fail("a layer is ended that was not begun")
		return
	}
	p.open = p.open[:len(p.open)-1]
	p.add(element{kind: endKind})
}

func (p *Page) add(e element) {
	for _, path := range e.paths {
		if !path.Finite() {
			p.fail("a path has a coordinate that is not a number")
			return
		}
	}
	if p.elements == nil {
		p.elements = make([]element, 0, 128) // as many as a few pieces take
	}
	p.elements, p.ready = append(p.elements, e), nil
}

func (p *Page) fail(format string, args ...any) {
	p.ready = nil
	p.faults = append(p.faults, fmt.Errorf("drawing %q: "+format, append([]any{p.title}, args...)...))
}

// Err returns what could not be recorded, nil if all was. PDF returns it too;
// SVG and PNG, which can't, show it on the page in words.
func (p *Page) Err() error {
	if len(p.open) > 0 {
		return errors.Join(append(p.faults, fmt.Errorf("drawing %q: layer %q is not ended", p.title, p.open[len(p.open)-1]))...)
	}
	return errors.Join(p.faults...)
}

// Bounds returns the box around all that is on the page, with the widths of
// lines, without the margin.
func (p *Page) Bounds() geom.Rect {
	box := geom.EmptyRect()
	for _, e := range p.settled() {
		box = box.Union(e.bounds())
	}
	return box
}

// paper returns the box of the page with its margin, never without extent.
func (p *Page) paper() geom.Rect {
	box := p.Bounds()
	if box.Empty() {
		box = geom.Rect{}
	}
	box = box.Grow(p.margin)
	box.Max.X = max(box.Max.X, box.Min.X+1)
	box.Max.Y = max(box.Max.Y, box.Min.Y+1)
	return box
}

// bounds returns the box around one element.
func (e *element) bounds() geom.Rect {
	box := geom.EmptyRect()
	switch e.kind {
	case strokeKind, fillKind:
		for _, path := range e.paths {
			box = box.Union(path.Bounds())
		}
		if e.kind == strokeKind && !box.Empty() {
			box = box.Grow(e.pen.Width / 2)
		}
	case textKind:
		for _, c := range e.text.corners(e.text.Halo) {
			box = box.Including(c)
		}
	case imageKind:
		box = e.frame
	}
	return box
}

// settled returns the record with every label turned into text, with its
// leader line where it has one, and with a note of what failed.
func (p *Page) settled() []element {
	if p.ready != nil {
		return p.ready
	}
	placed := p.placeLabels()
	if len(placed) == 0 && len(p.open) == 0 && p.Err() == nil {
		p.ready = p.elements
		return p.ready
	}
	out := make([]element, 0, len(p.elements)+len(placed)+1)
	for _, e := range p.elements {
		if e.kind != labelKind {
			out = append(out, e)
			continue
		}
		l := placed[0]
		placed = placed[1:]
		if !l.leader.Empty() {
			out = append(out, element{kind: strokeKind, paths: []geom.Path{l.leader}, pen: e.label.leaderPen()})
		}
		out = append(out, element{kind: textKind, text: l.text})
	}
	for range p.open {
		out = append(out, element{kind: endKind})
	}
	if err := p.Err(); err != nil {
		out = append(out, faultNote(err, out))
	}
	p.ready = out
	return out
}

// faultNote is the text that shows err above everything else.
func faultNote(err error, drawn []element) element {
	box := geom.EmptyRect()
	for _, e := range drawn {
		box = box.Union(e.bounds())
	}
	if box.Empty() {
		box = geom.Rect{}
	}
	return element{kind: textKind, text: Text{
		At: geom.Pt(box.Min.X, box.Min.Y-4), S: "This drawing is not complete.\n" + err.Error(), Anchor: TopLeft,
		Font: Font{Size: 4, Bold: true, Color: color.NRGBA{0xb0, 0, 0x20, 0xff}},
	}}
}
