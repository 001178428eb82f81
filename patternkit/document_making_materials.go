package patternkit

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

const (
	usualClothWidth = 140 * CM
	usualStitch     = 2.5 * MM
	// selvedge is left free along each side of the cloth: 10 to 15 mm (common
	// practice, no source).
	selvedge = 1.5 * CM
	// threadPerSeam is how much thread a lockstitch takes: 5.5 m for 2.2 m of
	// seam in a thread maker's table.
	threadPerSeam = 2.5
	// threadWaste is what ends and trials take, 15 % in a sewing machine
	// maker's worked example.
	threadWaste = 1.15
)

func (o MakingOptions) clothWidth() Length {
	if o.ClothWidth == 0 {
		return usualClothWidth
	}
	return o.ClothWidth
}

func (o MakingOptions) stitch() Length {
	if o.StitchLength == 0 {
		return usualStitch
	}
	return o.StitchLength
}

// MaterialsList returns what to buy: of each cloth the least length that the
// area of its pieces could ever need, and a length that is enough for certain,
// the elastics, and the thread. Errors are those of CutLine and of Making.
func (p Pattern) MaterialsList(o MakingOptions) (Table, error) {
	if err := o.check(p); err != nil {
		return Table{}, fmt.Errorf("materials of %q: %w", p.name, err)
	}
	t := Table{Title: "Materials", Columns: []Column{{Head: "What"}, {Head: "How much"}, {Head: "For"}}}
	for _, material := range p.materials() {
		row, err := p.clothRow(material, o)
		if err != nil {
			return Table{}, err
		}
		t.Rows = append(t.Rows, row)
	}
	for _, e := range o.Elastics {
		much := fmt.Sprintf("%s, %s wide", makerLength(e.Length*Length(e.count())), makerLength(e.Width))
		if e.count() > 1 {
			much += fmt.Sprintf(", cut into %d of %s", e.count(), makerLength(e.Length))
		}
		t.Rows = append(t.Rows, []string{"elastic", much, e.words()})
	}
	t.Rows = append(t.Rows, []string{"sewing thread", fmt.Sprintf("%.0f m", math.Ceil(p.threadLength(o).CM()/100)),
		fmt.Sprintf("lockstitch, stitches of %.1f mm (%.0f to the inch); neatening the allowances takes more", o.stitch().MM(), float64(Inch/o.stitch()))})
	if o.choice() {
		t.Notes = append(t.Notes, "Of the elastics for one edge buy the one for how you will wear it.")
	}
	t.Notes = append(t.Notes,
		"\"At least\" is the area of the pieces divided by the width of the cloth, or the longest piece: no lay can be shorter, and none is that short. "+
			"\"Enough\" lays the cloth double, folded along its length, and gives each piece a box of its own, the boxes in rows: a good lay takes less. Lay the printed pieces out on a strip half as wide as your cloth, measure, and buy that.",
		"Add 23 cm (1/4 yd) for a cloth whose pattern or pile runs one way (a published chart of yardage by width), and more where stripes are to match. Wash and iron the cloth before you cut: cotton may lose 3 to 5 % of its length (common practice, no source).",
		fmt.Sprintf("Thread: %.1f times the length of all seams and hems (a thread maker's table, 5.5 m for a seam of 2.2 m) and 15 %% for waste (a machine maker's worked example).", threadPerSeam),
		"For the making: measuring tape, pins, scissors, iron, chalk, a machine needle to suit the cloth (size 70 for light cloth, 80 for medium; common practice, no source)"+threadingTool(o)+".")
	return t, nil
}

// choice reports whether two elastics are meant for one edge.
func (o MakingOptions) choice() bool {
	for i, e := range o.Elastics {
		if slices.ContainsFunc(o.Elastics[:i], func(other Elastic) bool { return other.Edge == e.Edge }) {
			return true
		}
	}
	return false
}

func threadingTool(o MakingOptions) string {
	if len(o.Elastics) == 0 {
		return ""
	}
	return ", a safety pin to thread the elastic"
}

// materials are the cloths of the pieces, each once.
func (p Pattern) materials() []string {
	var out []string
	for _, piece := range p.pieces {
		if !slices.Contains(out, piece.material) {
			out = append(out, piece.material)
		}
	}
	return out
}

