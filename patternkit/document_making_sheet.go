package patternkit

import (
	"fmt"
	"slices"
	"strings"
)

// childHeight is up to where a body is taken for a child's: the height to which
// EN 14682 wants no cords at the neck.
const childHeight = 134 * CM

func (o MakingOptions) forChild() bool {
	return o.Child || o.Body.Height > 0 && o.Body.Height <= childHeight
}

// tapeWords say how to take the measurements that a maker compares (common
// practice, no source).
var tapeWords = map[string]string{
	"Height":        "standing against a wall without shoes, a book level on the head",
	"BustGirth":     "around the fullest part of the bust, the tape level",
	"WaistGirth":    "around the narrowest part, or where a string tied around settles",
	"HipGirth":      "around the fullest part of the seat, the tape level",
	"ShoulderGirth": "around both upper arms and shoulders, the arms hanging, where it is widest",
	"UpperArmGirth": "around the fullest part of the hanging upper arm",
	"ElbowGirth":    "around the bent elbow",
	"HandGirth":     "around the knuckles, the thumb laid in",
	"HeadGirth":     "around forehead and back of the head",
	"HeelGirth":     "around heel and instep",
	"NeckBaseGirth": "around the base of the neck, where a short chain lies",
	"ArmLength":     "from the shoulder bone over the bent elbow to the wrist",
}

// MakingSheet returns the pattern as a sheet to be sewn from with nothing else
// at hand but the true-scale printout: for whom, whether it goes on, what to
// buy, how to cut, the steps with their pictures, and cautions. It wants an
// allowance for every edge, 0 where it is raw; what needs a body is left out
// where the options have none. Errors are those of CuttingList, PullOn and
// Making. File prints it on A4.
func (p Pattern) MakingSheet(o MakingOptions) (Document, error) {
	fail := func(err error) (Document, error) {
		return Document{}, fmt.Errorf("making sheet of %q: %w", p.name, err)
	}
	if err := o.check(p); err != nil {
		return fail(err)
	}
	sheet := makingSheet{pattern: p, options: o, Document: Document{title: "Making the " + p.name, upright: true}}
	for _, part := range []func() error{sheet.what, sheet.body, sheet.finished, sheet.materials, sheet.printing, sheet.cutting, sheet.sewing, sheet.elastics, sheet.cautions} {
		if err := part(); err != nil {
			return fail(err)
		}
	}
	return sheet.Document, nil
}

// A makingSheet is a making sheet being written.
type makingSheet struct {
	Document
	pattern Pattern
	options MakingOptions
	check   PullOnTable // empty without a body
}

// what says what the sheet is about.
func (s *makingSheet) what() error {
	n := 0
	names := make([]string, len(s.pattern.pieces))
	for i, piece := range s.pattern.pieces {
		n += piece.quantity
		names[i] = "the " + piece.name
		if piece.quantity > 1 {
			names[i] += fmt.Sprintf(" (%d of it)", piece.quantity)
		}
	}
	s.add("What it is", fmt.Sprintf("The %s is sewn from %d pieces of cloth: %s. This sheet and the true-scale printout are all you need. "+
		"Read it once to the end before you cut. Lengths are in centimetres, with the nearest eighth of an inch beside them: keep to the one or the other.",
		s.pattern.name, n, listedWords(names)))
	return nil
}

// body compares the reader's measurements, and says whether it goes on.
func (s *makingSheet) body() error {
	b := s.options.Body
	var zero Body
	if b == zero {
		s.add("For whom", "This pattern was not made for a body that is known here: before you cut, hold the finished measurements against your own.")
		return nil
	}
	check, err := s.pattern.PullOn(b, s.options.Cloth, s.options.Openings...)
	if err != nil {
		return err
	}
	s.check = check
	s.add("For whom", "It is made for one body. Take these measurements over what is worn under the garment, the tape close but not tight. "+
		"Where yours differs by more than 2 cm (3/4 in), or by more than the ± of one that is estimated, ask for the pattern in your own measurements.", s.tapeTable(check))
	s.add("Will it go on?", "A ring is the garment once around. As it is put on, over the head or from below, each ring must pass what lies in its way; \"Needs\" says how far around it must be for that.", check)
	return nil
}

