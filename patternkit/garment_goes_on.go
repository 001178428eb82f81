package patternkit

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// A Raise says which option of a gathered top to raise, and by how much, so
// that one ring of it passes what must pass it.
type Raise struct {
	Ring   string // "top edge"
	Option string // "FrontFullness"
	By     Length
}

// String reads like "raise FrontFullness by 1.9 cm", rounded up to the
// millimetre.
func (r Raise) String() string {
	return fmt.Sprintf("raise %s by %.1f cm", r.Option, upToMM(r.By).CM())
}

// upToMM is the next whole millimetre, or the length itself where rounding has
// made it a whole one.
func upToMM(l Length) Length { return Length(math.Ceil(float64(l)-1e-6)) * MM }

// A GoesOnTable says whether a gathered top goes on a body and, where it does
// not, which of its options to raise.
type GoesOnTable struct {
	rings   PullOnTable
	options GatheredTopOptions
	raises  []Raise
}

// GoesOn holds every ring of the top against what must pass it, from above and
// from below, as PullOn does. For a ring that is too narrow it says which
// option to raise and by how much: any one of them is enough for that ring, and
// is the least that is.
func (g GatheredTop) GoesOn(b Body, cloth Cloth) (GoesOnTable, error) {
	rings, err := g.pattern.PullOn(b, cloth)
	if err != nil {
		return GoesOnTable{}, err
	}
	t := GoesOnTable{rings: rings, options: g.options}
	for _, f := range rings.Faults() {
		for _, w := range widening(f) {
			t.raises = append(t.raises, Raise{f.Ring, w.option, f.judged.Short / Length(w.times)})
		}
	}
	return t, nil
}

// A widener is an option and how often it goes into a ring.
type widener struct {
	option string
	times  float64
}

// widening are the options that widen a ring, that which does it best first: a
// distance from the fold counts twice, at two sleeves four times, a side four
// times.
func widening(r PullOnRow) []widener {
	switch {
	case r.Ring == topEdge:
		return []widener{{"FrontFullness", 2}, {"BackFullness", 2}, {"SleeveFullness", 4}}
	case r.Trunk:
		return []widener{{"SideWidth", 4}, {"FrontFullness", 2}, {"BackFullness", 2}}
	}
	return []widener{{"SleeveFullness", 2}, {"SideWidth", 2}}
}

// option is the field of an option that is a length.
func (o *GatheredTopOptions) option(name string) *Length {
	return map[string]*Length{"FrontFullness": &o.FrontFullness, "BackFullness": &o.BackFullness, "SleeveFullness": &o.SleeveFullness,
		"SideWidth": &o.SideWidth}[name]
}

// Raised returns o with one option raised as r says. An option that r does not
// name as GoesOn does is an error.
func (o GatheredTopOptions) Raised(r Raise) (GatheredTopOptions, error) {
	field := o.option(r.Option)
	if field == nil {
		return GatheredTopOptions{}, fmt.Errorf("%s: no option %q is to be raised, want FrontFullness, BackFullness, SleeveFullness or SideWidth", gatheredWhat, r.Option)
	}
	*field += r.By
	return o, o.check()
}

// OK reports whether the top goes on.
func (t GoesOnTable) OK() bool { return t.rings.OK() }

// Rings returns the rings as PullOn judges them.
func (t GoesOnTable) Rings() PullOnTable { return t.rings }

// Raises returns what to raise, ring by ring; of one ring any one is enough.
func (t GoesOnTable) Raises() []Raise { return append([]Raise(nil), t.raises...) }

// Widened returns the options with which the top goes on: for each ring that
// is too narrow the first of its raises, less what those before have added to
// it. They are those that the top was made with where it goes on already.
func (t GoesOnTable) Widened() (GatheredTopOptions, error) {
	o := t.options
	added := map[string]Length{}
	faults := t.rings.Faults()
	// The top edge first: what is laid from the fold widens the trunk as well.
	slices.SortStableFunc(faults, func(a, b PullOnRow) int {
		return strings.Compare(wideningOrder(a), wideningOrder(b))
	})
	for _, f := range faults {
		lacks := f.judged.Short
		for _, w := range widening(f) {
			lacks -= added[w.option] * Length(w.times)
		}
		if lacks <= 0 {
			continue
		}
		first := widening(f)[0]
		by := lacks / Length(first.times)
		added[first.option] += by
		var err error
		if o, err = o.Raised(Raise{f.Ring, first.option, max(by, 1*MM-*o.option(first.option))}); err != nil {
			return GatheredTopOptions{}, err
		}
	}
	return o, nil
}

func wideningOrder(r PullOnRow) string {
	switch {
	case r.Ring == topEdge:
		return "1"
	case r.Trunk:
		return "2"
	}
	return "3"
}

// advice says for a ring what to raise.
func (t GoesOnTable) advice(ring string) string {
	var words []string
	for _, r := range t.raises {
		if r.Ring == ring {
			words = append(words, fmt.Sprintf("%s by %.1f cm", r.Option, upToMM(r.By).CM()))
		}
	}
	if len(words) == 0 {
		return ""
	}
	return "raise " + strings.Join(words, ", or ")
}

// Table returns the rings with what to raise.
func (t GoesOnTable) Table() Table {
	out := t.rings.Table()
	out.Title = "Does the " + t.rings.pattern.name + " go on?"
	out.Columns = append(out.Columns, Column{Head: "If not"})
	for i, r := range t.rings.rows {
		out.Rows[i] = append(out.Rows[i], t.advice(r.Ring))
	}
	out.Notes[0] = t.summary()
	return out
}

// summary says whether the top goes on, and what to raise.
func (t GoesOnTable) summary() string {
	faults := t.rings.Faults()
	if len(faults) == 0 {
		return t.rings.summary()
	}
	words := make([]string, len(faults))
	for i, f := range faults {
		words[i] = fmt.Sprintf("the %s is %.1f cm too narrow: %s", f.Ring, upToMM(f.judged.Short).CM(), t.advice(f.Ring))
	}
	return t.rings.pattern.name + " does not go on: " + strings.Join(words, "; ") + "."
}

// HTML returns the check as a table.
func (t GoesOnTable) HTML() string { return t.Table().HTML() }

// Markdown returns the check as a table of pipes.
func (t GoesOnTable) Markdown() string { return t.Table().Markdown() }

// String returns the check as text in columns.
func (t GoesOnTable) String() string { return t.Table().String() }
