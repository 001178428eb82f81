package patternkit

import (
	"bytes"
	"fmt"
	"image"
	"math"
	"regexp"
	"testing"
)

// onlyLayer is the document with all layers off but one when it is opened (ISO
// 32000-1, 8.11.4.3), of the same length.
func onlyLayer(t *testing.T, pdf []byte, layer, layers int) []byte {
	t.Helper()
	found := regexp.MustCompile(`/OFF \[\] /Order \[([0-9R ]+)\]`).FindSubmatch(pdf)
	if found == nil {
		t.Fatal("the document lists no layers")
	}
	refs := regexp.MustCompile(`[0-9]+ 0 R`).FindAll(found[1], -1)
	if len(refs) != layers {
		t.Fatalf("%d layers, want one for each of %d sizes", len(refs), layers)
	}
	refs = append(refs[:layer:layer], refs[layer+1:]...)
	off := fmt.Appendf(nil, "/OFF [%s] /Order []", bytes.Join(refs, []byte(" ")))
	if len(off) > len(found[0]) {
		t.Fatal("the list of hidden layers does not fit")
	}
	off = append(off, bytes.Repeat([]byte(" "), len(found[0])-len(off))...)
	return bytes.Replace(pdf, found[0], off, 1)
}

// ownPlaces are places on the rim of each size at least 4 mm from the rims of
// all others, in the drawing.
func ownPlaces(n *outputNest, boxes []boxed) [][]Point {
	own := make([][]Point, len(n.graded.sizes))
	for i, sizes := range n.pieces {
		for k, p := range sizes {
			rim := p.rim()
			for at := 5 * MM; at < rim.Length(); at += 10 * MM {
				q, near := rim.At(at), Length(math.Inf(1))
				for other, o := range sizes {
					if other != k {
						_, on := o.rim().Nearest(q)
						near = min(near, on.Dist(q))
					}
				}
				if near > 4*MM {
					own[k] = append(own[k], q.Add(boxes[i].move()))
				}
			}
		}
	}
	return own
}

// darkShare is the share of places, in pixels, at or beside which a picture is
// dark.
func darkShare(img *image.Gray, places []Point) float64 {
	dark := 0
	for _, q := range places {
		x, y := int(q.X), int(q.Y)
		least := byte(255)
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				least = min(least, img.GrayAt(x+dx, y+dy).Y)
			}
		}
		if least < 0xa0 {
			dark++
		}
	}
	return float64(dark) / float64(len(places))
}

// With all layers of a printed nest hidden but one, an outside reader shows
// that size alone.
func TestEachSizePrintsAlone(t *testing.T) {
	_, all := gradedMisses(t)
	g := Graded{name: all.name, base: 1, sizes: []gradedSize{all.sizes[2], all.sizes[6], all.sizes[11]}}
	printed, err := g.Print(A0)
	if err != nil {
		t.Fatal(err)
	}
	if printed.Pages != 1 {
		t.Fatalf("%d pages of A0, want 1", printed.Pages)
	}
	nest := g.outputNest()
	boxes := layTrueScale(nest.boxes(), pageRoom(paperSizes[A0], printed.Landscape), pieceGap)
	middle := nest.draw(boxes).Bounds().Center()
	own := ownPlaces(nest, boxes)
	const dpi = 60
	for only := range g.sizes {
		img := renderPage(t, onlyLayer(t, printed.File, only, len(g.sizes)), 2, dpi)
		for k, places := range own {
			if len(places) < 30 {
				t.Fatalf("size %s lies apart at %d places only", g.sizes[k].name, len(places))
			}
			pixels := make([]Point, len(places))
			for i, q := range places {
				d := q.Sub(middle).Scale(dpi / 25.4)
				pixels[i] = Pt(Length(img.Bounds().Dx())/2+d.X, Length(img.Bounds().Dy())/2-d.Y)
			}
			share := darkShare(img, pixels)
			if k == only && share < 0.5 || k != only && share > 0.1 {
				t.Errorf("size %s alone: %.0f %% of the line of size %s is there", g.sizes[only].name, 100*share, g.sizes[k].name)
			}
		}
	}
}

// Every size has a line of its own beside its neighbours.
func TestSizeLinesDiffer(t *testing.T) {
	for i := range 2 * len(sizeDashes) {
		if a, b := sizeStyle(i), sizeStyle(i+1); fmt.Sprint(a.cut.Dash) == fmt.Sprint(b.cut.Dash) {
			t.Errorf("lines %d and %d have the dashes %v", i, i+1, a.cut.Dash)
		}
	}
}

// The folds of all sizes lie on each other.
func TestNestLiesOnTheFold(t *testing.T) {
	_, g := gradedMisses(t)
	folds := 0
	for _, sizes := range g.outputNest().pieces {
		for _, p := range sizes {
			parts, err := p.piece.Edge(p.piece.fold)
			if err != nil {
				continue
			}
			folds++
			base, err := sizes[g.base].piece.Edge(p.piece.fold)
			if err != nil {
				t.Fatal(err)
			}
			onto := base[0].Path.Transformed(sizes[g.base].to)
			for _, q := range []Point{parts[0].Path.Start(), parts[0].Path.End()} {
				if !onLine(onto, p.to.Apply(q)) {
					t.Errorf("%s: %v is not on the fold of the base", p.piece.name, p.to.Apply(q))
				}
			}
		}
	}
	if folds != 2*len(g.sizes) {
		t.Errorf("%d pieces with a fold, want front and back of every size", folds)
	}
}

func TestGradedPrintRefuses(t *testing.T) {
	_, err := Graded{}.Print(A4)
	wantError(t, err, "want one made by Grade")
	_, g := gradedMisses(t)
	_, err = g.Print(Paper(99))
	wantError(t, err, "is not a paper to print on")
}

// Left to itself, printing takes the lie of fewest pages; edge to edge needs no
// more pages than overlapping.
func TestPrintWith(t *testing.T) {
	for name, p := range testPatterns(t) {
		pages := map[PrintOptions]int{}
		for _, o := range []PrintOptions{{Paper: A4}, {Paper: A4, Lie: Upright}, {Paper: A4, Lie: Lying}, {Paper: A4, Butt: true}} {
			printed, err := p.PrintWith(o)
			if err != nil {
				t.Fatal(err)
			}
			if o.Lie != FewestPages && printed.Landscape != (o.Lie == Lying) {
				t.Errorf("%s with %+v: lying %v", name, o, printed.Landscape)
			}
			pages[o] = printed.Pages
		}
		few := pages[PrintOptions{Paper: A4}]
		if want := min(pages[PrintOptions{Paper: A4, Lie: Upright}], pages[PrintOptions{Paper: A4, Lie: Lying}]); few != want {
			t.Errorf("%s: %d pages, want the fewer, %d", name, few, want)
		}
		if butt := pages[PrintOptions{Paper: A4, Butt: true}]; butt > few {
			t.Errorf("%s: %d pages edge to edge, %d with an overlap", name, butt, few)
		}
	}
	_, err := onePiece(t).PrintWith(PrintOptions{Paper: A4, Lie: 7})
	wantError(t, err, "want FewestPages, Upright or Lying")
}