// tapeTable lists what was given of the body and what the garment must pass.
func (s *makingSheet) tapeTable(check PullOnTable) Table {
	t := Table{Title: "Measurements", Columns: []Column{{Head: "Measurement"}, {Head: "cm", Number: true}, {Head: "± cm", Number: true}, {Head: "From"}, {Head: "How to take it"}, {Head: "Yours"}}}
	asked := map[string]bool{}
	for _, r := range check.rows {
		for _, g := range passing {
			asked[g.field] = asked[g.field] || r.OverHead.Over == g.words || r.Below.Over == g.words
		}
		for over, field := range map[string]string{"upper arm": "UpperArmGirth", "elbow": "ElbowGirth", "hand": "HandGirth", "heel": "HeelGirth"} {
			asked[field] = asked[field] || r.OverHead.Over == over
		}
	}
	b := s.options.Body
	for i, f := range bodyFields {
		v := Length(b.field(i))
		e, estimated := b.estimate(i)
		if v == 0 || estimated && !asked[f.name] {
			continue
		}
		row := []string{f.words, oneDecimal(v.CM()), "", "measured", tapeWords[f.name], "........"}
		if estimated {
			row[2], row[3] = oneDecimal(e.PlusMinus.CM()), "estimated"
		}
		t.Rows = append(t.Rows, row)
	}
	t.Notes = []string{"± is one standard deviation: of three women, two are nearer to the estimate."}
	return t
}

// finished lists what the sewn garment measures.
func (s *makingSheet) finished() error {
	t := Table{Title: "Finished measurements", Columns: []Column{{Head: "Where"}, {Head: "cm", Number: true}, {Head: "in", Number: true}},
		Notes: []string{"Measured along the seam or the edge, the elastic not yet in. A seam is right within 0.6 cm (1/4 in)."}}
	row := func(words string, l Length) {
		t.Rows = append(t.Rows, []string{words, oneDecimal(l.CM()), oneDecimal(l.Inches())})
	}
	m := newMaking(s.pattern, s.options)
	for _, task := range m.tasks {
		switch {
		case task.turned != nil && task.turned.whole && !m.within(*task.turned):
			row(m.turnedName(*task.turned)+", around", task.turned.ring.length)
		case task.seam >= 0 && !s.pattern.neatens(s.pattern.seams[task.seam]) && m.rankOf(s.pattern.seams[task.seam]) != rankMakeBehind:
			walk := s.pattern.walk(s.pattern.seams[task.seam])
			row(seamWord(walk.Seam), min(walk.LengthA, walk.LengthB))
		}
	}
	s.add("What it measures when it is sewn", "", t)
	return nil
}

func (s *makingSheet) materials() error {
	list, err := s.pattern.MaterialsList(s.options)
	if err != nil {
		return err
	}
	s.add("What you need", "", list)
	return nil
}

// printing says how to print and join the pages.
func (s *makingSheet) printing() error {
	paper := s.options.Paper
	if paper == Paper(0) {
		paper = A4
	}
	printed, err := s.pattern.Print(paper)
	if err != nil {
		return err
	}
	file := "The true-scale printout"
	if s.options.Printout != "" {
		file = fmt.Sprintf("The true-scale printout is the file %q; it", s.options.Printout)
	}
	s.add("Print the pattern", fmt.Sprintf("%s has %d pages of %s besides its first, which shows how they lie. Print at 100 %%, \"actual size\", nothing fitted to the page. "+
		"Measure the squares on the first page with your tape: each side 10 cm on the one, 4 in on the other. Where they are off by more than 1 mm in 10 cm, print again: no seam can mend it. "+
		"Lay the pages on each other by the marks, glue or tape them, and cut the paper along the outermost line of each piece.", file, printed.Pages, paper))
	return nil
}

