package patternkit

import (
	"io"

	"patternkit/patternkit/drawing/svgpath"
)

// OutlinesFromSVG reads the paths and basic shapes of an SVG drawing, each
// subpath by itself, with their transforms, at their size by width, height and
// viewBox; a user unit without those is a pixel of 1/96 in. Each comes in
// millimetres, y up from the lower left corner of the drawing, under the id of
// its element, or its kind ("path"). Errors tell the line of the file: no SVG,
// cut short, a command or number that is none, sizes in %, "use", entities of
// the file's own, more than 200,000 lines and curves or 64 MiB.
func OutlinesFromSVG(r io.Reader) ([]Edge, error) {
	read, err := svgpath.Read(r)
	if err != nil {
		return nil, err
	}
	edges := make([]Edge, len(read))
	for i, o := range read {
		edges[i] = Edge{o.Name, o.Path}
	}
	return edges, nil
}
