package patternkit

import (
	"encoding/json"
	"errors"
	"fmt"

	"patternkit/patternkit/geom"
)

// jsonVersion counts the changes of the schema that an older reader would
// misread. Bounds of a file: far more than a garment has, and few enough to be
// read and checked in seconds.
const (
	jsonFormat       = "patternkit pattern"
	jsonVersion      = 1
	jsonMostBytes    = 16 << 20
	jsonMostPieces   = 1000
	jsonMostSegments = 5000 // of one piece
	jsonFarthest     = 1e6  // mm from the origin, 1 km
)

type jsonPattern struct {
	Format  string      `json:"format"`
	Version int         `json:"version"`
	Unit    string      `json:"unit"`
	Name    string      `json:"name"`
	Pieces  []jsonPiece `json:"pieces"`
	Seams   []jsonSeam  `json:"seams,omitempty"`
}

type jsonPiece struct {
	Name      string      `json:"name"`
	Part      int         `json:"part"`
	Edges     []jsonLine  `json:"edges"`
	Darts     []jsonDart  `json:"darts,omitempty"`
	Notches   []jsonNotch `json:"notches,omitempty"`
	Points    []jsonSpot  `json:"points,omitempty"`
	Drills    []jsonSpot  `json:"drill_holes,omitempty"`
	Internals []jsonLine  `json:"internal_lines,omitempty"`
	Grain     []jsonPoint `json:"grainline,omitempty"`
	Fold      string      `json:"fold,omitempty"`
	Quantity  int         `json:"quantity"`
	CutNote   string      `json:"cut_note,omitempty"`
	Material  string      `json:"material,omitempty"`

	Pleats     []jsonPleat       `json:"pleats,omitempty"`
	Pressed    []jsonSpot        `json:"darts_pressed_toward,omitempty"`
	Allowances []jsonAllowance   `json:"allowances,omitempty"`
	Everywhere *float64          `json:"allowance_everywhere,omitempty"`
	Origins    map[string]string `json:"edge_origins,omitempty"`
}

type jsonPleat struct {
	Name        string  `json:"name"`
	Kind        string  `json:"kind"`
	Mouth       string  `json:"mouth"`
	End         string  `json:"end,omitempty"`
	TowardStart bool    `json:"toward_start,omitempty"`
	Sewn        float64 `json:"sewn,omitempty"`
}

type jsonAllowance struct {
	Edge   string    `json:"edge"`
	Width  float64   `json:"width"`
	Corner string    `json:"corner"`
	Folds  []float64 `json:"folds,omitempty"`
}

type jsonPoint []float64

type jsonLine struct {
	Name  string      `json:"name"`
	Start jsonPoint   `json:"start"`
	To    [][]float64 `json:"to"`
}

type jsonSpot struct {
	Name string    `json:"name"`
	At   jsonPoint `json:"at"`
}

type jsonDart struct {
	Name  string    `json:"name"`
	Mouth string    `json:"mouth"`
	Tip   jsonPoint `json:"tip"`
}

type jsonNotch struct {
	Name   string  `json:"name"`
	Edge   string  `json:"edge"`
	At     float64 `json:"at"`
	Double bool    `json:"double,omitempty"`
}

type jsonSeam struct {
	Name string      `json:"name"`
	A    []jsonAlong `json:"a"`
	B    []jsonAlong `json:"b"`
	Ease float64     `json:"ease"`

	Shares []jsonShare `json:"ease_shares,omitempty"`
}

type jsonShare struct {
	Upto string  `json:"upto,omitempty"`
	Ease float64 `json:"ease"`
}

type jsonAlong struct {
	Piece    string `json:"piece"`
	Edge     string `json:"edge"`
	Reversed bool   `json:"reversed,omitempty"`
}

