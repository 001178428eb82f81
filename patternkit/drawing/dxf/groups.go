package dxf

import (
	"bufio"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"patternkit/patternkit/geom"
)

// Bounds of a file that is read: far more than a drawing of pieces has.
const (
	mostBytes  = 64 << 20
	mostGroups = 4 << 20
	mostLine   = 4096
	mostParts  = 200_000 // lines and curves, once all blocks are placed
	mostDepth  = 16      // of blocks within blocks
	farthest   = 1e7     // mm from the origin
)

// A group is a code and its value, and the line of the file where the code is.
type group struct {
	code  int
	value string
	line  int
}

// An entity is the groups from one code 0 to the next.
type entity struct {
	kind   string
	line   int
	groups []group
}

// An Error tells the line of the file at fault.
type Error struct {
	Line int
	Err  error
}

func (e *Error) Error() string { return fmt.Sprintf("DXF, line %d: %v", e.Line, e.Err) }

// Unwrap returns what is wrong there.
func (e *Error) Unwrap() error { return e.Err }

func faultAt(line int, format string, args ...any) error {
	return &Error{line, fmt.Errorf(format, args...)}
}

// readGroups reads the groups of a file in its text form.
func readGroups(r io.Reader) ([]group, error) {
	in := bufio.NewScanner(io.LimitReader(r, mostBytes+1))
	in.Buffer(make([]byte, 0, mostLine), mostLine)
	var groups []group
	line, bytes := 0, 0
	for in.Scan() {
		line++
		bytes += len(in.Bytes()) + 1
		if bytes > mostBytes {
			return nil, faultAt(line, "the file is of more than %d bytes", mostBytes)
		}
		if line == 1 && strings.HasPrefix(in.Text(), "AutoCAD Binary DXF") {
			return nil, faultAt(1, "this is a binary DXF file, want one saved as text")
		}
		if line%2 == 0 {
			groups[len(groups)-1].value = strings.TrimSpace(in.Text())
			continue
		}
		code, err := strconv.Atoi(strings.TrimSpace(in.Text()))
		if err != nil {
			return nil, faultAt(line, "%.40q is no group code, want a whole number", in.Text())
		}
		if len(groups) == mostGroups {
			return nil, faultAt(line, "the file has more than %d groups", mostGroups)
		}
		groups = append(groups, group{code: code, line: line})
	}
	if err := in.Err(); err != nil {
		return nil, faultAt(line+1, "%w", err)
	}
	if line%2 == 1 {
		return nil, faultAt(line, "the file ends after a group code, want its value")
	}
	if n := len(groups); n == 0 || groups[n-1].code != 0 || groups[n-1].value != "EOF" {
		return nil, faultAt(line+1, "the file ends without its EOF: it is cut short, or no DXF")
	}
	return groups, nil
}

// entities parts groups at each code 0. Groups before the first are dropped
// with it: nothing but comments may stand there.
func entities(groups []group) []entity {
	var out []entity
	for _, g := range groups {
		switch {
		case g.code == 0:
			out = append(out, entity{kind: g.value, line: g.line})
		case g.code != 999 && len(out) > 0:
			e := &out[len(out)-1]
			e.groups = append(e.groups, g)
		}
	}
	return out
}

// text returns the first value of a code, or "".
func (e entity) text(code int) string {
	for _, g := range e.groups {
		if g.code == code {
			return g.value
		}
	}
	return ""
}

func (g group) number() (float64, error) {
	v, err := strconv.ParseFloat(g.value, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, faultAt(g.line+1, "%.40q is no number", g.value)
	}
	return v, nil
}

// number returns the first value of a code, or what stands where there is
// none.
func (e entity) number(code int, otherwise float64) (float64, error) {
	for _, g := range e.groups {
		if g.code == code {
			return g.number()
		}
	}
	return otherwise, nil
}

// integer is a number within 0 to a million.
func (e entity) integer(code, otherwise int) (int, error) {
	v, err := e.number(code, float64(otherwise))
	if err == nil && (v != math.Trunc(v) || v < 0 || v > 1e6) {
		err = faultAt(e.line, "%s has %v in group %d, want a whole number from 0 to 1000000", e.kind, v, code)
	}
	return int(v), err
}

// point returns the point of code and code+10, an error where it is left out.
func (e entity) point(code int) (geom.Point, error) {
	if e.text(code) == "" || e.text(code+10) == "" {
		return geom.Point{}, faultAt(e.line, "%s has no point in groups %d and %d", e.kind, code, code+10)
	}
	x, err := e.number(code, 0)
	if err != nil {
		return geom.Point{}, err
	}
	y, err := e.number(code+10, 0)
	return geom.Pt(geom.Length(x), geom.Length(y)), err
}

// points returns all points of code and code+10, in order, each with the
// values of the codes besides that come after it.
func (e entity) points(code int, besides ...int) ([]vertex, error) {
	var out []vertex
	for _, g := range e.groups {
		if g.code == code {
			x, err := g.number()
			if err != nil {
				return nil, err
			}
			out = append(out, vertex{at: geom.Pt(geom.Length(x), geom.Length(math.NaN())), line: g.line})
			continue
		}
		if len(out) == 0 {
			continue
		}
		last := &out[len(out)-1]
		for _, b := range append([]int{code + 10}, besides...) {
			if g.code != b {
				continue
			}
			v, err := g.number()
			if err != nil {
				return nil, err
			}
			if b == code+10 {
				last.at.Y = geom.Length(v)
			} else {
				last.bulge = v
			}
		}
	}
	for _, v := range out {
		if math.IsNaN(float64(v.at.Y)) {
			return nil, faultAt(v.line, "%s has a point without its y, want group %d after %d", e.kind, code+10, code)
		}
	}
	return out, nil
}

// A vertex is a point of a polyline, and how the line to the next bulges.
type vertex struct {
	at    geom.Point
	bulge float64
	line  int
}
