package patternkit

import (
	"fmt"
	"strings"

	"patternkit/patternkit/drawing"
)

// A Picture is a drawing to look at in a cell, at the size of a notebook page.
type Picture struct {
	page    *drawing.Page
	summary string
}

// PictureOptions say what a picture shows besides what it always shows: the
// outlines, darts, notches, grainlines, names and lengths.
type PictureOptions struct {
	Points bool // the named points, each with its name
	// Corners rings the corners of a pattern that are to be trued and says under
	// the pieces, by number, what is wrong with each.
	Corners bool
}

// The room on a notebook page: about 900 px wide, and no taller than a screen.
const (
	pictureWidth  = 222 * MM
	pictureHeight = 160 * MM
	pictureGap    = 13 * MM // between pieces, for what is written beside edges
	pictureDPI    = 120     // of a PNG; a page has 96
)

// room is what the pieces have of the page. The names of points take room
// beside them: then the page may be taller, with two rows.
func (o PictureOptions) room() sheetSize {
	size := sheetSize{pictureWidth, pictureHeight, pictureGap, pictureGap, 1}
	if o.Points {
		size.width -= 30 * MM
		size.height = 250 * MM
		size.gap += 18 * MM
	}
	return size
}

// Picture draws the pieces side by side, their grain upright, with the faults
// of the walk marked at their seams.
func (p Pattern) Picture(o PictureOptions) Picture { return Picture{p.drawnWith(o), p.String()} }

func (p Pattern) drawnWith(o PictureOptions) *drawing.Page {
	pieces, scale := arrange(p.pieces, p.parts, o.room())
	s := newBoard(p.name, p.description(), screenStyle(), scale)
	s.seams(pieces, p) // first, so that they are written where they are seen
	if o.Corners {
		s.cornerFaults(pieces, p.truingMarks())
	}
	s.pieces(pieces, o)
	s.frame(pieces, p.name, linesNote(pieces))
	return s.page
}

// Drawing returns the picture as the page that every writer reads.
func (p Pattern) Drawing() *drawing.Page { return p.drawnWith(PictureOptions{}) }

// picture draws the pattern once for all the ways in which a cell shows it.
func (p Pattern) picture() Picture {
	if p.drawn == nil { // the zero value, which NewPattern did not make
		return Picture{}
	}
	p.drawn.once.Do(func() { p.drawn.page = p.Drawing() })
	return Picture{page: p.drawn.page}
}

// Picture draws the piece by itself.
func (p Piece) Picture(o PictureOptions) Picture {
	pieces, scale := arrange([]Piece{p}, []int{0}, o.room())
	s := newBoard(p.name, p.description(), screenStyle(), scale)
	s.pieces(pieces, o)
	s.frame(pieces, "", linesNote(pieces))
	return Picture{s.page, p.String()}
}

// Drawing returns the picture as the page that every writer reads.
func (p Piece) Drawing() *drawing.Page { return p.Picture(PictureOptions{}).page }

// description says in words what the picture of the pattern shows.
func (p Pattern) description() string {
	words := make([]string, len(p.pieces))
	for i, piece := range p.pieces {
		words[i] = piece.name
	}
	text := "pattern pieces " + strings.Join(words, ", ")
	if faults := p.Walk().Faults(); len(faults) > 0 {
		text += fmt.Sprintf("; %d seams do not meet", len(faults))
	}
	return text
}

// description says in words what the picture of the piece shows.
func (p Piece) description() string {
	return "pattern piece with edges " + strings.Join(p.EdgeNames(), ", ")
}
