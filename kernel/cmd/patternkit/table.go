package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"strconv"
	"strings"
	"unicode/utf8"

	"patternkit/kernel/notebook"
)

// A tableRow is one run that a table asks for.
type tableRow struct {
	number int    // from 1, the heading not counted
	name   string // fit for a file's name
	set    map[string]string
}

// A table is a CSV file as it was read, with the line of each row.
type table struct {
	path    string
	heading []string
	cells   [][]string
	lines   []int
	naming  int // the column that names the rows
}

func readTableFile(path string, nb notebook.Notebook, fixed map[string]string) ([]tableRow, error) {
	content, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	return readTable(path, string(content), nb, fixed)
}

// readTable reads the rows of a table for the parameters of nb; fixed holds
// values that are given already. Every fault is named by line and column.
func readTable(path, content string, nb notebook.Notebook, fixed map[string]string) ([]tableRow, error) {
	t, err := splitTable(path, content)
	if err != nil {
		return nil, err
	}
	if err := t.checkHeading(nb, fixed); err != nil {
		return nil, err
	}
	var rows []tableRow
	var faults []error
	nameOf := map[string]int{} // the line in which a name was first given
	for i := range t.cells {
		r := tableRow{number: i + 1, name: t.cells[i][t.naming], set: map[string]string{}}
		faults = append(faults, t.readRow(i, &r, nb)...)
		// Some file systems do not tell ADA from Ada.
		if first, twice := nameOf[strings.ToLower(r.name)]; twice {
			faults = append(faults, t.fault(i, t.naming, "%q is also the name of the row in line %d; each row needs a name of its own", r.name, first))
		} else {
			nameOf[strings.ToLower(r.name)] = t.lines[i]
		}
		rows = append(rows, r)
	}
	if err := errors.Join(faults...); err != nil {
		return nil, err
	}
	return rows, nil
}

func (t *table) readRow(i int, r *tableRow, nb notebook.Notebook) []error {
	var faults []error
	for j, text := range t.cells[i] {
		column := t.heading[j]
		if j == t.naming {
			if err := fitName(text); err != nil {
				faults = append(faults, t.fault(i, j, "%w", err))
			}
			if assigns(nb, column) == nil {
				r.set[column] = strconv.Quote(text)
			}
			continue
		}
		value, err := goValue(text)
		if err != nil {
			faults = append(faults, t.fault(i, j, "%w", err))
		}
		r.set[column] = value
	}
	return faults
}

// splitTable reads the cells of a table, without what they mean.
func splitTable(path, content string) (*table, error) {
	content = strings.TrimPrefix(content, "\ufeff") // some programs begin UTF-8 with it
	if !utf8.ValidString(content) {
		before := content[:invalidAt(content)]
		return nil, fmt.Errorf("%s: line %d is not UTF-8; save the table as CSV in UTF-8", path, 1+strings.Count(before, "\n"))
	}
	t := &table{path: path}
	r := csv.NewReader(strings.NewReader(content))
	for {
		fields, err := r.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			return nil, t.syntax(err, len(fields))
		}
		for j := range fields {
			fields[j] = strings.TrimSpace(fields[j])
		}
		if t.heading == nil {
			t.heading = fields
			continue
		}
		line, _ := r.FieldPos(0)
		t.cells, t.lines = append(t.cells, fields), append(t.lines, line)
	}
	if len(t.cells) == 0 {
		return nil, fmt.Errorf("%s: want a heading that names the parameters, and below it a row for each run", path)
	}
	return t, nil
}

func invalidAt(s string) int {
	for i, r := range s {
		if r == utf8.RuneError {
			if _, size := utf8.DecodeRuneInString(s[i:]); size == 1 {
				return i
			}
		}
	}
	return len(s)
}

// syntax puts an error of the CSV reader in words that help.
func (t *table) syntax(err error, fields int) error {
	var e *csv.ParseError
	if !errors.As(err, &e) {
		return fmt.Errorf("%s: %w", t.path, err)
	}
	switch e.Err {
	case csv.ErrFieldCount:
		return fmt.Errorf("%s: line %d has %d columns and the heading has %d; a value that holds a comma goes in quotes",
			t.path, e.Line, fields, len(t.heading))
	case csv.ErrBareQuote, csv.ErrQuote:
		return fmt.Errorf("%s: line %d, character %d: a quote stands where none may; for inches write 36 1/2 in, "+
			"and for text in Go put it in backquotes: `linen`", t.path, e.Line, e.Column)
	}
	return fmt.Errorf("%s: line %d, character %d: %w", t.path, e.Line, e.Column, e.Err)
}

// fault names a cell of the table; row -1 is the heading.
func (t *table) fault(row, column int, format string, args ...any) error {
	line := 1
	if row >= 0 {
		line = t.lines[row]
	}
	where := fmt.Sprintf("%s: line %d, column %d", t.path, line, column+1)
	if row >= 0 {
		where += " (" + t.heading[column] + ")"
	}
	return fmt.Errorf("%s: %w", where, fmt.Errorf(format, args...))
}

// checkHeading finds the column of names, and holds the others against the
// parameters of nb.
func (t *table) checkHeading(nb notebook.Notebook, fixed map[string]string) error {
	if one := t.heading[0]; len(t.heading) == 1 && strings.ContainsAny(one, ";\t") {
		return t.fault(-1, 0, "%q is one heading; columns are parted by commas", one)
	}
	if t.naming = t.namingColumn(nb); t.naming < 0 {
		return fmt.Errorf("%s: no column names the rows; add one with the heading \"name\"", t.path)
	}
	var faults []error
	first := map[string]int{}
	for j, name := range t.heading {
		_, given := fixed[name]
		at, twice := first[name]
		switch {
		case name == "":
			faults = append(faults, t.fault(-1, j, "it has no heading"))
		case twice:
			faults = append(faults, t.fault(-1, j, "%s is also the heading of column %d", name, at+1))
		case given:
			faults = append(faults, t.fault(-1, j, "%s is given by --set too", name))
		case j != t.naming:
			if err := assigns(nb, name); err != nil {
				faults = append(faults, t.fault(-1, j, "%w", err))
			}
		}
		if !twice {
			first[name] = j
		}
	}
	return errors.Join(faults...)
}

// namingColumn is the column "name", or else the first of plain text that is
// no parameter of nb, or -1.
func (t *table) namingColumn(nb notebook.Notebook) int {
	for j, name := range t.heading {
		if name == "name" {
			return j
		}
	}
	for j, name := range t.heading {
		text := assigns(nb, name) != nil
		for _, cells := range t.cells {
			text = text && plainText(cells[j])
		}
		if text {
			return j
		}
	}
	return -1
}

// assigns returns an error unless nb has a parameter of that name.
func assigns(nb notebook.Notebook, name string) error {
	_, err := nb.WithParameters(map[string]string{name: "0"})
	return err
}