// JSONFile returns the pattern as a JSON file (RFC 8259) that PatternFromJSON
// reads back exactly, every coordinate to its last bit. All lengths are
// millimetres, x to the right and y up. A member in brackets is left out where
// there is nothing to say.
//
//	{ "format": "patternkit pattern", "version": 1, "unit": "mm",
//	  "name": text, "pieces": [piece…], ["seams": [seam…]] }
//	piece  { "name": text,
//	         "part": 0 to 999, pieces of one part are drawn level,
//	         "edges": [line…] counterclockwise, each from the end of the one before,
//	         ["darts": [{"name", "mouth": edge name, "tip": [x, y]}…]],
//	         ["notches": [{"name", "edge", "at": length along the edge, ["double": true]}…]],
//	         ["points": [{"name", "at": [x, y]}…]], ["drill_holes": the same],
//	         ["internal_lines": [line…]], ["grainline": [[x, y], [x, y]]],
//	         ["fold": edge name], "quantity": how often it is cut,
//	         ["cut_note": text], ["material": text],
//	         ["pleats": [{"name", "kind": "knife pleat", "box pleat", "inverted pleat" or "tuck",
//	             "mouth": edge name, ["end": edge name], ["toward_start": true], ["sewn": length]}…]],
//	         ["darts_pressed_toward": [{"name": of the dart, "at"}…]],
//	         ["allowances": [{"edge", "width", "corner": "mitred", "squared" or "folded back",
//	             ["folds": [width…]]}…]], ["allowance_everywhere": width],
//	         ["edge_origins": {edge name: the name it was drafted under}] }
//	line   { "name": text, "start": [x, y], "to": [part…] }, where a part is
//	         [x, y] for a straight line to that point or
//	         [x1, y1, x2, y2, x, y] for a cubic Bezier curve with two handles
//	seam   { "name": text, "a": [along…], "b": [along…], "ease": a less b,
//	         ["ease_shares": [{["upto": notch name], "ease"}…]] }
//	along  { "piece": text, "edge": text, ["reversed": true] }
//
// A pattern beyond what PatternFromJSON reads is an error: 1000 pieces, 5000
// lines and curves in a piece, 1 km from the origin, 16 MiB.
func (p Pattern) JSONFile() ([]byte, error) {
	out := jsonPattern{Format: jsonFormat, Version: jsonVersion, Unit: "mm", Name: p.name}
	for i, piece := range p.pieces {
		out.Pieces = append(out.Pieces, jsonOfPiece(piece, p.parts[i]))
	}
	for _, s := range p.seams {
		out.Seams = append(out.Seams, jsonOfSeam(s))
	}
	if err := out.check(); err != nil {
		return nil, fmt.Errorf("pattern %q as JSON: %w", p.name, err)
	}
	data, err := json.MarshalIndent(out, "", " ")
	if err != nil {
		return nil, fmt.Errorf("pattern %q as JSON: %w", p.name, err)
	}
	if data = append(data, '\n'); len(data) > jsonMostBytes {
		return nil, fmt.Errorf("pattern %q as JSON is of %d bytes, want at most %d", p.name, len(data), jsonMostBytes)
	}
	return data, nil
}

func jsonOfPiece(p Piece, part int) jsonPiece {
	out := jsonPiece{
		Name: p.name, Part: part, Fold: p.fold, Quantity: p.quantity, CutNote: p.cutNote, Material: p.material,
		Edges: jsonOfLines(p.edges), Internals: jsonOfLines(p.internals),
		Points: jsonOfSpots(p.points), Drills: jsonOfSpots(p.drills),
		Pressed: jsonOfSpots(p.pressed), Origins: p.origins,
	}
	for _, d := range p.darts {
		out.Darts = append(out.Darts, jsonDart{d.Name, d.Mouth, jsonOfPoint(d.Tip)})
	}
	for _, n := range p.notches {
		out.Notches = append(out.Notches, jsonNotch{n.Name, n.Edge, n.At.MM(), n.Double})
	}
	for _, pl := range p.pleats {
		out.Pleats = append(out.Pleats, jsonPleat{pl.Name, pl.Kind.String(), pl.Mouth, pl.End, pl.TowardStart, pl.Sewn.MM()})
	}
	for _, a := range p.allowances {
		out.Allowances = append(out.Allowances, jsonAllowance{a.Edge, a.Width.MM(), a.Corner.String(), jsonOfLengths(a.Folds)})
	}
	if p.hasEverywhere {
		out.Everywhere = new(p.everywhere.MM())
	}
	if p.hasGrain {
		out.Grain = []jsonPoint{jsonOfPoint(p.grain[0]), jsonOfPoint(p.grain[1])}
	}
	return out
}

func jsonOfSeam(s Seam) jsonSeam {
	out := jsonSeam{Name: s.Name, A: jsonOfSide(s.A), B: jsonOfSide(s.B), Ease: s.Ease.MM()}
	for _, share := range s.Shares {
		out.Shares = append(out.Shares, jsonShare{share.Upto, share.Ease.MM()})
	}
	return out
}

func jsonOfLengths(lengths []Length) []float64 {
	var out []float64
	for _, l := range lengths {
		out = append(out, l.MM())
	}
	return out
}

func jsonOfPoint(p Point) jsonPoint { return jsonPoint{p.X.MM(), p.Y.MM()} }

func jsonOfSpots(spots []NamedPoint) []jsonSpot {
	var out []jsonSpot
	for _, s := range spots {
		out = append(out, jsonSpot{s.Name, jsonOfPoint(s.At)})
	}
	return out
}

func jsonOfLines(edges []Edge) []jsonLine {
	var out []jsonLine
	for _, e := range edges {
		line := jsonLine{Name: e.Name, Start: jsonOfPoint(e.Path.Start())}
		for _, g := range e.Path.Segments() {
			line.To = append(line.To, jsonOfSegment(g))
		}
		out = append(out, line)
	}
	return out
}

