package drawing

import (
	"fmt"
	"sync"
	"sync/atomic"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansbolditalic"
	"codeberg.org/go-fonts/liberation/liberationsansitalic"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"

	"patternkit/patternkit/geom"
)

// family is the typeface of text in SVG: those named have the same widths.
const family = "Liberation Sans, Arial, Helvetica, sans-serif"

// A glyph is the outline of a character in ems, y up, and its advance.
type glyph struct {
	advance float64
	outline sfnt.Segments // in units of the typeface, y down
	missing bool
}

// A face is one style of the typeface, with the glyphs met so far.
type face struct {
	ttf  []byte
	open func() (*sfnt.Font, error)

	mu     sync.Mutex
	buffer sfnt.Buffer
	glyphs map[rune]*glyph
	common [128]atomic.Pointer[glyph] // of those, what nearly all text is of, read without waiting
}

// faces are regular, bold, italic and bold italic.
var faces = [4]*face{
	newFace(liberationsansregular.TTF), newFace(liberationsansbold.TTF),
	newFace(liberationsansitalic.TTF), newFace(liberationsansbolditalic.TTF),
}

func newFace(ttf []byte) *face {
	return &face{ttf: ttf, glyphs: map[rune]*glyph{}, open: sync.OnceValues(func() (*sfnt.Font, error) {
		return sfnt.Parse(ttf)
	})}
}

func (f Font) style() int {
	n := 0
	if f.Bold {
		n++
	}
	if f.Italic {
		n += 2
	}
	return n
}

func (f Font) face() *face { return faces[f.style()] }

// glyph returns the glyph of r, the typeface's box where it has none.
func (f *face) glyph(r rune) *glyph {
	often := r >= 0 && int(r) < len(f.common)
	if often {
		if g := f.common[r].Load(); g != nil {
			return g
		}
	}
	f.mu.Lock()
	defer f.mu.Unlock()
	if g := f.glyphs[r]; g != nil {
		return g
	}
	g, err := f.load(r)
	if err != nil {
		panic(fmt.Sprintf("drawing: the embedded typeface can't be read: %v", err))
	}
	f.glyphs[r] = g
	if often {
		f.common[r].Store(g)
	}
	return g
}

func (f *face) load(r rune) (*glyph, error) {
	ttf, err := f.open()
	if err != nil {
		return nil, err
	}
	index, err := ttf.GlyphIndex(&f.buffer, r)
	if err != nil {
		return nil, err
	}
	// At as many pixels to the em as the typeface has units nothing is
	// rounded.
	em := fixed.I(int(ttf.UnitsPerEm()))
	advance, err := ttf.GlyphAdvance(&f.buffer, index, em, font.HintingNone)
	if err != nil {
		return nil, err
	}
	segments, err := ttf.LoadGlyph(&f.buffer, index, em, nil)
	if err != nil {
		return nil, err
	}
	g := &glyph{advance: float64(advance) / float64(em), missing: index == 0}
	g.outline = append(sfnt.Segments(nil), segments...) // the buffer is used again
	return g, nil
}

// TextWidth returns the width of one line of text.
func TextWidth(s string, f Font) geom.Length {
	face, sum := f.face(), 0.0
	for _, r := range s {
		sum += face.glyph(r).advance
	}
	return f.Size * geom.Length(sum)
}

// TextWidth returns the width of one line of text.
func (p *Page) TextWidth(s string, f Font) geom.Length { return TextWidth(s, f) }
