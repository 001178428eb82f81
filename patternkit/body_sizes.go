package patternkit

import (
	"fmt"
	"strings"
)

// A Size is a body with the name that it has in a size chart.
type Size struct {
	Name string
	Body Body
}

// A SizeChart is sizes in order, from the smallest. Its bodies hold what the
// chart says and nothing else: Estimated fills the rest.
type SizeChart struct {
	name, source string
	sizes        []Size
}

// NewSizeChart makes a chart of your own. The names must differ and each body
// must pass Check.
func NewSizeChart(name, source string, sizes ...Size) (SizeChart, error) {
	seen := map[string]bool{}
	for i, s := range sizes {
		switch {
		case strings.TrimSpace(s.Name) == "":
			return SizeChart{}, fmt.Errorf("size chart %q: size %d has no name", name, i+1)
		case seen[s.Name]:
			return SizeChart{}, fmt.Errorf("size chart %q: two sizes are called %q, want each name once", name, s.Name)
		}
		seen[s.Name] = true
		if err := s.Body.Check(); err != nil {
			return SizeChart{}, fmt.Errorf("size chart %q, size %s: %w", name, s.Name, err)
		}
	}
	if len(sizes) == 0 {
		return SizeChart{}, fmt.Errorf("size chart %q has no sizes, want at least one", name)
	}
	return SizeChart{name: name, source: source, sizes: append([]Size(nil), sizes...)}, nil
}

// Name returns what the chart is called.
func (c SizeChart) Name() string { return c.name }

// Source returns where the chart is from.
func (c SizeChart) Source() string { return c.source }

// Sizes returns the sizes in order.
func (c SizeChart) Sizes() []Size { return append([]Size(nil), c.sizes...) }

// Size returns the body of the named size.
func (c SizeChart) Size(name string) (Body, error) {
	names := make([]string, len(c.sizes))
	for i, s := range c.sizes {
		if s.Name == name {
			return s.Body, nil
		}
		names[i] = s.Name
	}
	return Body{}, fmt.Errorf("size chart %q has no size %q, want one of %s", c.name, name, strings.Join(names, ", "))
}

