package patternkit

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"patternkit/patternkit/geom"
)

// WithAllowances returns p with an allowance of that width on every edge of
// every piece, and those given on the edges they name, on every piece that has
// such an edge: seams 1.5 cm, and 1 cm on every "neckline". An edge that no
// piece has is an error. An edge cut or renamed by a style operation counts as
// the edge that it comes from.
func (p Pattern) WithAllowances(everywhere Length, allowances ...Allowance) (Pattern, error) {
	pieces := p.Pieces()
	used := make([]bool, len(allowances))
	for i, piece := range pieces {
		var err error
		if piece, err = piece.WithAllowanceEverywhere(everywhere); err != nil {
			return Pattern{}, err
		}
		for k, a := range allowances {
			named := a.Edge
			for _, edge := range piece.EdgeNames() {
				if edge != named && piece.origins[edge] != named {
					continue
				}
				a.Edge = edge
				if piece, err = piece.WithAllowance(a); err != nil {
					return Pattern{}, err
				}
				used[k] = true
			}
		}
		pieces[i] = piece
	}
	if k := slices.Index(used, false); k >= 0 {
		return Pattern{}, fmt.Errorf("pattern %q: no piece has an edge %q for an allowance of %s, they have %s",
			p.name, allowances[k].Edge, allowances[k], quoted(p.edgeNames()))
	}
	return p.withSeams(p.seams, pieces...)
}

// edgeNames are those of all pieces but for dart mouths, each once.
func (p Pattern) edgeNames() []string {
	var names []string
	for _, piece := range p.pieces {
		for _, name := range piece.EdgeNames() {
			if !piece.isMouth(name) && !slices.Contains(names, name) {
				names = append(names, name)
			}
		}
	}
	return names
}

// CutArea returns the area of cloth in mm² that all pieces have together, each
// as often as it is cut and opened out where it is on the fold. What falls
// between them on the cloth is not in it.
func (p Pattern) CutArea() (float64, error) {
	var sum float64
	for _, piece := range p.pieces {
		area, err := piece.CutArea()
		if err != nil {
			return 0, err
		}
		sum += area * float64(piece.quantity)
	}
	return sum, nil
}

// CuttingList returns what the cutter needs to know of each piece: how often
// and from what it is cut, how it lies to the grain, its allowances, and the
// width and height in cm of its cut line as it lies, grainline upright, a piece
// on the fold folded. Errors are those of CutLine.
func (p Pattern) CuttingList() (Table, error) {
	t := Table{
		Title: "Cutting list of " + p.name,
		Columns: []Column{{Head: "Piece"}, {Head: "Cut", Number: true}, {Head: "How"}, {Head: "Cloth"}, {Head: "Grain"},
			{Head: "Allowances"}, {Head: "Width (cm)", Number: true}, {Head: "Height (cm)", Number: true}},
	}
	for _, piece := range p.pieces {
		cut, err := piece.CutLine()
		if err != nil {
			return Table{}, err
		}
		if piece.hasGrain {
			cut = cut.Transformed(piece.grainUpright())
		}
		how := strings.TrimPrefix(strings.TrimPrefix(piece.cutWords(), fmt.Sprintf("cut %d", piece.quantity)), ", ")
		box := cut.Bounds()
		t.Rows = append(t.Rows, []string{piece.name, fmt.Sprint(piece.quantity), how, piece.material, piece.grainWords(),
			piece.allowanceWords(), fmt.Sprintf("%.1f", box.Width().CM()), fmt.Sprintf("%.1f", box.Height().CM())})
	}
	area, err := p.CutArea()
	if err != nil {
		return Table{}, err
	}
	t.Notes = []string{fmt.Sprintf("The pieces have %.2f m² together; the cloth to buy is more, by what falls between them.", area/1e6)}
	return t, nil
}

// allowanceWords groups the allowances of a piece by width: "1.5 cm; waist 4
// cm folded back; neckline none".
func (p Piece) allowanceWords() string {
	var groups []string
	edges := map[string][]string{}
	for _, a := range p.Allowances() {
		if a.Edge == p.fold {
			continue
		}
		s := a.String()
		if edges[s] == nil {
			groups = append(groups, s)
		}
		edges[s] = append(edges[s], a.Edge)
	}
	most := ""
	for _, s := range groups {
		if len(edges[s]) > len(edges[most]) {
			most = s
		}
	}
	words := []string{most}
	for _, s := range groups {
		if s != most {
			words = append(words, strings.Join(edges[s], ", ")+" "+s)
		}
	}
	return strings.Join(words, "; ")
}

// grainWords says how the grainline lies.
func (p Piece) grainWords() string {
	a, b, ok := p.Grainline()
	if !ok {
		return "none marked"
	}
	if fold, err := p.Edge(p.fold); err == nil {
		along := fold[0].Path.End().Sub(fold[0].Path.Start()).Unit()
		if off := math.Abs(along.Cross(b.Sub(a).Unit())); off < math.Sin(0.5*math.Pi/180) {
			return "along the fold"
		}
	}
	return "as marked"
}

// grainUpright turns a piece as it is drawn.
func (p Piece) grainUpright() Transform {
	a, b, _ := p.Grainline()
	return geom.Rotate(a, b.Sub(a).AngleTo(Pt(0, 1)))
}