func jsonOfSegment(g geom.Segment) []float64 {
	if !g.Curve {
		return jsonOfPoint(g.B)
	}
	return append(append(jsonOfPoint(g.C1), jsonOfPoint(g.C2)...), jsonOfPoint(g.B)...)
}

func jsonOfSide(side []Along) []jsonAlong {
	var out []jsonAlong
	for _, a := range side {
		out = append(out, jsonAlong(a))
	}
	return out
}

// check holds a file to its bounds, whichever way it goes.
func (f jsonPattern) check() error {
	if n := len(f.Pieces); n == 0 || n > jsonMostPieces {
		return fmt.Errorf("%d pieces, want 1 to %d", n, jsonMostPieces)
	}
	for i, p := range f.Pieces {
		at := fmt.Sprintf("pieces[%d]", i)
		segments := 0
		for _, lines := range [][]jsonLine{p.Edges, p.Internals} {
			for _, l := range lines {
				segments += len(l.To)
			}
		}
		if segments > jsonMostSegments {
			return fmt.Errorf("%s (%q) has %d lines and curves, want at most %d", at, p.Name, segments, jsonMostSegments)
		}
		if p.Part < 0 || p.Part >= jsonMostPieces {
			return fmt.Errorf("%s.part is %d, want 0 to %d", at, p.Part, jsonMostPieces-1)
		}
		if err := p.checkPlaces(at); err != nil {
			return err
		}
	}
	return f.checkSeams()
}

func (f jsonPattern) checkSeams() error {
	for i, s := range f.Seams {
		at := fmt.Sprintf("seams[%d]", i)
		if err := jsonWithin([]float64{s.Ease}, at+".ease"); err != nil {
			return err
		}
		for k, share := range s.Shares {
			if err := jsonWithin([]float64{share.Ease}, fmt.Sprintf("%s.ease_shares[%d]", at, k)); err != nil {
				return err
			}
		}
	}
	return nil
}

func (p jsonPiece) checkPlaces(at string) error {
	err := errors.Join(
		jsonCheckLines(p.Edges, at+".edges"), jsonCheckLines(p.Internals, at+".internal_lines"),
		jsonCheckSpots(p.Points, at+".points"), jsonCheckSpots(p.Drills, at+".drill_holes"),
		jsonCheckSpots(p.Pressed, at+".darts_pressed_toward"))
	if err != nil {
		return err
	}
	for i, d := range p.Darts {
		if err := d.Tip.check(fmt.Sprintf("%s.darts[%d].tip", at, i)); err != nil {
			return err
		}
	}
	for i, pl := range p.Pleats {
		if err := jsonWithin([]float64{pl.Sewn}, fmt.Sprintf("%s.pleats[%d].sewn", at, i)); err != nil {
			return err
		}
	}
	if len(p.Grain) != 0 && len(p.Grain) != 2 {
		return fmt.Errorf("%s.grainline has %d points, want its 2 ends", at, len(p.Grain))
	}
	for i, g := range p.Grain {
		if err := g.check(fmt.Sprintf("%s.grainline[%d]", at, i)); err != nil {
			return err
		}
	}
	return nil
}

func jsonCheckLines(lines []jsonLine, at string) error {
	for i, l := range lines {
		if err := l.check(fmt.Sprintf("%s[%d]", at, i)); err != nil {
			return err
		}
	}
	return nil
}

func jsonCheckSpots(spots []jsonSpot, at string) error {
	for i, s := range spots {
		if err := s.At.check(fmt.Sprintf("%s[%d].at", at, i)); err != nil {
			return err
		}
	}
	return nil
}

func (l jsonLine) check(at string) error {
	if err := l.Start.check(at + ".start"); err != nil {
		return err
	}
	for i, to := range l.To {
		if len(to) != 2 && len(to) != 6 {
			return fmt.Errorf("%s.to[%d] has %d numbers, want 2 for a line or 6 for a curve", at, i, len(to))
		}
		if err := jsonWithin(to, fmt.Sprintf("%s.to[%d]", at, i)); err != nil {
			return err
		}
	}
	return nil
}

func (p jsonPoint) check(at string) error {
	if len(p) != 2 {
		return fmt.Errorf("%s has %d numbers, want x and y", at, len(p))
	}
	return jsonWithin(p, at)
}

func jsonWithin(numbers []float64, at string) error {
	for _, v := range numbers {
		if !(v >= -jsonFarthest && v <= jsonFarthest) {
			return fmt.Errorf("%s is at %g mm, want at most %g mm from the origin", at, v, float64(jsonFarthest))
		}
	}
	return nil
}
