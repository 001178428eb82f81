package svgpath

import (
	"fmt"
	"math"
	"strconv"

	"patternkit/patternkit/geom"
)

// A scanner reads numbers and letters from an attribute.
type scanner struct {
	s  string
	at int
}

// space passes over white space, and one comma among it.
func (c *scanner) space() {
	comma := false
	for ; c.at < len(c.s); c.at++ {
		switch b := c.s[c.at]; {
		case b == ' ' || b == '\t' || b == '\n' || b == '\r' || b == '\f':
		case b == ',' && !comma:
			comma = true
		default:
			return
		}
	}
}

func (c *scanner) done() bool { return c.at >= len(c.s) }

// starts reports whether a number begins here.
func (c *scanner) starts() bool {
	if c.done() {
		return false
	}
	b := c.s[c.at]
	return b >= '0' && b <= '9' || b == '.' || b == '-' || b == '+'
}

// number reads a number; "1.5.5" is two and "1-2" is two.
func (c *scanner) number() (float64, error) {
	c.space()
	start, digits, dot := c.at, 0, false
	if !c.done() && (c.s[c.at] == '-' || c.s[c.at] == '+') {
		c.at++
	}
	for ; !c.done(); c.at++ {
		if b := c.s[c.at]; b >= '0' && b <= '9' {
			digits++
		} else if b == '.' && !dot {
			dot = true
		} else {
			break
		}
	}
	if digits == 0 {
		return 0, c.fault(start, "want a number")
	}
	c.exponent()
	v, err := strconv.ParseFloat(c.s[start:c.at], 64)
	if err != nil || math.Abs(v) > farthest {
		return 0, c.fault(start, "%.20s is too large, want at most %g", c.s[start:c.at], farthest)
	}
	return v, nil
}

// exponent passes over "e-5" but not over the unit "em".
func (c *scanner) exponent() {
	if c.done() || c.s[c.at]|0x20 != 'e' {
		return
	}
	i := c.at + 1
	if i < len(c.s) && (c.s[i] == '-' || c.s[i] == '+') {
		i++
	}
	if i == len(c.s) || c.s[i] < '0' || c.s[i] > '9' {
		return
	}
	for i < len(c.s) && c.s[i] >= '0' && c.s[i] <= '9' {
		i++
	}
	c.at = i
}

// flag reads the 0 or 1 of an arc, which nothing need follow.
func (c *scanner) flag() (bool, error) {
	c.space()
	if c.done() || c.s[c.at] != '0' && c.s[c.at] != '1' {
		return false, c.fault(c.at, "want a flag, 0 or 1")
	}
	c.at++
	return c.s[c.at-1] == '1', nil
}

func (c *scanner) fault(at int, format string, args ...any) error {
	return fmt.Errorf("character %d: %s", at+1, fmt.Sprintf(format, args...))
}

// A pen draws the commands of path data.
type pen struct {
	scanner
	done   [][]geom.Segment // subpaths
	now    []geom.Segment
	start  geom.Point // of the subpath
	at     geom.Point
	handle geom.Point // of the last curve, for those that go on smoothly
	last   byte       // the command before, in capitals
	moved  bool       // once a first M has been seen
	parts  int
}

// Paths returns the subpaths of path data (SVG 1.1, 8.3), each of lines and
// cubics, y as in the data. An error tells the character at fault.
func Paths(data string) ([]geom.Path, error) {
	p := &pen{scanner: scanner{s: data}}
	for {
		p.space()
		if p.scanner.done() {
			break
		}
		command := p.s[p.scanner.at]
		if !p.moved && command != 'M' && command != 'm' {
			return nil, p.fault(p.scanner.at, "%q, want path data to begin with M", command)
		}
		p.scanner.at++
		if err := p.run(command); err != nil {
			return nil, err
		}
	}
	p.lift()
	paths := make([]geom.Path, len(p.done))
	for i, segments := range p.done {
		path, err := geom.PathOf(segments...)
		if err != nil {
			return nil, err
		}
		paths[i] = path
	}
	return paths, nil
}

