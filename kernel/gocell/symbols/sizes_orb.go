package symbols

import (
	"math"
	"reflect"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/maptile"
)

const inOrb = "github.com/paulmach/orb/"

var orbSizes = map[string]size{
	inOrb + "resample.Resample":                  counted(16, 2),
	inOrb + "resample.ToInterval":                resampled,
	inOrb + "quadtree.Quadtree.KNearest":         counted(40, 3),
	inOrb + "quadtree.Quadtree.KNearestMatching": counted(40, 3),
	inOrb + "maptile.ChildrenInZoomRange": func(a []reflect.Value) float64 {
		return 24 * math.Pow(4, number(a[2])-float64(of[maptile.Tile](a[0]).Z))
	},
	inOrb + "maptile/tilecover.Bound":           func(a []reflect.Value) float64 { return tiles(of[orb.Bound](a[0]), a[1]) },
	inOrb + "maptile/tilecover.Collection":      covered,
	inOrb + "maptile/tilecover.Geometry":        covered,
	inOrb + "maptile/tilecover.LineString":      covered,
	inOrb + "maptile/tilecover.MultiLineString": covered,
	inOrb + "maptile/tilecover.MultiPolygon":    covered,
	inOrb + "maptile/tilecover.Polygon":         covered,
	inOrb + "maptile/tilecover.Ring":            covered,
}

// resampled is a line with a point at each step of a length.
func resampled(a []reflect.Value) (n float64) {
	line, distance, step := of[orb.LineString](a[0]), of[orb.DistanceFunc](a[1]), number(a[2])
	if distance == nil || step <= 0 {
		return 0
	}
	for i := 1; i < len(line); i++ {
		n += distance(line[i-1], line[i])
	}
	return 16 * n / step
}

// covered is a set of the tiles under a geometry: those along a line, all of an area.
func covered(a []reflect.Value) float64 {
	g := of[orb.Geometry](a[0])
	if g == nil {
		return 0
	}
	return tilesOf(g, a[1])
}

func tilesOf(g orb.Geometry, zoom reflect.Value) (n float64) {
	switch g := g.(type) {
	case orb.Collection:
		for _, part := range g {
			n += tilesOf(part, zoom)
		}
		return n
	case orb.MultiLineString:
		for _, part := range g {
			n += tilesOf(part, zoom)
		}
		return n
	case orb.LineString:
		for i := 1; i < len(g); i++ {
			w, h := tileSpan(orb.MultiPoint{g[i-1], g[i]}.Bound(), zoom)
			n += tileBytes * (w + h + 1)
		}
		return n
	case orb.Point, orb.MultiPoint, nil:
		return 0
	}
	return tiles(g.Bound(), zoom)
}

// tileBytes is what a tile takes in a set.
const tileBytes = 32

func tiles(b orb.Bound, zoom reflect.Value) float64 {
	w, h := tileSpan(b, zoom)
	return tileBytes * (w + 1) * (h + 1)
}

// tileSpan is the width and height of a bound in tiles.
func tileSpan(b orb.Bound, zoom reflect.Value) (w, h float64) {
	z := maptile.Zoom(zoom.Uint())
	p, q := maptile.Fraction(b.Min, z), maptile.Fraction(b.Max, z)
	return math.Abs(q[0] - p[0]), math.Abs(q[1] - p[1])
}
