package dxf

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"patternkit/patternkit/geom"
)

// An Item is one thing of a drawing on a layer: a path, or text, or a point
// where it has neither.
type Item struct {
	Layer  string
	Path   geom.Path
	At     geom.Point  // of a point, or the left end of the base of the text
	Text   string      // one line
	Height geom.Length // of the text
}

// A Block is a named group of items, all drawn at the origin.
type Block struct {
	Name  string
	Items []Item
}

// A Drawing is blocks, each placed once, and items beside them.
type Drawing struct {
	Blocks []Block
	Items  []Item
}

// layers are the layers used, in the order of their use.
func (d Drawing) layers() []string {
	names, seen := []string{"0"}, map[string]bool{"0": true}
	all := d.Items
	for _, b := range d.Blocks {
		all = append(all[:len(all):len(all)], b.Items...)
	}
	for _, it := range all {
		if !seen[it.Layer] {
			seen[it.Layer] = true
			names = append(names, it.Layer)
		}
	}
	return names
}

// bounds are around all paths and points.
func (d Drawing) bounds() geom.Rect {
	box := geom.EmptyRect()
	all := d.Items
	for _, b := range d.Blocks {
		all = append(all[:len(all):len(all)], b.Items...)
	}
	for _, it := range all {
		if it.Path.Empty() {
			box = box.Including(it.At)
		} else {
			box = box.Union(it.Path.Bounds())
		}
	}
	if box.Empty() {
		return geom.Rect{}
	}
	return box
}

// A writer writes groups: a code on a line, its value on the next.
type writer struct {
	bytes.Buffer
	handles int
}

func (w *writer) put(code int, value string) { fmt.Fprintf(w, "%3d\n%s\n", code, value) }

func (w *writer) int(code, value int) { w.put(code, strconv.Itoa(value)) }

// number writes the shortest decimal fraction that is read as the same number.
func (w *writer) number(code int, v float64) {
	s := strconv.FormatFloat(v, 'f', -1, 64)
	if !strings.Contains(s, ".") {
		s += ".0"
	}
	w.put(code, s)
}

// point writes x, y and a height of 0 in the groups of code, code+10, code+20.
func (w *writer) point(code int, p geom.Point) {
	w.number(code, p.X.MM())
	w.number(code+10, p.Y.MM())
	w.number(code+20, 0)
}

// text writes a line of text. Letters beyond ASCII are written \U+XXXX, and
// what would end the line becomes a space.
func (w *writer) text(code int, s string) {
	var out strings.Builder
	for _, r := range s {
		switch {
		case r < ' ' || r == 0x7f:
			out.WriteByte(' ')
		case r < 0x7f:
			out.WriteRune(r)
		case r <= 0xffff:
			fmt.Fprintf(&out, `\U+%04X`, r)
		default:
			out.WriteByte('?')
		}
	}
	w.put(code, out.String())
}

func (w *writer) section(name string) {
	w.put(0, "SECTION")
	w.put(2, name)
}

func (w *writer) endSection() { w.put(0, "ENDSEC") }

// Names returns names fit for blocks and layers, each its own: the signs that
// the format keeps for itself become "_", and of equal names the later ones
// are numbered.
func Names(names []string) []string {
	out := make([]string, len(names))
	used := map[string]bool{}
	for i, name := range names {
		clean := strings.Map(func(r rune) rune {
			if r <= ' ' || r >= 0x7f || strings.ContainsRune("<>/\\\":;?*|=,'`$", r) {
				return '_'
			}
			return r
		}, name)
		if clean == "" {
			clean = "_"
		}
		one := clean
		for n := 2; used[strings.ToUpper(one)]; n++ {
			one = fmt.Sprintf("%s_%d", clean, n)
		}
		used[strings.ToUpper(one)] = true
		out[i] = one
	}
	return out
}
