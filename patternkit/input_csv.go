package patternkit

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Bounds of a file of points.
const (
	csvMostBytes = 16 << 20
	csvMostRows  = 100_000
	csvFarthest  = 1e6 * MM
)

// PointsFromCSV reads named points, by their pieces; under "" where the file
// has no column of pieces. The first row names the columns, in any order:
// point or name, x, y, and maybe piece; x and y tell their unit in brackets,
// "x (mm)", "x (cm)" or "x (in)". Numbers have a decimal point. An error tells
// the line: a column or number that is missing, a point named twice in a piece,
// more than 100,000 rows, 16 MiB, or 1 km from the origin.
func PointsFromCSV(r io.Reader) (map[string][]NamedPoint, error) {
	in := &csvLimited{r: r, left: csvMostBytes}
	rows := csv.NewReader(in)
	rows.TrimLeadingSpace = true
	head, err := rows.Read()
	if errors.Is(err, io.EOF) {
		err = errors.New("it is empty")
	}
	if err != nil {
		return nil, fmt.Errorf("points in CSV: %w", err)
	}
	columns, err := pointColumnsOf(head)
	if err != nil {
		return nil, fmt.Errorf("points in CSV, line 1: %w", err)
	}
	points := map[string][]NamedPoint{}
	seen := map[[2]string]bool{}
	for n := 1; ; n++ {
		row, err := rows.Read()
		if errors.Is(err, io.EOF) {
			return points, nil
		}
		if err != nil {
			return nil, fmt.Errorf("points in CSV: %w", err)
		}
		line, _ := rows.FieldPos(0)
		piece, q, err := columns.read(row)
		switch {
		case err != nil:
		case n > csvMostRows:
			err = fmt.Errorf("more than %d rows", csvMostRows)
		case seen[[2]string{piece, q.Name}]:
			err = fmt.Errorf("a second point %q of piece %q", q.Name, piece)
		}
		if err != nil {
			return nil, fmt.Errorf("points in CSV, line %d: %w", line, err)
		}
		seen[[2]string{piece, q.Name}] = true
		points[piece] = append(points[piece], q)
	}
}

// csvLimited fails beyond a number of bytes.
type csvLimited struct {
	r    io.Reader
	left int
}

func (l *csvLimited) Read(p []byte) (int, error) {
	n, err := l.r.Read(p)
	if l.left -= n; l.left < 0 {
		return 0, fmt.Errorf("the file is of more than %d bytes", csvMostBytes)
	}
	return n, err
}

// pointColumns says where in a row things are, piece at -1 for nowhere.
type pointColumns struct {
	piece, point int
	x, y         csvMeasure
}

func pointColumnsOf(head []string) (pointColumns, error) {
	h, err := readCSVHead(head, map[string]string{"piece": "piece", "point": "point", "name": "point"})
	if err != nil {
		return pointColumns{}, err
	}
	if !h.has("point", "x", "y") {
		return pointColumns{}, fmt.Errorf("the columns are %s, want point, x (mm) and y (mm)", quoted(head))
	}
	return pointColumns{h.column("piece"), h.column("point"), h.measures["x"], h.measures["y"]}, nil
}

func (c pointColumns) read(row []string) (piece string, q NamedPoint, err error) {
	if c.piece >= 0 {
		piece = row[c.piece]
	}
	if q.Name = row[c.point]; strings.TrimSpace(q.Name) == "" {
		return piece, q, errors.New("a point has no name")
	}
	if q.At.X, err = csvLength(row[c.x.column], c.x.unit); err == nil {
		q.At.Y, err = csvLength(row[c.y.column], c.y.unit)
	}
	if err != nil {
		err = fmt.Errorf("point %q: %w", q.Name, err)
	}
	return piece, q, err
}

// A csvHead is the first row of a file: where its columns of text are, and of
// lengths along x and y, with their units.
type csvHead struct {
	columns  map[string]int
	measures map[string]csvMeasure
}

type csvMeasure struct {
	column int
	unit   Length
}

// readCSVHead finds x, y and the columns of text, each by any of its headings.
// Others are columns of the reader's own.
func readCSVHead(head []string, headings map[string]string) (csvHead, error) {
	h := csvHead{map[string]int{}, map[string]csvMeasure{}}
	for i, title := range head {
		heading, unit, _ := strings.Cut(strings.ToLower(strings.TrimPrefix(title, "\ufeff")), "(")
		heading = strings.TrimSpace(heading)
		name, text := headings[heading]
		if !text && heading != "x" && heading != "y" {
			continue
		}
		if h.has(name) || h.has(heading) {
			return h, fmt.Errorf("a second column %q", title)
		}
		if text {
			h.columns[name] = i
			continue
		}
		length, known := map[string]Length{"mm": MM, "cm": CM, "in": Inch}[strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(unit), ")"))]
		if !known {
			return h, fmt.Errorf("column %q, want its unit too: x (mm), x (cm) or x (in)", title)
		}
		h.measures[heading] = csvMeasure{i, length}
	}
	return h, nil
}

// has reports whether there are all of some columns.
func (h csvHead) has(names ...string) bool {
	for _, n := range names {
		_, text := h.columns[n]
		if _, measure := h.measures[n]; !text && !measure {
			return false
		}
	}
	return true
}

// column is where a column of text is, -1 for nowhere.
func (h csvHead) column(name string) int {
	if i, ok := h.columns[name]; ok {
		return i
	}
	return -1
}

func csvLength(s string, unit Length) (Length, error) {
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil {
		return 0, fmt.Errorf("%.40q is no number, want one with a decimal point, such as 12.5", s)
	}
	if l := Length(v) * unit; l.Abs() <= csvFarthest {
		return l, nil
	}
	return 0, fmt.Errorf("%.40q is too far from the origin, want at most 1 km", s)
}
