package patternkit

import (
	"fmt"
	"strings"
)

// HTML returns the picture as an image that any page shows, with a line under
// it that opens it large.
func (p Picture) HTML() string {
	if p.page == nil {
		return "<p>an empty picture</p>"
	}
	return p.page.HTMLWithLarge()
}

// MovingHTML is HTML for a picture that is replaced at once, as under a slider:
// without the large one.
func (p Picture) MovingHTML() string {
	if p.page == nil {
		return p.HTML()
	}
	return p.page.HTMLMoving()
}

// PNG returns the picture as an image of pixels, finer than the page so that its
// lines stay sharp.
func (p Picture) PNG() []byte {
	if p.page == nil {
		return nil
	}
	return p.page.PNG(pictureDPI)
}

// SVG returns the picture as an SVG document.
func (p Picture) SVG() string {
	if p.page == nil {
		return ""
	}
	return string(p.page.SVG())
}

// String says what the picture shows.
func (p Picture) String() string {
	if p.page == nil {
		return "an empty picture"
	}
	return p.summary
}

// HTML returns the pieces as a picture.
func (p Pattern) HTML() string { return p.picture().HTML() }

// MovingHTML is HTML without the large picture, for one that is replaced at
// once.
func (p Pattern) MovingHTML() string { return p.picture().MovingHTML() }

// PNG returns the pieces as an image of pixels.
func (p Pattern) PNG() []byte { return p.picture().PNG() }

// SVG returns the pieces as a picture; SVGFile has them at true scale.
func (p Pattern) SVG() string { return p.picture().SVG() }

// Table lists the pieces with their edges and lengths, darts closed.
func (p Pattern) Table() Table {
	t := Table{Title: "Pieces of " + p.name, Columns: pieceColumns, Notes: []string{stitchLineNote}}
	for _, piece := range p.pieces {
		t.Rows = append(t.Rows, piece.rows()...)
	}
	return t
}

// Markdown returns the pieces as a table of pipes.
func (p Pattern) Markdown() string { return p.Table().Markdown() }

// String returns the pieces and their edges as text, with what the walk found.
func (p Pattern) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "pattern %s: %d pieces, %d seams\n", p.name, len(p.pieces), len(p.seams))
	for _, piece := range p.pieces {
		b.WriteString(piece.String())
	}
	if len(p.seams) > 0 {
		b.WriteString(p.Walk().summary() + "\n")
	}
	return b.String()
}

// HTML returns the piece as a picture.
func (p Piece) HTML() string { return p.Picture(PictureOptions{}).HTML() }

// MovingHTML is HTML without the large picture, for one that is replaced at
// once.
func (p Piece) MovingHTML() string { return p.Picture(PictureOptions{}).MovingHTML() }

// PNG returns the piece as an image of pixels.
func (p Piece) PNG() []byte { return p.Picture(PictureOptions{}).PNG() }

// SVG returns the piece as a picture.
func (p Piece) SVG() string { return p.Picture(PictureOptions{}).SVG() }

// Table lists the edges of the piece with their lengths, darts closed.
func (p Piece) Table() Table {
	return Table{Title: p.name, Columns: pieceColumns, Rows: p.rows(), Notes: []string{stitchLineNote}}
}

// Markdown returns the edges as a table of pipes.
func (p Piece) Markdown() string { return p.Table().Markdown() }

// String returns the piece and its edges as text.
func (p Piece) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s (%s)\n", p.name, strings.Join(p.cutLines(), "; "))
	for _, r := range p.rows() {
		fmt.Fprintf(&b, "  %-20s %7s cm  %s\n", r[1], r[2], r[3])
	}
	return strings.ReplaceAll(b.String(), "  \n", "\n")
}

const stitchLineNote = "Lengths on the stitch line, darts closed, no seam allowance."

var pieceColumns = []Column{{Head: "Piece"}, {Head: "Edge"}, {Head: "Length (cm)", Number: true}, {Head: "Notes"}}

// rows lists the edges, then the darts with their intake.
func (p Piece) rows() [][]string {
	var rows [][]string
	for _, name := range p.EdgeNames() {
		if p.isMouth(name) {
			continue
		}
		length, err := p.EdgeLength(name)
		if err != nil {
			continue
		}
		rows = append(rows, []string{p.name, name, inCM(length), p.edgeNote(name)})
	}
	for _, d := range p.darts {
		a, b := p.mouth(d)
		first, _ := p.legs(d)
		rows = append(rows, []string{p.name, d.Name, inCM(a.Dist(b)), fmt.Sprintf("takes in this much, legs %s cm", inCM(first))})
	}
	return rows
}

// edgeNote names what is on an edge: the fold, its notches.
func (p Piece) edgeNote(edge string) string {
	var notes []string
	if edge == p.fold {
		notes = append(notes, "on the fold")
	}
	for _, n := range p.notches {
		if n.Edge != edge {
			continue
		}
		kind := "notch"
		if n.Double {
			kind = "double notch"
		}
		notes = append(notes, fmt.Sprintf("%s %s at %s cm", kind, n.Name, inCM(n.At)))
	}
	return strings.Join(notes, "; ")
}
