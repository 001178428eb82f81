package patternkit

import (
	"bytes"
	"strings"
	"testing"
)

// The true-scale drawing of a pattern has its stitch lines as they are, to the
// decimals that are written.
func TestOutlinesFromOwnSVGFile(t *testing.T) {
	p := panelAlone(t)
	file, err := p.SVGFile()
	if err != nil {
		t.Fatal(err)
	}
	edges, err := OutlinesFromSVG(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	hem := p.pieces[0].edges[0].Path.Length()
	for _, e := range edges {
		if l := e.Path.Length(); (l - hem).Abs() < 0.01*MM {
			return
		}
	}
	t.Errorf("none of %d outlines is as long as the hem, %s", len(edges), hem)
}

func TestOutlinesFromSVGNames(t *testing.T) {
	edges, err := OutlinesFromSVG(strings.NewReader(`<svg width="10mm" height="10mm" viewBox="0 0 10 10"><path id="front" d="M0 10H5V0z"/><rect width="3" height="3"/></svg>`))
	if err != nil || len(edges) != 2 || edges[0].Name != "front" || edges[1].Name != "rect" {
		t.Fatalf("%v, %v", edges, err)
	}
	if _, err := NewPiece("front", edges[0]); err != nil {
		t.Error(err)
	}
	_, err = OutlinesFromSVG(strings.NewReader("<svg>\n<path d='M1'/>\n</svg>"))
	wantError(t, err, "SVG, line 2: <path>: d, character 3: want a number")
}
