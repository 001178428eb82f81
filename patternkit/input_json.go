package patternkit

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"

	"patternkit/patternkit/geom"
)

// PatternFromJSON reads the pattern that JSONFile wrote, by the schema told
// there. What is read is checked as NewPiece, NewPattern and the With methods
// check it. An error tells the line and column in the file, or the member
// ("pieces[2].edges[0].to[1]"), and what would do.
func PatternFromJSON(data []byte) (Pattern, error) {
	if len(data) > jsonMostBytes {
		return Pattern{}, fmt.Errorf("a pattern in JSON of %d bytes, want at most %d", len(data), jsonMostBytes)
	}
	var file jsonPattern
	decoder := json.NewDecoder(bytes.NewReader(data))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(&file); err != nil {
		return Pattern{}, jsonPlace(data, decoder.InputOffset(), err)
	}
	if _, err := decoder.Token(); !errors.Is(err, io.EOF) {
		return Pattern{}, jsonPlace(data, decoder.InputOffset(), errors.New("more after the end of the pattern, want one pattern in a file"))
	}
	if err := file.checkHead(); err != nil {
		return Pattern{}, fmt.Errorf("pattern in JSON: %w", err)
	}
	p, err := file.pattern()
	if err != nil {
		return Pattern{}, fmt.Errorf("pattern in JSON: %w", err)
	}
	return p, nil
}

// jsonPlace adds to an error the line and column where it came up.
func jsonPlace(data []byte, offset int64, err error) error {
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	switch {
	case errors.As(err, &syntax):
		offset = syntax.Offset - 1 // it counts the letter that is wrong
	case errors.As(err, &kind):
		offset = kind.Offset
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		offset, err = int64(len(data)), errors.New("the file ends before the pattern does")
	}
	before := data[:min(max(offset, 0), int64(len(data)))]
	line := bytes.Count(before, []byte("\n")) + 1
	column := len(before) - bytes.LastIndexByte(before, '\n')
	return fmt.Errorf("pattern in JSON, line %d column %d: %w", line, column, err)
}

func (f jsonPattern) checkHead() error {
	switch {
	case f.Format != jsonFormat:
		return fmt.Errorf("format is %q, want %q", f.Format, jsonFormat)
	case f.Version != jsonVersion:
		return fmt.Errorf("version is %d, want %d, the one read here", f.Version, jsonVersion)
	case f.Unit != "mm":
		return fmt.Errorf("unit is %q, want \"mm\"", f.Unit)
	}
	return f.check()
}

func (f jsonPattern) pattern() (Pattern, error) {
	var parts []Part
	for i, in := range f.Pieces {
		piece, err := in.piece()
		if err != nil {
			return Pattern{}, fmt.Errorf("pieces[%d]: %w", i, err)
		}
		parts = append(parts, piece)
	}
	for _, s := range f.Seams {
		seam := Seam{Name: s.Name, A: jsonSide(s.A), B: jsonSide(s.B), Ease: Length(s.Ease)}
		for _, share := range s.Shares {
			seam.Shares = append(seam.Shares, EaseShare{share.Upto, Length(share.Ease)})
		}
		parts = append(parts, seam)
	}
	p, err := NewPattern(f.Name, parts...)
	if err != nil {
		return Pattern{}, err
	}
	for i, in := range f.Pieces {
		p.parts[i] = in.Part
	}
	return p, nil
}

func jsonSide(side []jsonAlong) []Along {
	var out []Along
	for _, a := range side {
		out = append(out, Along(a))
	}
	return out
}

// piece makes the piece by the ways that a cell makes it, so that the same
// checks hold.
func (in jsonPiece) piece() (Piece, error) {
	edges, err := jsonEdges(in.Edges, "edges")
	if err != nil {
		return Piece{}, err
	}
	if err := checkTangle(in.Name, edges); err != nil {
		return Piece{}, err
	}
	p, err := NewPiece(in.Name, edges...)
	if err != nil {
		return Piece{}, err
	}
	for i, d := range in.Darts {
		if p, err = p.WithDart(Dart{d.Name, d.Mouth, d.Tip.point()}); err != nil {
			return Piece{}, fmt.Errorf("darts[%d]: %w", i, err)
		}
	}
	for i, n := range in.Notches {
		if p, err = p.WithNotch(Notch{n.Name, n.Edge, Length(n.At), n.Double}); err != nil {
			return Piece{}, fmt.Errorf("notches[%d]: %w", i, err)
		}
	}
	for i, s := range in.Points {
		if p, err = p.WithPoint(s.Name, s.At.point()); err != nil {
			return Piece{}, fmt.Errorf("points[%d]: %w", i, err)
		}
	}
	for i, s := range in.Drills {
		if p, err = p.WithDrillHole(s.Name, s.At.point()); err != nil {
			return Piece{}, fmt.Errorf("drill_holes[%d]: %w", i, err)
		}
	}
	if p, err = in.folded(p); err != nil {
		return Piece{}, err
	}
	return in.marked(p)
}