// Table lists the measurements, a row each, with the sizes side by side in
// centimetres.
func (c SizeChart) Table() Table {
	t := Table{Title: c.name, Columns: []Column{{Head: "cm"}}}
	if c.source != "" {
		t.Notes = []string{c.source}
	}
	for _, s := range c.sizes {
		t.Columns = append(t.Columns, Column{Head: s.Name, Number: true})
	}
	for i, f := range bodyFields {
		row, any := []string{f.words}, false
		for _, s := range c.sizes {
			v := Length(s.Body.field(i))
			any = any || v != 0
			row = append(row, blankZero(v))
		}
		if any {
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}

func blankZero(v Length) string {
	if v == 0 {
		return ""
	}
	return oneDecimal(v.CM())
}

// HTML returns Table as markup.
func (c SizeChart) HTML() string { return c.Table().HTML() }

// Markdown returns Table in the pipe notation.
func (c SizeChart) Markdown() string { return c.Table().Markdown() }

// String returns Table as aligned text.
func (c SizeChart) String() string { return c.Table().String() }

// A WaistShape says which waist row of a misses' chart is meant.
type WaistShape int

// The waist rows of ASTM D5585-11: at every size the straight waist is 1 1/2
// in larger than the curvy one.
const (
	CurvyWaist WaistShape = iota
	StraightWaist
)

// misses holds rows of ASTM D5585-11e1, misses, in inches, as far as the
// publisher's public page shows them.
var misses = struct {
	sizes                                                      [12]string
	head, neckBase, shoulder, bust, underbust, curvy, straight [12]Length
}{
	sizes:     [12]string{"00", "0", "2", "4", "6", "8", "10", "12", "14", "16", "18", "20"},
	head:      [12]Length{21.25, 21.25, 21.5, 21.5, 21.75, 21.75, 22, 22, 22.25, 22.25, 22.5, 22.5},
	neckBase:  [12]Length{13.25, 13.5, 13.75, 14, 14.25, 14.625, 14.875, 15.125, 15.5, 15.75, 16, 16.375},
	shoulder:  [12]Length{37.125, 37.75, 38.375, 39, 39.75, 40.5, 41.25, 42, 43, 44.25, 45.5, 46.875},
	bust:      [12]Length{31.125, 31.75, 33, 34.125, 35.25, 36.25, 37.25, 38.75, 40.375, 42.125, 44, 46},
	underbust: [12]Length{25.75, 26.5, 27.25, 28, 29, 30, 31, 32.5, 34, 35.75, 37.625, 39.625},
	curvy:     [12]Length{23.875, 24.625, 25.375, 26.125, 27, 28, 29, 30.75, 32.5, 34.5, 36.75, 39},
	straight:  [12]Length{25.375, 26.125, 26.875, 27.625, 28.5, 29.5, 30.5, 32.25, 34, 36, 38.25, 40.5},
}

// MissesChart returns ASTM D5585-11e1, misses 00 to 20: head, neck base,
// shoulder, bust, under-bust and waist girths. The steps between sizes are not even.
func MissesChart(waist WaistShape) (SizeChart, error) {
	row, shape := misses.curvy, "curvy"
	switch waist {
	case CurvyWaist:
	case StraightWaist:
		row, shape = misses.straight, "straight"
	default:
		return SizeChart{}, fmt.Errorf("misses chart: waist shape is %d, want CurvyWaist or StraightWaist", waist)
	}
	var sizes []Size
	for i, name := range misses.sizes {
		sizes = append(sizes, Size{Name: name, Body: Body{
			HeadGirth:      misses.head[i] * Inch,
			NeckBaseGirth:  misses.neckBase[i] * Inch,
			ShoulderGirth:  misses.shoulder[i] * Inch,
			BustGirth:      misses.bust[i] * Inch,
			UnderbustGirth: misses.underbust[i] * Inch,
			WaistGirth:     row[i] * Inch,
		}})
	}
	return NewSizeChart("misses, "+shape+" waist",
		"ASTM D5585-11e1, the rows on the publisher's public page; estimates made from it are of ANSUR women", sizes...)
}

// A BustClass is an interval of EN 13402-3: at least Min and less than Max.
type BustClass struct {
	Letter   string // the letter code, from memory of EN 13402-3
	Min, Max Length
}

// bustClasses are the class limits used with EN 13402-3 (a published body
// survey uses them): steps of 4 cm to 102 cm, then 5 and 6 cm. The letters are
// from memory of EN 13402-3 as an encyclopedia tabulates them.
var bustClasses = [...]BustClass{
	{"XS", 74 * CM, 78 * CM}, {"XS", 78 * CM, 82 * CM},
	{"S", 82 * CM, 86 * CM}, {"S", 86 * CM, 90 * CM},
	{"M", 90 * CM, 94 * CM}, {"M", 94 * CM, 98 * CM},
	{"L", 98 * CM, 102 * CM}, {"L", 102 * CM, 107 * CM},
	{"XL", 107 * CM, 113 * CM}, {"XL", 113 * CM, 119 * CM},
	{"XXL", 119 * CM, 125 * CM}, {"XXL", 125 * CM, 131 * CM},
}

// BustClasses returns the intervals of EN 13402-3 for women, smallest first.
func BustClasses() []BustClass { return append([]BustClass(nil), bustClasses[:]...) }

// BustClassOf returns the interval of EN 13402-3 that a woman's bust girth
// lies in, 74 cm to under 131 cm.
func BustClassOf(bust Length) (BustClass, error) {
	for _, c := range bustClasses {
		if bust >= c.Min && bust < c.Max {
			return c, nil
		}
	}
	return BustClass{}, &RangeError{What: "bust class of EN 13402-3", Field: "bust", Got: bust,
		Min: bustClasses[0].Min, Max: bustClasses[len(bustClasses)-1].Max}
}
