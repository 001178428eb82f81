package patternkit

import (
	"fmt"
	"math"

	"patternkit/patternkit/geom"
)

// A Trace is the outline of a piece as it was traced: from a scan, or through
// points read off squared paper. It wobbles as the hand did.
type Trace struct {
	// Outline runs once around, in either direction. Ends up to 2 cm apart are
	// joined by a line.
	Outline Path
	// Edges say for each edge its name and about where it begins, one after
	// the other counterclockwise. The corner is where the trace turns most
	// within 1.5 cm of there; where nothing turns by 20° it is there itself.
	Edges []NamedPoint
	// Fold is the edge that lies on the fold, drawn straight; the edges beside
	// it meet it at a right angle. "" is none.
	Fold string
	// Within is how far a fair edge may leave the traced one, 0.1 mm to 1 cm.
	// What the hand wobbled should fit into it, 1.5*MM or so.
	Within Length
}

// How corners of a trace are sought (common practice, no source).
const (
	traceReach   = 15 * MM // around the place that is named
	traceArm     = 8 * MM  // over which a turn is measured
	traceGap     = 20 * MM // between the ends of an outline
	traceLongest = 100 * M // more than any piece is around
	traceSharp   = 20 * Degree
	traceSamples = 64 // along an edge
)

// A tracedEdge is an edge as traced and as drawn fair.
type tracedEdge struct {
	name         string
	traced, fair Path
	off          Length // the farthest that the two are apart
	at           Point  // where
}

// Piece returns the trace as a piece of fair edges: each a straight line where
// one stays Within of the trace, else one curve with a single sweep, which
// comes as near to the trace as such a curve can. It is an error, which tells
// how far and where, when that leaves the trace by more than Within: the edge
// has a corner in it that wants a name, or the hand wobbled by more.
func (t Trace) Piece(name string) (Piece, error) {
	traced, err := t.drawn()
	if err != nil {
		return Piece{}, fmt.Errorf("trace of %q: %w", name, err)
	}
	edges := make([]Edge, len(traced))
	for i, e := range traced {
		edges[i] = Edge{e.name, e.fair}
	}
	p, err := NewPiece(name, edges...)
	if err != nil || t.Fold == "" {
		return p, err
	}
	return p.WithFold(t.Fold)
}

// Table lists each edge: how long as traced and as drawn fair, and how far the
// two are apart at most. It fails where Piece does.
func (t Trace) Table() (Table, error) {
	traced, err := t.drawn()
	if err != nil {
		return Table{}, fmt.Errorf("trace: %w", err)
	}
	table := Table{Title: "Traced and drawn fair", Columns: []Column{{Head: "Edge"}, {Head: "Drawn"},
		{Head: "Traced (cm)", Number: true}, {Head: "Fair (cm)", Number: true}, {Head: "Apart (mm)", Number: true}}}
	for _, e := range traced {
		drawn := "straight"
		if e.fair.Segments()[0].Curve {
			drawn = "curved"
		}
		table.Rows = append(table.Rows, []string{e.name, drawn, inCM(e.traced.Length()), inCM(e.fair.Length()), fmt.Sprintf("%.1f", e.off.MM())})
	}
	table.Notes = []string{fmt.Sprintf("A fair edge may leave the trace by %.1f mm at most.", t.Within.MM())}
	return table, nil
}

// drawn parts the trace at its corners and draws each edge fair.
func (t Trace) drawn() ([]tracedEdge, error) {
	if err := checkRange("trace", "Within", t.Within, 0.1*MM, 1*CM); err != nil {
		return nil, err
	}
	outline, err := t.closed()
	if err != nil {
		return nil, err
	}
	corners, err := t.corners(outline)
	if err != nil {
		return nil, err
	}
	fold, folds := t.foldDirection(outline, corners)
	if t.Fold != "" && !folds {
		return nil, fmt.Errorf("no edge is named %q, which is to lie on the fold", t.Fold)
	}
	n := len(corners)
	edges := make([]tracedEdge, n)
	for i := range edges {
		e := tracedEdge{name: t.Edges[i].Name, traced: traceSpan(outline, corners[i], corners[(i+1)%n])}
		f := traceFit{path: e.traced}
		if folds && t.Edges[(i+n-1)%n].Name == t.Fold {
			f.leave = &fold
		}
		if folds && t.Edges[(i+1)%n].Name == t.Fold {
			f.arrive = &fold
		}
		if e.fair, e.off, e.at, err = f.fair(t.Within, e.name == t.Fold); err != nil {
			return nil, fmt.Errorf("edge %q: %w", e.name, err)
		}
		if e.off > t.Within {
			return nil, fmt.Errorf("edge %q drawn fair leaves the trace by %.1f mm at %s, want at most %.1f mm: name the corner that it has there, trace again, or allow more by Within",
				e.name, e.off.MM(), place(e.at), t.Within.MM())
		}
		edges[i] = e
	}
	return edges, nil
}