// lift ends a subpath.
func (p *pen) lift() {
	if len(p.now) > 0 {
		p.done = append(p.done, p.now)
	}
	p.now = nil
}

// run does one command as often as numbers follow it.
func (p *pen) run(command byte) error {
	capital := command &^ 0x20
	if capital == 'Z' {
		p.line(p.start)
		p.lift()
		p.last = 'Z'
		return nil
	}
	for first := true; ; first = false {
		if !first {
			p.space()
			if !p.starts() {
				return nil
			}
			if capital == 'M' { // further points are lines
				capital, command = 'L', command-'M'+'L'
			}
		}
		if err := p.once(capital, command != capital); err != nil {
			return err
		}
		if p.last = capital; p.parts > mostParts {
			return p.fault(p.scanner.at, "more than %d lines and curves", mostParts)
		}
	}
}

// once does one command with one set of numbers.
func (p *pen) once(command byte, relative bool) error {
	from := geom.Point{}
	if relative {
		from = p.at
	}
	switch command {
	case 'M', 'L', 'T':
		to, err := p.point(from)
		if err != nil {
			return err
		}
		switch command {
		case 'M':
			p.lift()
			p.start, p.at, p.moved = to, to, true
		case 'L':
			p.line(to)
		case 'T':
			p.quadratic(p.reflected('Q', 'T'), to)
		}
		return nil
	case 'H', 'V':
		v, err := p.number()
		if err != nil {
			return err
		}
		if to := geom.Pt(from.X+geom.Length(v), p.at.Y); command == 'H' {
			p.line(to)
		} else {
			p.line(geom.Pt(p.at.X, from.Y+geom.Length(v)))
		}
		return nil
	case 'C', 'S', 'Q':
		return p.curve(command, from)
	case 'A':
		return p.arc(from)
	}
	return p.fault(p.scanner.at-1, "%q is no command, want one of MLHVCSQTAZ", command)
}

func (p *pen) point(from geom.Point) (geom.Point, error) {
	x, err := p.number()
	if err != nil {
		return geom.Point{}, err
	}
	y, err := p.number()
	return from.Add(geom.Pt(geom.Length(x), geom.Length(y))), err
}

// reflected is the handle that goes on from the curve before, or the place of
// the pen where none of those commands was before.
func (p *pen) reflected(one, other byte) geom.Point {
	if p.last == one || p.last == other {
		return p.at.Scale(2).Sub(p.handle)
	}
	return p.at
}

func (p *pen) curve(command byte, from geom.Point) error {
	c1 := p.reflected('C', 'S')
	var err error
	if command != 'S' {
		if c1, err = p.point(from); err != nil {
			return err
		}
	}
	c2 := c1
	if command != 'Q' {
		if c2, err = p.point(from); err != nil {
			return err
		}
	}
	to, err := p.point(from)
	if err != nil {
		return err
	}
	if command == 'Q' {
		p.quadratic(c1, to)
	} else {
		p.add(geom.Segment{A: p.at, C1: c1, C2: c2, B: to, Curve: true})
		p.handle = c2
	}
	return nil
}

func (p *pen) quadratic(handle, to geom.Point) {
	p.add(geom.Segment{A: p.at, C1: p.at.Lerp(handle, 2.0/3), C2: to.Lerp(handle, 2.0/3), B: to, Curve: true})
	p.handle = handle
}

// line adds a line unless it goes nowhere.
func (p *pen) line(to geom.Point) {
	if to != p.at {
		p.add(geom.Segment{A: p.at, B: to})
	}
}

// add appends a segment; one whose points all lie on each other draws nothing.
func (p *pen) add(g geom.Segment) {
	if g.A == g.B && (!g.Curve || g.C1 == g.A && g.C2 == g.A) {
		return
	}
	p.now = append(p.now, g)
	p.parts++
	p.at = g.B
}
