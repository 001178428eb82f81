package patternkit

import (
	"fmt"
	"strings"
)

// An Edge is a stretch of a piece's stitch line with its trade name: "armhole",
// "side seam". Several edges of one piece may share a name: they are the parts
// of one trade edge, separated by dart mouths, and are measured as one with
// the darts closed.
type Edge struct {
	Name string
	Path Path
}

// joinTolerance is how near edges must end to each other to be chained. Edges
// of a draft are built from the same points, so only rounding separates them.
const joinTolerance Length = 1e-6

// shortestEdge is the least that can be seen, let alone cut or sewn.
const shortestEdge = 0.01 * MM

// checkEdges says what stops edges from being an outline: one chain, closed,
// counterclockwise and simple.
func checkEdges(piece string, edges []Edge) (Path, error) {
	if len(edges) == 0 {
		return Path{}, fmt.Errorf("piece %q has no edges, want at least one closed edge", piece)
	}
	paths := make([]Path, len(edges))
	for i, e := range edges {
		if err := checkEdge(piece, i, e); err != nil {
			return Path{}, err
		}
		paths[i] = e.Path
	}
	if err := checkChain(piece, edges); err != nil {
		return Path{}, err
	}
	outline, err := paths[0].Append(paths[1:]...)
	if err != nil {
		return Path{}, fmt.Errorf("piece %q: %w", piece, err)
	}
	if a := outline.Area(); a <= 0 {
		return Path{}, fmt.Errorf("piece %q runs clockwise from edge %q (area %.1f cm²), want counterclockwise: "+
			"reverse each edge and their order", piece, edges[0].Name, a/100)
	}
	if crossings := outline.SelfCrossings(); len(crossings) > 0 {
		c := crossings[0]
		return Path{}, fmt.Errorf("piece %q crosses itself at %s: edge %q meets edge %q there, want an outline that touches itself nowhere",
			piece, place(c.At), edgeAt(edges, c.S), edgeAt(edges, c.T))
	}
	return outline, nil
}

func checkEdge(piece string, i int, e Edge) error {
	switch {
	case strings.TrimSpace(e.Name) == "":
		return fmt.Errorf("piece %q: edge %d of the outline has no name, want a trade name such as \"side seam\"", piece, i+1)
	case e.Path.Empty():
		return fmt.Errorf("piece %q: edge %q is empty, want a line or a curve", piece, e.Name)
	case !e.Path.Finite():
		return fmt.Errorf("piece %q: edge %q has a coordinate that is not a number or is infinite", piece, e.Name)
	case e.Path.Length() < shortestEdge:
		return fmt.Errorf("piece %q: edge %q is %s long, want at least %s", piece, e.Name, e.Path.Length(), shortestEdge)
	}
	return nil
}

func checkChain(piece string, edges []Edge) error {
	for i, e := range edges {
		next := edges[(i+1)%len(edges)]
		end, start := e.Path.End(), next.Path.Start()
		gap := end.Dist(start)
		if gap <= joinTolerance {
			continue
		}
		what := "so the outline is not one chain"
		if i == len(edges)-1 {
			what = "so the outline is not closed"
		}
		return fmt.Errorf("piece %q: edge %q ends at %s but edge %q starts %s away at %s, %s",
			piece, e.Name, place(end), next.Name, gap, place(start), what)
	}
	return nil
}

// edgeAt names the edge of an outline that holds the point at length s.
func edgeAt(edges []Edge, s Length) string {
	for _, e := range edges {
		l := e.Path.Length()
		if s <= l {
			return e.Name
		}
		s -= l
	}
	return edges[len(edges)-1].Name
}
