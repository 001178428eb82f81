package svgpath

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"

	"patternkit/patternkit/geom"
)

// Bounds of a file that is read: far more than a drawing of pieces has.
const (
	mostBytes = 64 << 20
	mostParts = 200_000
	mostDepth = 100
	farthest  = 1e7 // in user units, and in mm from the origin
)

// An Outline is a path read from a file, in millimetres, y up.
type Outline struct {
	Name string // the id of its element, or its kind: "path"
	Line int    // of the file, where the tag of its element ends
	Path geom.Path
}

// An Error tells the line of the file at fault.
type Error struct {
	Line int
	Err  error
}

func (e *Error) Error() string { return fmt.Sprintf("SVG, line %d: %v", e.Line, e.Err) }

// Unwrap returns what is wrong there.
func (e *Error) Unwrap() error { return e.Err }

// Read returns the paths and basic shapes of a drawing, each subpath by itself,
// at their size in millimetres by width, height and viewBox; a user unit
// without those is a pixel of 1/96 in. The lower left corner of the drawing is
// the origin, y up. Text, images and what is not displayed are passed over;
// what "use" would draw again is an error, as are sizes in % or em. An error is
// an *Error with the line of the file.
func Read(r io.Reader) ([]Outline, error) {
	in := xml.NewDecoder(&limited{r, mostBytes})
	f := &reader{in: in}
	err := f.read()
	var at *Error
	if err != nil && !errors.As(err, &at) {
		line, _ := in.InputPos()
		var syntax *xml.SyntaxError
		if errors.As(err, &syntax) {
			line = syntax.Line
		}
		err = &Error{line, err}
	}
	if err != nil {
		return nil, err
	}
	return f.out, nil
}

// limited fails beyond a number of bytes, where the reader of io ends.
type limited struct {
	r    io.Reader
	left int
}

func (l *limited) Read(p []byte) (int, error) {
	n, err := l.r.Read(p)
	if l.left -= n; l.left < 0 {
		return 0, fmt.Errorf("the file is of more than %d bytes", mostBytes)
	}
	return n, err
}

// A reader walks through the elements; of those open it keeps the transforms.
type reader struct {
	in    *xml.Decoder
	open  []geom.Transform
	seen  bool // the root
	parts int
	out   []Outline
}

func (f *reader) read() error {
	for {
		token, err := f.in.Token()
		if errors.Is(err, io.EOF) {
			if !f.seen {
				return errors.New("no <svg> element, want an SVG drawing")
			}
			return nil
		}
		if err != nil {
			return err
		}
		switch t := token.(type) {
		case xml.StartElement:
			if err := f.start(t); err != nil {
				line, _ := f.in.InputPos()
				return &Error{line, fmt.Errorf("<%s>: %w", t.Name.Local, err)}
			}
		case xml.EndElement:
			f.open = f.open[:len(f.open)-1]
		}
	}
}

// unseen are elements whose content is not drawn where it stands.
var unseen = map[string]bool{
	"defs": true, "symbol": true, "clipPath": true, "mask": true, "pattern": true, "marker": true,
	"linearGradient": true, "radialGradient": true, "metadata": true, "style": true, "script": true,
	"title": true, "desc": true, "text": true, "foreignObject": true, "filter": true,
}

// start opens an element, or passes over one that draws nothing.
func (f *reader) start(e xml.StartElement) error {
	a := attributes(e)
	name := e.Name.Local
	if !f.seen && name != "svg" {
		return errors.New("is the first element, want <svg>")
	}
	if f.seen && len(f.open) == 0 {
		return errors.New("comes after the end of the drawing")
	}
	if unseen[name] || a.hidden() {
		return f.skip()
	}
	if len(f.open) == mostDepth {
		return fmt.Errorf("lies within more than %d elements", mostDepth)
	}
	to, err := transform(a["transform"])
	if err != nil {
		return fmt.Errorf("transform: %w", err)
	}
	if n := len(f.open); n > 0 {
		to = to.Then(f.open[n-1])
	}
	if name == "svg" {
		view, err := a.viewport(!f.seen)
		if err != nil {
			return err
		}
		to, f.seen = view.Then(to), true
	}
	f.open = append(f.open, to)
	if name == "use" {
		return errors.New("is not read: replace it by what it draws")
	}
	paths, err := a.shape(name)
	if err != nil {
		return err
	}
	return f.add(a, name, paths, to)
}

// skip passes over an element with all that is in it, however deep, without
// keeping what is open.
func (f *reader) skip() error {
	for depth := 1; depth > 0; {
		token, err := f.in.Token()
		if errors.Is(err, io.EOF) {
			err = io.ErrUnexpectedEOF
		}
		if err != nil {
			return err
		}
		switch token.(type) {
		case xml.StartElement:
			if depth++; depth > mostDepth {
				return fmt.Errorf("holds elements within more than %d others", mostDepth)
			}
		case xml.EndElement:
			depth--
		}
	}
	return nil
}

func (f *reader) add(a attrs, kind string, paths []geom.Path, to geom.Transform) error {
	line, _ := f.in.InputPos()
	name := a["id"]
	if strings.TrimSpace(name) == "" {
		name = kind
	}
	for _, p := range paths {
		path := p.Transformed(to)
		if f.parts += len(path.Segments()); f.parts > mostParts {
			return fmt.Errorf("the drawing has more than %d lines and curves", mostParts)
		}
		box := path.Bounds()
		if !path.Finite() || !(max(box.Max.X, box.Max.Y, -box.Min.X, -box.Min.Y) <= farthest) {
			return fmt.Errorf("reaches from %v to %v, want at most %v from the origin", box.Min, box.Max, geom.Length(farthest))
		}
		f.out = append(f.out, Outline{name, line, path})
	}
	return nil
}
