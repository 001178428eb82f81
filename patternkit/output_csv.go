package patternkit

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strconv"
)

// pointsHead is the first row of a file of points.
var pointsHead = []string{"piece", "point", "x (mm)", "y (mm)"}

// PointsFile returns the named points of all pieces as a CSV file (RFC 4180)
// with the columns piece, point, x (mm) and y (mm), each number to its last
// bit. PointsFromCSV reads it.
func (p Pattern) PointsFile() ([]byte, error) {
	var file bytes.Buffer
	w := csv.NewWriter(&file)
	rows := [][]string{pointsHead}
	for _, piece := range p.pieces {
		for _, q := range piece.points {
			rows = append(rows, []string{piece.name, q.Name, csvNumber(q.At.X), csvNumber(q.At.Y)})
		}
	}
	if err := w.WriteAll(rows); err != nil {
		return nil, fmt.Errorf("pattern %q as CSV: %w", p.name, err)
	}
	return file.Bytes(), nil
}

func csvNumber(l Length) string { return strconv.FormatFloat(l.MM(), 'f', -1, 64) }