// folded adds pleats, pressed darts and allowances. They come before the fold,
// as a piece may be laid on the fold after its allowances were said.
func (in jsonPiece) folded(p Piece) (Piece, error) {
	for i, pl := range in.Pleats {
		kind, err := jsonWord(pl.Kind, KnifePleat, Tuck)
		if err == nil {
			p, err = p.WithPleat(Pleat{pl.Name, kind, pl.Mouth, pl.End, pl.TowardStart, Length(pl.Sewn)})
		}
		if err != nil {
			return Piece{}, fmt.Errorf("pleats[%d]: %w", i, err)
		}
	}
	var err error
	for i, s := range in.Pressed {
		if p, err = p.WithDartPressed(s.Name, s.At.point()); err != nil {
			return Piece{}, fmt.Errorf("darts_pressed_toward[%d]: %w", i, err)
		}
	}
	for i, a := range in.Allowances {
		corner, err := jsonWord(a.Corner, Mitred, FoldedBack)
		allowance := Allowance{Edge: a.Edge, Width: Length(a.Width), Corner: corner}
		for _, f := range a.Folds {
			allowance.Folds = append(allowance.Folds, Length(f))
		}
		if err == nil {
			p, err = p.WithAllowance(allowance)
		}
		if err != nil {
			return Piece{}, fmt.Errorf("allowances[%d]: %w", i, err)
		}
	}
	if in.Everywhere != nil {
		if p, err = p.WithAllowanceEverywhere(Length(*in.Everywhere)); err != nil {
			return Piece{}, fmt.Errorf("allowance_everywhere: %w", err)
		}
	}
	for edge, from := range in.Origins {
		if strings.TrimSpace(edge) == "" || strings.TrimSpace(from) == "" {
			return Piece{}, fmt.Errorf("edge_origins: edge %q comes from %q, want two names", edge, from)
		}
	}
	if len(in.Origins) > 0 {
		p.origins = in.Origins
	}
	return p, nil
}

// jsonWord finds the value from first to last that is written so.
func jsonWord[T interface {
	~int
	String() string
}](word string, first, last T) (T, error) {
	var words []string
	for v := first; v <= last; v++ {
		if v.String() == word {
			return v, nil
		}
		words = append(words, v.String())
	}
	return first, fmt.Errorf("%q is not one of %s", word, quoted(words))
}

// marked adds what is written on a piece.
func (in jsonPiece) marked(p Piece) (Piece, error) {
	lines, err := jsonEdges(in.Internals, "internal_lines")
	if err != nil {
		return Piece{}, err
	}
	for i, l := range lines {
		if p, err = p.WithInternal(l.Name, l.Path); err != nil {
			return Piece{}, fmt.Errorf("internal_lines[%d]: %w", i, err)
		}
	}
	if len(in.Grain) == 2 {
		if p, err = p.WithGrainline(in.Grain[0].point(), in.Grain[1].point()); err != nil {
			return Piece{}, fmt.Errorf("grainline: %w", err)
		}
	}
	if in.Fold != "" {
		if p, err = p.WithFold(in.Fold); err != nil {
			return Piece{}, err
		}
	}
	if p, err = p.WithQuantity(in.Quantity, in.CutNote); err != nil {
		return Piece{}, fmt.Errorf("quantity: %w", err)
	}
	return p.WithMaterial(in.Material), nil
}

func (p jsonPoint) point() Point { return Pt(Length(p[0]), Length(p[1])) }

func jsonEdges(lines []jsonLine, list string) ([]Edge, error) {
	var out []Edge
	for i, l := range lines {
		path, err := l.path()
		if err != nil {
			return nil, fmt.Errorf("%s[%d]: %w", list, i, err)
		}
		out = append(out, Edge{l.Name, path})
	}
	return out, nil
}

func (l jsonLine) path() (Path, error) {
	segments := make([]geom.Segment, len(l.To))
	from := l.Start.point()
	for i, to := range l.To {
		g := geom.Segment{A: from, B: jsonPoint(to[len(to)-2:]).point()}
		if len(to) == 6 {
			g.C1, g.C2, g.Curve = jsonPoint(to[0:2]).point(), jsonPoint(to[2:4]).point(), true
		}
		segments[i], from = g, g.B
	}
	return geom.PathOf(segments...)
}