// closed returns the outline counterclockwise with its ends joined.
func (t Trace) closed() (Path, error) {
	p := t.Outline
	if p.Empty() || !p.Finite() {
		return Path{}, fmt.Errorf("the outline is %v, want a path once around the piece with finite coordinates", p)
	}
	if gap := p.Start().Dist(p.End()); gap > traceGap {
		return Path{}, fmt.Errorf("the outline begins at %s and ends %s away at %s, want ends within %s of each other", place(p.Start()), gap, place(p.End()), traceGap)
	} else if gap > joinTolerance {
		var err error
		if p, err = p.Append(Line(p.End(), p.Start())); err != nil {
			return Path{}, err
		}
	}
	if p.Area() < 0 {
		p = p.Reversed()
	}
	if l := p.Length(); !(l >= 4*traceReach && l <= traceLongest) {
		return Path{}, fmt.Errorf("the outline is %s long, want %s to %s; a bare number is millimetres", l, 4*traceReach, traceLongest)
	}
	return p, nil
}

// corners returns where each edge begins, as lengths along the outline.
func (t Trace) corners(outline Path) ([]Length, error) {
	if len(t.Edges) < 2 {
		return nil, fmt.Errorf("%d edges are named, want at least 2", len(t.Edges))
	}
	whole := outline.Length()
	at := make([]Length, len(t.Edges))
	var around Length
	for i, e := range t.Edges {
		s, on := outline.Nearest(e.At)
		if d := on.Dist(e.At); !(d <= traceReach) {
			return nil, fmt.Errorf("edge %q begins at %s, which is %s from the trace, want a place within %s of it", e.Name, place(e.At), d, traceReach)
		}
		at[i] = traceCorner(outline, s)
		if i > 0 {
			step := traceWrap(at[i]-at[i-1], whole)
			if around += step; step < traceArm || around > whole-traceArm {
				return nil, fmt.Errorf("edge %q begins at %s, not after edge %q by counterclockwise, want the edges in that order and %s or longer",
					e.Name, place(outline.At(at[i])), t.Edges[i-1].Name, traceArm)
			}
		}
	}
	return at, nil
}

// traceCorner is where the outline turns most near s.
func traceCorner(outline Path, s Length) Length {
	whole := outline.Length()
	at := func(s Length) Point { return outline.At(traceWrap(s, whole)) }
	best, sharpest := s, float64(traceSharp)
	for d := -traceReach; d <= traceReach; d += 0.25 * MM {
		here := at(s + d)
		turn := math.Abs(float64(here.Sub(at(s + d - traceArm)).AngleTo(at(s + d + traceArm).Sub(here))))
		if turn > sharpest {
			best, sharpest = s+d, turn
		}
	}
	return traceWrap(best, whole)
}

// traceWrap is a length along a closed outline as one from its start.
func traceWrap(s, whole Length) Length {
	s = Length(math.Mod(float64(s), float64(whole)))
	if s < 0 {
		s += whole
	}
	return s
}

// traceSpan is the outline from one corner to the next as a chain of lines
// between even samples, so that every part of it weighs the same.
func traceSpan(outline Path, from, to Length) Path {
	whole := outline.Length()
	span := traceWrap(to-from, whole)
	points := make([]Point, traceSamples+1)
	for i := range points {
		points[i] = outline.At(traceWrap(from+span*Length(i)/traceSamples, whole))
	}
	return geom.Polyline(points...)
}

// foldDirection is the direction of the edge on the fold.
func (t Trace) foldDirection(outline Path, corners []Length) (Point, bool) {
	for i, e := range t.Edges {
		if t.Fold != "" && e.Name == t.Fold {
			return outline.At(corners[(i+1)%len(corners)]).Sub(outline.At(corners[i])).Unit(), true
		}
	}
	return Point{}, false
}
