package patternkit

import (
	"fmt"
	"strings"
)

// An Elastic is a band of elastic for the casing of an edge: cut to Length,
// joined into a ring with Overlap, stretched around Girth where it is worn.
type Elastic struct {
	Edge    string // the edge whose casing it runs in: "top"
	Where   string // where it is worn, for the maker to choose by: "off the shoulders"; may be empty
	Width   Length // 3 mm to 10 cm
	Length  Length // as it is cut, with the overlap
	Overlap Length // by which its ends lie on each other when they are joined, 1/2 in by custom
	Girth   Length // of the body where it lies, 8 cm to 3 m: as long as the ring is then stretched
	Count   int    // how many of them the garment takes, 1 when zero: 2 for a pair of sleeves
}

// elasticOverlap joins the ends of an elastic (common practice, no source).
const elasticOverlap = Inch / 2

// mostElasticReduction is by how much of the girth a ring may be shorter
// before it is taken for a slip; more would bind (common practice, no source).
const mostElasticReduction = 0.5

// tightElastic is from where on a ring is said to be tight (common practice,
// no source: waists 5 to 10 %, sleeves and legs 0 to 10 %).
const tightElastic = 0.15

// NewElastic returns the elastic of an edge that lies around a girth of the
// body, shorter by a share of it from 0 to 0.5, cut with 1/2 in to join: around
// 100 cm with a reduction of 0.08 its ring is 92 cm. Errors are those of
// ElasticLength, and a width outside 3 mm to 10 cm.
func NewElastic(edge string, width, girth Length, reduction float64) (Elastic, error) {
	length, err := ElasticLength(girth, reduction, elasticOverlap)
	if err != nil {
		return Elastic{}, fmt.Errorf("elastic of %q: %w", edge, err)
	}
	e := Elastic{Edge: edge, Width: width, Length: length, Overlap: elasticOverlap, Girth: girth}
	return e, e.check()
}

func (e Elastic) check() error {
	if strings.TrimSpace(e.Edge) == "" {
		return fmt.Errorf("an elastic has no edge, want that of its casing, such as \"top\"")
	}
	about := fmt.Sprintf("elastic of %q", e.Edge)
	if err := checkRange(about, "Width", e.Width, 3*MM, 10*CM); err != nil {
		return err
	}
	if err := checkRange(about, "Girth", e.Girth, 8*CM, 3*M); err != nil {
		return err
	}
	if e.Overlap != 0 {
		if err := checkRange(about, "Overlap", e.Overlap, 5*MM, 10*CM); err != nil {
			return err
		}
	}
	if e.Count < 0 || e.Count > 100 {
		return fmt.Errorf("%s: Count is %d, want 1 to 100, or 0 for one", about, e.Count)
	}
	least, most := e.Girth*Length(1-mostElasticReduction)+e.Overlap, e.Girth+e.Overlap
	if e.Length < least-joinTolerance || e.Length > most+joinTolerance {
		return &RangeError{What: about + " around a girth of " + e.Girth.String(), Field: "Length", Got: e.Length, Min: least, Max: most}
	}
	return nil
}

// Ring is the length of the joined ring, relaxed.
func (e Elastic) Ring() Length { return e.Length - e.Overlap }

// Reduction is by how much of the girth the relaxed ring is shorter, 0.08 for
// 8 %.
func (e Elastic) Reduction() float64 { return 1 - float64(e.Ring()/e.Girth) }

// Tight reports whether the ring is shorter than the girth by more than 15 %,
// beyond what is usual at waists, sleeves and legs (common practice, no source).
func (e Elastic) Tight() bool { return e.Reduction() > tightElastic+1e-9 }

// count is how many are cut.
func (e Elastic) count() int { return max(1, e.Count) }

// words name an elastic: "top, off the shoulders".
func (e Elastic) words() string {
	if e.Where == "" {
		return e.Edge
	}
	return e.Edge + ", " + e.Where
}

// ElasticTable returns elastics as a cutting list: how many, how wide and how
// long, what the ring measures relaxed and stretched, and which are tight.
func ElasticTable(elastics ...Elastic) Table {
	t := Table{
		Title: "Elastics",
		Columns: []Column{{Head: "For"}, {Head: "Cut", Number: true}, {Head: "Width (cm)", Number: true}, {Head: "Length (cm)", Number: true},
			{Head: "Overlap in it (cm)", Number: true}, {Head: "Ring (cm)", Number: true}, {Head: "On the body (cm)", Number: true}, {Head: "Shorter by (%)", Number: true}, {Head: "Verdict"}},
		Notes: []string{"Try the elastic around the body before it is joined. 5 to 10 % shorter is usual at a waist, 0 to 10 % at a sleeve or a leg (common practice, no source)."},
	}
	for _, e := range elastics {
		verdict := "usual"
		if e.Tight() {
			verdict = "tight: it must not mark the skin or go numb under it"
		}
		t.Rows = append(t.Rows, []string{e.words(), fmt.Sprint(e.count()), inCM(e.Width), inCM(e.Length), inCM(e.Overlap),
			inCM(e.Ring()), inCM(e.Girth), fmt.Sprintf("%.1f", 100*e.Reduction()), verdict})
	}
	return t
}

// Table returns the elastic as a row of a cutting list.
func (e Elastic) Table() Table { return ElasticTable(e) }

// HTML returns the elastic as a table.
func (e Elastic) HTML() string { return e.Table().HTML() }

// Markdown returns the elastic as a table of pipes.
func (e Elastic) Markdown() string { return e.Table().Markdown() }

// String returns the elastic as text in columns.
func (e Elastic) String() string { return e.Table().String() }
