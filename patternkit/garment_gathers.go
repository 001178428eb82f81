package patternkit

import (
	"fmt"
	"slices"
)

// A ClothWeight says how full a cloth is gathered.
type ClothWeight int

// The cloths, from the one that takes the fewest gathers.
const (
	LightCloth ClothWeight = iota // lawn, voile, light cotton and viscose
	FirmCloth                     // shirting, linen: bulky where it is gathered
	SheerCloth                    // chiffon, organza: thin until there is much of it
)

// String names the cloth.
func (c ClothWeight) String() string {
	switch c {
	case LightCloth:
		return "light cloth"
	case FirmCloth:
		return "firm cloth"
	case SheerCloth:
		return "sheer cloth"
	}
	return fmt.Sprintf("ClothWeight(%d)", int(c))
}

// gatherRange is the usual gather ratio, cut : finished: slight 1.25, standard
// 1.5, full 2, sheer 2.5 to 3 (common practice, no source).
func (c ClothWeight) gatherRange() (least, most float64) {
	switch c {
	case FirmCloth:
		return 1.25, 1.5
	case SheerCloth:
		return 2, 3
	}
	return 1.25, 2.5
}

// What an elastic stretches to, as a part of its relaxed length: any does 1.8,
// a soft one 2 (common practice, no source).
const (
	elasticStretch     = 1.8
	softElasticStretch = 2.0
)

// gatherWords name a gather ratio.
func gatherWords(ratio float64) string {
	for _, w := range []struct {
		upTo  float64
		words string
	}{{1, "too narrow: less than it lies on"}, {1.12, "hardly gathered"}, {1.37, "slight"}, {1.75, "standard"}, {2.25, "full"}, {3.2, "very full"}} {
		if ratio < w.upTo {
			return w.words
		}
	}
	return "more than a casing takes"
}

// A GatherTable says how full the top edge is gathered where it is worn, and
// whether its elastic can do what it must.
type GatherTable struct {
	edge    Length
	cloth   ClothWeight
	rows    []GatherRow
	passing Length // the widest that must pass, by the way that asks less
	over    string
}

// A GatherRow is the top edge at one place, with the elastic that is cut for it.
type GatherRow struct {
	Worn
	Stretched float64 // the elastic drawn over what must pass, of its relaxed length
	Fault     bool    // it does not stretch so far, or the cloth does not reach
	Verdict   string
}

// Gathers holds the top edge against the girths that it is worn on: the gather
// ratio, top edge to girth, is usual or not for the cloth; and the elastic cut
// for that place must stretch over what passes it when the top is put on, and
// to the other place. Elastic stretches to 1.8 times its length, a soft one to
// twice (common practice, no source).
func (g GatheredTop) Gathers(b Body, cloth ClothWeight) (GatherTable, error) {
	if cloth < LightCloth || cloth > SheerCloth {
		return GatherTable{}, fmt.Errorf("gathers: the cloth is %v, want LightCloth, FirmCloth or SheerCloth", cloth)
	}
	worn, err := g.Worn(b)
	if err != nil {
		return GatherTable{}, err
	}
	rings, err := g.pattern.PullOn(b, Cloth{})
	if err != nil {
		return GatherTable{}, err
	}
	ring, err := rings.Row(topEdge)
	if err != nil {
		return GatherTable{}, err
	}
	t := GatherTable{edge: g.topEdgeGirth(), cloth: cloth, passing: ring.OverHead.Widest, over: ring.OverHead.Over}
	if ring.Below.Over != "" && ring.Below.Widest < t.passing {
		t.passing, t.over = ring.Below.Widest, ring.Below.Over
	}
	for _, w := range worn {
		t.rows = append(t.rows, t.judged(w))
	}
	return t, nil
}

// judged says of one place whether cloth and elastic do.
func (t GatherTable) judged(w Worn) GatherRow {
	r := GatherRow{Worn: w, Stretched: float64(max(t.passing, w.Girth) / w.Elastic.Ring())}
	least, most := t.cloth.gatherRange()
	gathers := gatherWords(w.Gather)
	switch {
	case w.Gather < 1:
		r.Fault = true
	case w.Gather < least:
		gathers += fmt.Sprintf(", less than %s is gathered", t.cloth)
	case w.Gather > most:
		gathers += fmt.Sprintf(", more than %s is gathered: it grows thick", t.cloth)
	default:
		gathers += ", usual for " + t.cloth.String()
	}
	elastic := "any elastic stretches so far"
	switch {
	case r.Stretched > softElasticStretch:
		r.Fault = true
		elastic = fmt.Sprintf("no elastic stretches so far: cut it %.1f cm longer, or wear it further out", upToMM(t.passing/softElasticStretch-w.Elastic.Ring()).CM())
	case r.Stretched > elasticStretch:
		elastic = "a soft elastic is wanted"
	}
	r.Verdict = gathers + "; " + elastic
	if r.Fault {
		r.Verdict = "FAULT: " + r.Verdict
	}
	return r
}

// Rows returns the two places.
func (t GatherTable) Rows() []GatherRow { return slices.Clone(t.rows) }

// OK reports whether cloth and elastic do at both places.
func (t GatherTable) OK() bool {
	return !slices.ContainsFunc(t.rows, func(r GatherRow) bool { return r.Fault })
}

// Table returns the places as rows of text.
func (t GatherTable) Table() Table {
	out := Table{
		Title: fmt.Sprintf("The top edge of %.1f cm where it is worn", t.edge.CM()),
		Columns: []Column{{Head: "Worn"}, {Head: "Around the body (cm)", Number: true}, {Head: "± (cm)", Number: true}, {Head: "Gather ratio", Number: true},
			{Head: "Elastic, cut (cm)", Number: true}, {Head: "Its ring (cm)", Number: true}, {Head: "Stretched to", Number: true}, {Head: "Verdict"}},
	}
	for _, r := range t.rows {
		out.Rows = append(out.Rows, []string{r.Where, oneDecimal(r.Girth.CM()), oneDecimal(r.PlusMinus.CM()), fmt.Sprintf("%.2f", r.Gather),
			oneDecimal(r.Elastic.Length.CM()), oneDecimal(r.Elastic.Ring().CM()), fmt.Sprintf("× %.2f", r.Stretched), r.Verdict})
		out.Notes = append(out.Notes, r.Where+": "+r.From+".")
	}
	least, most := t.cloth.gatherRange()
	out.Notes = append(out.Notes,
		fmt.Sprintf("Stretched: over the %s, %.1f cm, when it is put on. Elastic stretches to 1.8 times its length, a soft one to twice (common practice, no source).", t.over, t.passing.CM()),
		fmt.Sprintf("Gather ratio: slight 1.25, standard 1.5, full 2, sheer 2.5 to 3; %s %.2f to %.2f (common practice, no source).", t.cloth, least, most),
		"Try the elastic on before it is joined: an estimate is off by more than its ± on one body of three.")
	return out
}

// HTML returns the places as a table.
func (t GatherTable) HTML() string { return t.Table().HTML() }

// Markdown returns the places as a table of pipes.
func (t GatherTable) Markdown() string { return t.Table().Markdown() }

// String returns the places as text in columns.
func (t GatherTable) String() string { return t.Table().String() }