// cutting lists the pieces and their allowances.
func (s *makingSheet) cutting() error {
	list, err := s.pattern.CuttingList()
	if err != nil {
		return err
	}
	list.Title = "Cutting list"
	list.Notes = append(list.Notes, "Width and height are those of the printed piece along its outermost line, the grainline upright: a check that no page is missing.")
	s.add("Cut the pieces", s.cuttingWords(), documentPicture{s.pattern.Picture(PictureOptions{})}, list, s.allowanceTable())
	return nil
}

func (s *makingSheet) cuttingWords() string {
	words := []string{"Wash and iron the cloth. Fold it along its length, right sides together, selvedge on selvedge."}
	fold, pair, single := s.pieceNames(func(p Piece) bool { return p.fold != "" }), s.pieceNames(func(p Piece) bool { return p.fold == "" && p.quantity%2 == 0 }),
		s.pieceNames(func(p Piece) bool { return p.fold == "" && p.quantity%2 == 1 })
	if len(fold) > 0 {
		words = append(words, fmt.Sprintf("Lay the dash-dotted edge of %s exactly on the fold and do not cut there: opened out, the piece is whole.", listedWords(fold)))
	}
	if len(pair) > 0 {
		words = append(words, fmt.Sprintf("Cut %s through both layers: that makes a right and a left.", listedWords(pair)))
	}
	if len(single) > 0 {
		words = append(words, fmt.Sprintf("Cut %s from a single layer, the printed side on the right side of the cloth.", listedWords(single)))
	}
	words = append(words, "The grainline, the long arrow, lies along the selvedge: measure from both of its ends to the selvedge until they agree.",
		"On cloth with a pile or a pattern that runs one way all pieces have their upper ends toward the same end of it.",
		s.rowWords(), "Pin, and cut along the outermost line: the allowances are in it, add nothing. Snip the notches 4 mm (1/8 in) into the allowance, two snips for a double notch; "+
			"mark the points and lines of darts, pleats and stitching with chalk or tacks on the wrong side.")
	return strings.Join(slices.DeleteFunc(words, func(w string) bool { return w == "" }), "\n")
}

// rowWords tell how the pieces lie in what is enough of each cloth.
func (s *makingSheet) rowWords() string {
	words := ""
	for _, material := range s.pattern.materials() {
		l, err := s.pattern.clothLay(material, s.options.clothWidth())
		if err != nil {
			continue // the cutting list has said so
		}
		total, rows, wide := l.rows()
		if wide != "" {
			continue
		}
		lines := make([]string, len(rows))
		for i, r := range rows {
			lines[i] = "the " + strings.Join(r.pieces, " and beside it the ")
		}
		name := material
		if name == "" {
			name = "cloth"
		}
		words += fmt.Sprintf("On %.2f m of %s of %.0f cm they lie like this, row after row from one end: %s. ", enoughMetres(total), name, s.options.clothWidth().CM(), strings.Join(lines, "; "))
	}
	return words
}

func (s *makingSheet) pieceNames(is func(Piece) bool) []string {
	var names []string
	for _, p := range s.pattern.pieces {
		if is(p) {
			names = append(names, "the "+p.name)
		}
	}
	return names
}

// allowanceTable lists the allowance of each edge.
func (s *makingSheet) allowanceTable() Table {
	t := Table{Title: "Allowances", Columns: []Column{{Head: "Piece"}, {Head: "Edge"}, {Head: "From stitch line to cut"}, {Head: "What becomes of it"}}}
	for _, p := range s.pattern.pieces {
		for _, a := range p.Allowances() {
			t.Rows = append(t.Rows, []string{p.name, a.Edge, makerLength(a.Width), s.becomes(p, a)})
			if row := t.Rows[len(t.Rows)-1]; a.Width == 0 {
				row[2] = "none"
			}
		}
	}
	return t
}

func (s *makingSheet) becomes(p Piece, a Allowance) string {
	edge := Along{Piece: p.name, Edge: a.Edge}
	for _, seam := range s.pattern.seams {
		if seam.touches(edge) {
			return "sewn: " + seamWord(seam.Name)
		}
	}
	switch {
	case a.Edge == p.fold:
		return "lies on the fold of the cloth"
	case a.Width == 0:
		return "is cut along the line"
	case !a.turnedUp():
		return "is finished by itself"
	}
	strips := a.strips()
	words := make([]string, len(strips))
	for i := range strips {
		words[i] = makerLength(strips[len(strips)-1-i])
	}
	return "turned by " + strings.Join(words, ", then by ")
}

