package patternkit

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// BodiesFromCSV reads a size chart of your own. The first column holds the
// names of the sizes or people, each other one a measurement, headed by Body's
// field name. A heading may give the unit of its column; without one each cell
// needs its own, because a bare number could be any. An empty cell is not
// measured.
//
//	size,   BustGirth (cm), waist girth (in), Height
//	small,  84,             26 1/2,           162 cm
//
// Every body is checked, and errors name the line and the column.
func BodiesFromCSV(r io.Reader) ([]Size, error) {
	reader := csv.NewReader(r)
	reader.TrimLeadingSpace = true
	head, err := reader.Read()
	if errors.Is(err, io.EOF) {
		return nil, errors.New("bodies from CSV: the file is empty, want a heading such as size, BustGirth (cm)")
	}
	if err != nil {
		return nil, fmt.Errorf("bodies from CSV: %w", err)
	}
	columns, err := csvColumns(head)
	if err != nil {
		return nil, fmt.Errorf("bodies from CSV: %w", err)
	}
	var sizes []Size
	for {
		row, err := reader.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, fmt.Errorf("bodies from CSV: %w", err)
		}
		line, _ := reader.FieldPos(0)
		size, err := csvSize(row, columns)
		if err != nil {
			return nil, fmt.Errorf("bodies from CSV, line %d: %w", line, err)
		}
		sizes = append(sizes, size)
	}
	if len(sizes) == 0 {
		return nil, errors.New("bodies from CSV: there is a heading and no line under it")
	}
	return sizes, nil
}

// A csvColumn is a measurement and the unit of its bare numbers, "" for none.
type csvColumn struct {
	head, unit string
	field      int
}

// csvColumns reads the heading after its first column.
func csvColumns(head []string) ([]csvColumn, error) {
	if len(head) < 2 {
		return nil, errors.New("the heading has one column, want the name of the size and at least one measurement")
	}
	columns := make([]csvColumn, 0, len(head)-1)
	used := map[int]bool{}
	for _, h := range head[1:] {
		name, unit, hasUnit := strings.Cut(h, "(")
		c := csvColumn{head: strings.TrimSpace(h), field: fieldByHeading(name)}
		if hasUnit {
			c.unit = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(unit), ")"))
		}
		if c.field < 0 {
			return nil, fmt.Errorf("there is no measurement %q, want one of %s", strings.TrimSpace(name), strings.Join(fieldNames(), ", "))
		}
		if used[c.field] {
			return nil, fmt.Errorf("two columns hold %s, want one", fieldNames()[c.field])
		}
		used[c.field] = true
		columns = append(columns, c)
	}
	return columns, nil
}

func fieldNames() []string {
	names := make([]string, 0, shoulderSlope+1)
	for _, f := range bodyFields {
		names = append(names, f.name)
	}
	return append(names, "ShoulderSlope")
}

// fieldByHeading finds a measurement whatever the case, spaces and hyphens.
func fieldByHeading(heading string) int {
	plain := func(s string) string {
		return strings.ToLower(strings.NewReplacer(" ", "", "-", "", "_", "").Replace(s))
	}
	for i, name := range fieldNames() {
		if plain(name) == plain(heading) {
			return i
		}
	}
	return -1
}

func csvSize(row []string, columns []csvColumn) (Size, error) {
	s := Size{Name: strings.TrimSpace(row[0])}
	if s.Name == "" {
		return Size{}, errors.New("the first column is empty, want the name of the size")
	}
	for i, c := range columns {
		cell := strings.TrimSpace(row[i+1])
		if cell == "" {
			continue
		}
		v, err := c.parse(cell)
		if err != nil {
			return Size{}, fmt.Errorf("size %s, column %s: %w", s.Name, c.head, err)
		}
		s.Body.setField(c.field, v)
	}
	if err := s.Body.Check(); err != nil {
		return Size{}, fmt.Errorf("size %s: %w", s.Name, err)
	}
	return s, nil
}

// parse reads a cell: a length, or degrees for the shoulder slope.
func (c csvColumn) parse(cell string) (float64, error) {
	if c.field == shoulderSlope {
		return parseDegrees(cell, c.unit)
	}
	if c.unit != "" && !strings.ContainsAny(cell, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ\"") {
		cell += " " + c.unit
	}
	l, err := ParseLength(cell)
	if err != nil {
		return 0, err
	}
	if l <= 0 {
		return 0, fmt.Errorf("%q is no length of a body, want more than 0", cell)
	}
	return float64(l), nil
}

func parseDegrees(cell, unit string) (float64, error) {
	number := cell
	for _, suffix := range []string{"°", "degrees", "deg"} {
		if n, ok := strings.CutSuffix(cell, suffix); ok {
			number, unit = strings.TrimSpace(n), suffix
			break
		}
	}
	v, err := strconv.ParseFloat(number, 64)
	known := unit == "°" || unit == "degrees" || unit == "deg"
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || !known {
		return 0, fmt.Errorf("%q is no angle, want degrees such as 21°", cell)
	}
	return float64(Angle(v) * Degree), nil
}