// clothRow says how much of one cloth is needed.
func (p Pattern) clothRow(material string, o MakingOptions) ([]string, error) {
	name, width := material, o.clothWidth()
	if name == "" {
		name = "main cloth"
	}
	if !strings.Contains(name, "lining") {
		name += ": " + o.Cloth.words()
	}
	l, err := p.clothLay(material, width)
	if err != nil {
		return nil, err
	}
	much := fmt.Sprintf("of %.0f cm width at least %.2f m; ", width.CM(), math.Ceil(max(Length(l.area/float64(width)), l.longest).CM()-1e-6)/100)
	if enough, _, wide := l.rows(); wide == "" {
		much += fmt.Sprintf("enough: %.2f m", enoughMetres(enough))
	} else {
		much += fmt.Sprintf("the %s does not fit into half of that width: take wider cloth, or cut it from cloth laid flat", wide)
	}
	var pieces []string
	for _, b := range l.boxes {
		if !slices.Contains(pieces, b.piece) {
			pieces = append(pieces, b.piece)
		}
	}
	return []string{name, much, strings.Join(pieces, ", ")}, nil
}

// enoughMetres rounds up to 5 cm, as cloth is sold.
func enoughMetres(l Length) float64 { return math.Ceil(l.CM()/5-1e-6) * 5 / 100 }

// clothLay gathers the boxes of the pieces of one cloth.
func (p Pattern) clothLay(material string, width Length) (clothLay, error) {
	l := clothLay{half: width/2 - selvedge}
	for _, piece := range p.pieces {
		if piece.material != material {
			continue
		}
		own, err := piece.CutArea()
		if err != nil {
			return clothLay{}, err
		}
		cut, err := piece.CutLine()
		if err != nil {
			return clothLay{}, err
		}
		box := cut.Transformed(uprightGrain(piece)).Bounds()
		l.area += own * float64(piece.quantity)
		l.longest = max(l.longest, box.Height())
		l.add(piece, box)
	}
	return l, nil
}

// A clothLay gives each piece a box on cloth that is folded along its length.
type clothLay struct {
	half    Length // the width of the folded cloth without its selvedge
	boxes   []clothBox
	area    float64 // of the cut pieces, in mm²
	longest Length  // along the grain
}

type clothBox struct {
	piece         string
	width, height Length
	onFold        bool
}

// add takes in a piece: what lies on the fold once for each time it is cut, the
// others by two.
func (l *clothLay) add(p Piece, box Rect) {
	n := p.quantity
	if p.fold == "" {
		n = (n + 1) / 2
	}
	for range n {
		l.boxes = append(l.boxes, clothBox{p.name, box.Width(), box.Height(), p.fold != ""})
	}
}

// rows lays the boxes in rows, the highest first: into each row what lies on
// the fold once, and others as there is room. It names a piece that is too
// wide.
func (l clothLay) rows() (total Length, rows []clothRow, wide string) {
	const between = 1 * CM
	boxes := slices.Clone(l.boxes)
	slices.SortStableFunc(boxes, func(a, b clothBox) int { return int(math.Round(float64(b.height - a.height))) })
	for _, b := range boxes {
		if b.width > l.half {
			return 0, nil, b.piece
		}
		i := slices.IndexFunc(rows, func(r clothRow) bool { return r.used+b.width <= l.half && !(b.onFold && r.onFold) })
		if i < 0 {
			rows = append(rows, clothRow{})
			i = len(rows) - 1
			total += b.height + between
		}
		r := &rows[i]
		r.used += b.width + between
		if r.onFold = r.onFold || b.onFold; b.onFold {
			r.pieces = append([]string{b.piece + " on the fold"}, r.pieces...)
		} else {
			r.pieces = append(r.pieces, b.piece)
		}
	}
	return total, rows, ""
}

// A clothRow is pieces beside each other across the folded cloth.
type clothRow struct {
	used   Length
	onFold bool
	pieces []string // from the fold out
}

// threadLength is the thread that the seams, darts and turned edges take.
func (p Pattern) threadLength(o MakingOptions) Length {
	m := newMaking(p, o)
	var sewn Length
	for _, t := range m.tasks {
		switch {
		case t.seam >= 0:
			s := p.seams[t.seam]
			row := p.walk(s)
			sewn += max(row.LengthA, row.LengthB) * Length(m.seamTimes(s))
		case t.turned != nil && t.turned.ring.round:
			sewn += t.turned.ring.length * Length(m.times(t.turned.ring.edges...))
		case t.turned != nil:
			sewn += p.around(garmentRing{edges: t.turned.ring.edges})
		case t.darts != "":
			piece, _ := p.Piece(t.darts)
			for _, d := range piece.darts {
				first, second := piece.legs(d)
				sewn += (first + second) / 2 * Length(piece.copies())
			}
		}
	}
	return sewn * threadPerSeam * threadWaste
}