// sewing explains the steps and gives them.
func (s *makingSheet) sewing() error {
	making, err := s.pattern.Making(s.options)
	if err != nil {
		return err
	}
	half := ""
	if len(s.pieceNames(func(p Piece) bool { return p.fold != "" })) > 0 {
		half = " A piece with a dash-dotted edge is drawn as half: the other half, beyond its fold, is sewn alike."
	}
	s.add("Sew it", fmt.Sprintf("Try stitch and iron on a scrap first: a straight stitch of %.1f mm, a little backward at each end. "+
		"\"From the cut edges\" is where the needle runs. Pin a seam at its ends first, then at its notches, then between.%s In the pictures what is sewn is heavy, and edges that bear the same letter are sewn to each other; the right side of the cloth faces you. Beside an edge that is turned it is seen cut through, enlarged, the outside on the left.%s "+
		"Neaten an edge with a zigzag or an overlock stitch. Press after every step.", s.options.stitch().MM(), s.doubleWords(), half), making)
	return nil
}

// doubleWords say what two snips mean, where some notch has them.
func (s *makingSheet) doubleWords() string {
	for _, p := range s.pattern.pieces {
		for _, n := range p.notches {
			if n.Double {
				return " A double notch is on what lies to the back, a single one on what lies to the front."
			}
		}
	}
	return ""
}

func (s *makingSheet) elastics() error {
	if len(s.options.Elastics) == 0 {
		return nil
	}
	words := "For other girths: measure where the elastic will lie, take off the share that is given, and add the overlap."
	if s.options.choice() {
		words = "Where several are given for one edge, they are for different ways to wear it: choose one. " + words
	}
	s.add("Elastics", words+s.stretchWords(), ElasticTable(s.options.Elastics...))
	return nil
}

// stretchWords say how far the elastics must stretch when the garment is put
// on.
func (s *makingSheet) stretchWords() string {
	m := newMaking(s.pattern, s.options)
	var words []string
	for _, t := range m.tasks {
		if t.turned == nil {
			continue
		}
		ring := t.turned.ring.words()
		if t.turned.ring.round {
			ring = t.turned.ring.edges[0].Piece + " " + ring // as PullOn names what goes around a limb
		}
		row, err := s.check.Row(ring)
		if err != nil {
			continue // no body, or nothing that passes it
		}
		for _, e := range m.elasticsOf(*t.turned) {
			if over := row.OverHead; over.Widest > e.Ring() {
				words = append(words, fmt.Sprintf("that of the %s from %s to %s, %.1f times as long, over the %s", e.words(), makerLength(e.Ring()), makerLength(over.Widest), float64(over.Widest/e.Ring()), over.Over))
			}
		}
	}
	if len(words) == 0 {
		return ""
	}
	return " As the garment is put on an elastic must stretch, " + strings.Join(words, "; ") + ". Stretch a piece of it along the tape before you buy."
}

// cautions are common practice, no source, but for those of children's wear.
func (s *makingSheet) cautions() error {
	lines := []string{"Iron and steam burn: try the heat on a scrap, keep the hand off the steam, and iron no elastic."}
	if len(s.options.Elastics) > 0 {
		lines = append(lines, "An elastic that is too tight hinders the blood: it must not mark the skin or leave it numb, least of all at the arm. Wear it for an hour before you stitch it for good. "+
			"Its ends are stitched into the casing and never hang out.")
	}
	lines = append(lines, "Count the pins before the garment is worn.")
	words := strings.Join(lines, " ") + " (Common practice, no source.)"
	if s.options.forChild() {
		s.add("Cautions", words, CautionsForChildren())
		return nil
	}
	s.add("Cautions", words+" This sheet is not for a child's version: for children there are rules on cords and elastics at the neck, on how cloth burns and on small parts, which differ from place to place. Read those of yours first.")
	return nil
}
