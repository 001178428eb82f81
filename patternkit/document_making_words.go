package patternkit

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// openFrom is from what width on allowances are pressed open (common practice,
// no source).
const openFrom = 1.2 * CM

// makerLength is a length as it is marked on a tape: to a millimetre, and to
// an eighth of an inch.
func makerLength(l Length) string {
	const parts = 8
	n := int(math.Round(float64(l) / float64(Inch) * parts))
	whole, rest := n/parts, n%parts
	inches := fmt.Sprint(whole)
	if rest > 0 {
		den := parts
		for rest%2 == 0 {
			rest, den = rest/2, den/2
		}
		inches = fmt.Sprintf("%d/%d", rest, den)
		if whole > 0 {
			inches = fmt.Sprintf("%d %s", whole, inches)
		}
	}
	if n == 0 {
		return fmt.Sprintf("%.1f cm", l.CM())
	}
	return fmt.Sprintf("%.1f cm (%s in)", l.CM(), inches)
}

// listed joins words with commas and an and.
func listedWords(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// edgesInWords names edges for a maker: "the armhole of the front and the
// back", "the back cap and front cap of the sleeve".
func edgesInWords(edges []Along) string {
	var names []string
	pieces := map[string][]string{}
	for _, a := range edges {
		if pieces[a.Edge] == nil {
			names = append(names, a.Edge)
		}
		if of := "the " + a.Piece; !slices.Contains(pieces[a.Edge], of) {
			pieces[a.Edge] = append(pieces[a.Edge], of)
		}
	}
	var groups []string
	at := map[string][]string{}
	for _, name := range names {
		of := listedWords(pieces[name])
		if at[of] == nil {
			groups = append(groups, of)
		}
		at[of] = append(at[of], name)
	}
	var out []string
	for _, of := range groups {
		out = append(out, "the "+listedWords(at[of])+" of "+of)
	}
	return listedWords(out)
}

// times says how often a seam or a run is sewn in the garment, where the
// pattern has half of it.
func (m *making) times(edges ...Along) int {
	n := 0
	for _, a := range edges {
		piece, err := m.pattern.Piece(a.Piece)
		if err != nil {
			continue
		}
		if c := piece.copies(); n == 0 || c < n {
			n = c
		}
	}
	return max(1, n)
}

// seamTimes is times of a seam: one that joins an edge to its own mirrored
// half, or that runs on across the fold, takes both halves at once.
func (m *making) seamTimes(s Seam) int {
	n := m.times(slices.Concat(s.A, s.B)...)
	self := len(s.A) == 1 && len(s.B) == 1 && s.A[0].Piece == s.B[0].Piece && s.A[0].Edge == s.B[0].Edge
	if self || m.acrossFold(s) {
		n = max(1, n/2)
	}
	return n
}

// acrossFold reports whether a seam ends on the fold of all its pieces there.
func (m *making) acrossFold(s Seam) bool {
	ends := m.endsOf(s)
	return slices.ContainsFunc(ends.beside[:], func(end [2]edgeEnd) bool {
		return !slices.ContainsFunc(end[:], func(e edgeEnd) bool {
			piece, _ := m.pattern.Piece(e.piece)
			return piece.fold == "" || piece.fold != e.edge
		})
	})
}

func timesWords(n int) string {
	switch n {
	case 1:
		return ""
	case 2:
		return "Sew it twice, for the right and for the left. "
	}
	return fmt.Sprintf("Sew it %d times. ", n)
}

// title names a step: "Side seam and underarm, in one".
func (m *making) title(step []int) string {
	var names []string
	for _, k := range step {
		t := m.tasks[k]
		switch {
		case t.darts != "":
			names = append(names, "darts of the "+t.darts)
		case t.pleats != "":
			names = append(names, "pleats of the "+t.pleats)
		case t.seam >= 0:
			names = append(names, m.pattern.seams[t.seam].Name)
		default:
			names = append(names, m.turnTitle(*t.turned))
		}
	}
	words := capital(listedWords(names))
	if len(step) > 1 {
		words += ", in one"
	}
	return words
}

// words tell a step.
func (m *making) words(step []int) string {
	first := m.tasks[step[0]]
	switch {
	case first.darts != "":
		return m.dartWords(first.darts)
	case first.pleats != "":
		return m.pleatWords(first.pleats)
	case first.turned != nil:
		return m.turnWords(*first.turned)
	}
	var b strings.Builder
	b.WriteString(timesWords(m.seamTimes(m.pattern.seams[first.seam])))
	for i, k := range step {
		t := m.tasks[k]
		s := m.pattern.seams[t.seam]
		if i > 0 {
			done := make([]bool, len(m.tasks))
			for j := range done {
				done[j] = true
			}
			if name, ok := m.across(m.pattern.seams[m.tasks[step[i-1]].seam], s, done); ok {
				fmt.Fprintf(&b, "\nDo not stop at the %s: lay the allowances there to one side, pin the %s too, and stitch on across it. ", name, s.Name)
			}
		}
		b.WriteString(m.layWords(t, s))
	}
	b.WriteString(m.stitchWords(step))
	return strings.TrimSpace(b.String())
}

// layWords say how the two sides are laid together.
func (m *making) layWords(t makingTask, s Seam) string {
	var b strings.Builder
	a, o := edgesInWords(s.A), edgesInWords(s.B)
	switch {
	case t.round:
		fmt.Fprintf(&b, "In the round: put %s and %s into each other, right sides together. ", a, o)
	case a == o:
		fmt.Fprintf(&b, "Lay %s on that of the other half, right sides together. ", a)
	default:
		fmt.Fprintf(&b, "Lay %s on %s, right sides together, end on end. ", a, o)
	}
	row := m.pattern.walk(s)
	b.WriteString(m.notchWords(s, row))
	ease := m.easeWords(s, row)
	if b.WriteString(ease); ease != "" && m.acrossFold(s) {
		b.WriteString("These lengths are of one half; do the same on the other. ")
	}
	return b.String()
}

// notchWords list the marks that meet.
func (m *making) notchWords(s Seam, row SeamRow) string {
	var words []string
	for _, n := range row.Notches {
		if !n.OnA || !n.OnB {
			continue
		}
		a, double := m.notchOn(s.A, n.Notch)
		b, doubleB := m.notchOn(s.B, n.Notch)
		kind := "notch"
		if double || doubleB {
			kind = "double notch"
		}
		switch {
		case a && b:
			words = append(words, fmt.Sprintf("both %ses %q", kind, n.Notch))
		default:
			words = append(words, fmt.Sprintf("the %s %q and the %s", kind, n.Notch, seamWord(n.Notch)))
		}
	}
	if len(words) == 0 {
		return ""
	}
	return "Match " + listedWords(words) + ". "
}

func seamWord(name string) string {
	if strings.Contains(name, "seam") {
		return name
	}
	return name + " seam"
}

func (m *making) notchOn(side []Along, name string) (on, double bool) {
	for _, a := range side {
		piece, _ := m.pattern.Piece(a.Piece)
		for _, n := range piece.notches {
			if n.Edge == a.Edge && n.Name == name {
				return true, n.Double
			}
		}
	}
	return false, false
}

// easeWords say what is eased or gathered in, and where.
func (m *making) easeWords(s Seam, row SeamRow) string {
	long, short, edges := row.LengthA, row.LengthB, s.A
	if row.Difference < 0 {
		long, short, edges = row.LengthB, row.LengthA, s.B
	}
	if long-short <= walkTolerance {
		return ""
	}
	where := m.easedBetween(s, row)
	if !row.gathers() {
		return fmt.Sprintf("%s measures %s more: ease that in without folds%s. ", capital(edgesInWords(edges)), makerLength(long-short), where)
	}
	return fmt.Sprintf("Gather %s%s: two rows of long stitches beside the stitch line, drawn up from %s to %s, the folds spread evenly. ",
		edgesInWords(edges), where, makerLength(long), makerLength(short))
}

// easedBetween names the stretches between notches that take ease; empty where
// it is all along the seam.
func (m *making) easedBetween(s Seam, row SeamRow) string {
	var words []string
	from, left, pairs := "the start at "+m.endWords(s, 0), row.Difference, 0
	for _, n := range row.Notches {
		if !n.OnA || !n.OnB {
			continue
		}
		pairs++
		left -= n.Eased
		if n.Eased.Abs() > walkTolerance {
			words = append(words, fmt.Sprintf("%s between %s and %q", makerLength(n.Eased.Abs()), from, n.Notch))
		}
		from = fmt.Sprintf("%q", n.Notch)
	}
	if pairs == 0 {
		return ""
	}
	if left.Abs() > walkTolerance {
		words = append(words, fmt.Sprintf("%s between %s and the end at %s", makerLength(left.Abs()), from, m.endWords(s, 1)))
	}
	return ", " + listedWords(words)
}

// endWords name the start or the end of a seam by the edge that it ends on.
func (m *making) endWords(s Seam, last int) string {
	end := m.endsOf(s).beside[last][1]
	piece, _ := m.pattern.Piece(end.piece)
	if end.edge == piece.fold {
		return "the fold of the " + end.piece
	}
	return "the " + end.edge + " of the " + end.piece
}

// stitchWords say where to stitch and how to press the seams of a step.
func (m *making) stitchWords(step []int) string {
	s := m.pattern.seams[m.tasks[step[0]].seam]
	a, b := m.pattern.sideWidths(s.A), m.pattern.sideWidths(s.B)
	var out strings.Builder
	switch {
	case len(a) == 1 && len(b) == 1 && a[0] == b[0]:
		fmt.Fprintf(&out, "\nStitch %s from the cut edges. ", makerLength(a[0]))
	case len(a) == 1 && len(b) == 1:
		fmt.Fprintf(&out, "\nStitch on the stitch line: %s from the cut edge of %s, %s from that of %s. ",
			makerLength(a[0]), edgesInWords(s.A), makerLength(b[0]), edgesInWords(s.B))
	default:
		out.WriteString("\nStitch on the stitch line, whose allowance changes on the way: see the table of allowances. ")
	}
	for _, k := range step {
		for _, name := range m.tasks[k].over {
			fmt.Fprintf(&out, "The seam %q crosses it and comes later: leave the last 5 cm (2 in) there open, and close them after it. ", name)
		}
	}
	out.WriteString(m.pressWords(s, a))
	return out.String()
}

// sideWidths are the widths of the allowances along a side, each once.
func (p Pattern) sideWidths(side []Along) []Length {
	var all []Length
	for _, along := range side {
		piece, err := p.Piece(along.Piece)
		if err != nil {
			continue
		}
		a, err := piece.Allowance(along.Edge)
		if err == nil && !slices.Contains(all, a.Width) {
			all = append(all, a.Width)
		}
	}
	return all
}

// pressWords follow common practice, no source.
func (m *making) pressWords(s Seam, widths []Length) string {
	row := m.pattern.walk(s)
	words := strings.ToLower(s.Name + sideWords(s.A) + sideWords(s.B))
	switch {
	case m.pattern.neatens(s):
		return fmt.Sprintf("Clip the allowances where the edge is curved, press them toward the %s and stitch them to it 2 mm (1/16 in) beside the seam. Turn it to the inside and press. ", m.behind(s))
	case row.gathers():
		flat := s.B
		if row.LengthA < row.LengthB {
			flat = s.A
		}
		return "Neaten both allowances together and press them away from the gathers, toward the " + flat[0].Piece + ". "
	case strings.Contains(words, "armhole"):
		for _, a := range slices.Concat(s.A, s.B) {
			if strings.Contains(strings.ToLower(a.Piece), "sleeve") {
				return "Neaten both allowances together and press them toward the " + a.Piece + ". "
			}
		}
	case len(widths) == 1 && widths[0] >= openFrom:
		return "Neaten each allowance and press them open. "
	}
	return "Neaten both allowances together and press them to one side, " + m.pressSide(s) + ". "
}

// behind names the piece of a seam that lies within the garment.
func (m *making) behind(s Seam) string {
	for _, a := range slices.Concat(s.A, s.B) {
		if piece, err := m.pattern.Piece(a.Piece); err == nil && piece.within() {
			return a.Piece
		}
	}
	return s.B[0].Piece
}

// pressSide is toward the back where the seam has one.
func (m *making) pressSide(s Seam) string {
	for _, a := range slices.Concat(s.A, s.B) {
		for _, word := range []string{a.Piece, a.Edge} {
			if strings.Contains(strings.ToLower(word), "back") {
				return "toward the back"
			}
		}
	}
	return "toward the " + s.B[0].Piece
}
