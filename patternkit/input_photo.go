package patternkit

import (
	"errors"
	"fmt"
	"math"

	"patternkit/patternkit/geom"
)

// A Photograph is one of a garment or a paper pattern that lies flat, with a
// sheet of paper of known size flat on its middle, or beside it. The sheet's
// four corners tell where the camera was; what lies in its plane can then be
// measured from the picture, whatever way it was held. On the middle the sheet
// serves best: a pixel by which its corner is misread grows with the distance
// from it.
//
// What a lens bends is not straightened, and a garment's thickness is not
// known: take the picture from far above, drawn near by the lens, and keep what
// is measured off the picture's rim.
type Photograph struct {
	Paper Paper // of the sheet: A4, Letter …
	// Lie is Upright where the sheet's bottom, as Corners begin with it, is a
	// short side, Lying where it is a long one.
	Lie Lie
	// Corners of the sheet in the photograph: lower left, lower right, upper
	// right, upper left. The first is the origin of what is measured, and x runs
	// towards the second.
	Corners [4]Pixel
}

// A Pixel is a place in a photograph as programs that show pictures give it: X
// to the right and Y down from the upper left corner. Parts of a pixel count.
type Pixel struct{ X, Y float64 }

// A PixelPoint is a point read off a photograph. Name is "" for one that only
// shows the way of an edge.
type PixelPoint struct {
	Name string
	X, Y float64 // as a Pixel
}

// Bounds of what is read off a photograph.
const (
	photoFarthest   = 100_000 // pixels from the corner of the picture
	photoShortest   = 100     // pixels along a side of the sheet
	photoFlattest   = 5 * Degree
	photoMostPoints = 10_000
	photoCoarsest   = 2 * CM // that a pixel may move a point
	photoWarnsAt    = 2 * MM // that a pixel moves a point
	photoSheetsAway = 2      // long sides of the sheet, beyond which a point is far
)

// A photoPlane takes places in a photograph to millimetres.
type photoPlane struct {
	sheet geom.Rect
	flat  geom.Projection
	moved [8][2]geom.Projection // each corner half a pixel along x or y, either way
}

// pixelPlace is a pixel with y up.
func pixelPlace(x, y float64) Point { return Pt(Length(x), Length(-y)) }

// plane finds where the camera stood.
func (p Photograph) plane() (photoPlane, error) {
	size, ok := paperSizes[p.Paper]
	if !ok {
		return photoPlane{}, fmt.Errorf("the sheet is of %v, want A4, A3, A2, A1, A0, Letter or Tabloid", p.Paper)
	}
	switch p.Lie {
	case Upright:
	case Lying:
		size = Pt(size.Y, size.X)
	default:
		return photoPlane{}, fmt.Errorf("the sheet's Lie is %d, want Upright where the corners begin with a short side, Lying where they begin with a long one", p.Lie)
	}
	var seen [4]Point
	for i, c := range p.Corners {
		if err := c.check(); err != nil {
			return photoPlane{}, fmt.Errorf("the sheet's %s corner %w", photoCornerNames[i], err)
		}
		seen[i] = pixelPlace(c.X, c.Y)
	}
	if err := checkPhotoCorners(seen); err != nil {
		return photoPlane{}, err
	}
	plane := photoPlane{sheet: geom.Rect{Max: size}}
	var err error
	if plane.flat, err = plane.from(seen); err != nil {
		return photoPlane{}, err
	}
	for i := range plane.moved {
		for k, by := range [2]Length{-0.5, 0.5} {
			beside := seen
			if i%2 == 0 {
				beside[i/2].X += by
			} else {
				beside[i/2].Y += by
			}
			if plane.moved[i][k], err = plane.from(beside); err != nil {
				return photoPlane{}, err
			}
		}
	}
	return plane, nil
}

func (p photoPlane) from(seen [4]Point) (geom.Projection, error) {
	m := p.sheet.Max
	return geom.NewProjection(seen, [4]Point{{}, Pt(m.X, 0), m, Pt(0, m.Y)})
}

var photoCornerNames = [4]string{"lower left", "lower right", "upper right", "upper left"}

func (p Pixel) check() error {
	if p.X >= 0 && p.X <= photoFarthest && p.Y >= 0 && p.Y <= photoFarthest {
		return nil
	}
	return fmt.Errorf("is at pixel (%s, %s), want both from 0 to %d, right and down from the picture's upper left corner",
		plainNumber(p.X), plainNumber(p.Y), photoFarthest)
}

// checkPhotoCorners says what is wrong with the corners of a sheet, y up.
func checkPhotoCorners(seen [4]Point) error {
	const want = "want lower left, lower right, upper right, upper left"
	left, right := 0, 0
	flattest, at := 180*Degree, 0
	for i := range seen {
		a, b := seen[(i+3)%4], seen[(i+1)%4]
		if d := seen[i].Dist(b); d < photoShortest {
			return fmt.Errorf("the sheet is too small in the picture: from its %s to its %s corner are %s pixels, want at least %d: take the picture from nearer or a larger sheet",
				photoCornerNames[i], photoCornerNames[(i+1)%4], plainNumber(d.MM()), photoShortest)
		}
		turn := seen[i].Sub(a).AngleTo(b.Sub(seen[i]))
		if turn > 0 {
			left++
		} else {
			right++
		}
		if away := min(Angle(math.Abs(float64(turn))), 180*Degree-Angle(math.Abs(float64(turn)))); away < flattest {
			flattest, at = away, i
		}
	}
	switch {
	case left == 2:
		return fmt.Errorf("the lines between the sheet's corners cross, so they are not in turn, %s", want)
	case right == 4:
		return fmt.Errorf("the sheet's corners run clockwise, as in a mirror, %s as the picture shows them", want)
	case left == 1 || left == 3:
		return fmt.Errorf("one of the sheet's corners lies inside the other three, which no sheet's does: read them again, %s", want)
	case flattest < photoFlattest:
		return fmt.Errorf("the sheet is seen too much from the side: at its %s corner its sides are within %s of one line, want at least %s: take the picture from further above",
			photoCornerNames[at], flattest, photoFlattest)
	}
	return nil
}

// Read returns where points of the photograph lie, in millimetres, with how far
// a misread pixel would move each. Read them around the piece, counterclockwise
// from a corner with a name, closely where an edge bends. It is an error, which
// names the point, where one is off the picture, beyond the horizon or so near
// it that a pixel is more than 2 cm, or has the name of another; and where the
// corners are not those of such a sheet: not in turn, mirrored, less than 100
// pixels apart or seen almost along the sheet.
func (p Photograph) Read(points []PixelPoint) (PhotoPoints, error) {
	plane, err := p.plane()
	if err != nil {
		return PhotoPoints{}, fmt.Errorf("photograph: %w", err)
	}
	if len(points) > photoMostPoints {
		return PhotoPoints{}, fmt.Errorf("photograph: %d points, want at most %d", len(points), photoMostPoints)
	}
	out := PhotoPoints{photo: p, rows: make([]PhotoPoint, len(points))}
	seen := map[string]bool{}
	for i, q := range points {
		r, err := plane.read(q)
		if err == nil && q.Name != "" && seen[q.Name] {
			err = errors.New("is the second of that name, want another, or none for a point on the way")
		}
		if err != nil {
			return PhotoPoints{}, fmt.Errorf("photograph: point %s %w", pixelPointName(i, q), err)
		}
		seen[q.Name] = true
		out.rows[i] = r
	}
	return out, nil
}

func pixelPointName(i int, q PixelPoint) string {
	if q.Name == "" {
		return fmt.Sprint(i + 1)
	}
	return fmt.Sprintf("%d, %q,", i+1, q.Name)
}

// read measures one point.
func (p photoPlane) read(q PixelPoint) (PhotoPoint, error) {
	if err := (Pixel{q.X, q.Y}).check(); err != nil {
		return PhotoPoint{}, err
	}
	seen := pixelPlace(q.X, q.Y)
	at, ok := p.flat.Apply(seen)
	r := PhotoPoint{Name: q.Name, At: at, Beyond: p.sheet.Dist(at), Pixel: widestMove(p.flat.Derivatives(seen))}
	for corner := 0; ok && corner < 4; corner++ {
		alongX, okX := p.asMoved(2*corner, seen)
		alongY, okY := p.asMoved(2*corner+1, seen)
		ok = okX && okY
		r.Corner = max(r.Corner, widestMove(alongX, alongY))
	}
	if !ok {
		return PhotoPoint{}, fmt.Errorf("at pixel (%s, %s) lies on the horizon of the sheet's plane or beyond it: look at the corners, or read it again", plainNumber(q.X), plainNumber(q.Y))
	}
	if worst := max(r.Pixel, r.Corner); !(worst <= photoCoarsest) {
		return PhotoPoint{}, fmt.Errorf("at pixel (%s, %s) is no measure: one misread pixel moves it by %s, want at most %s: take the picture from further above, or lay the sheet nearer",
			plainNumber(q.X), plainNumber(q.Y), worst, photoCoarsest)
	}
	return r, nil
}

// asMoved is how a point moves as one corner does by a pixel along x or y;
// false where it comes to lie beyond the horizon.
func (p photoPlane) asMoved(i int, seen Point) (Point, bool) {
	a, okA := p.moved[i][0].Apply(seen)
	b, okB := p.moved[i][1].Apply(seen)
	return b.Sub(a), okA && okB
}

// widestMove is how far a point moves at most when what it hangs on moves by
// one, in any direction: the larger singular value of the two.
func widestMove(alongX, alongY Point) Length {
	a, b, c := alongX.Dot(alongX), alongX.Dot(alongY), alongY.Dot(alongY)
	return Length(math.Sqrt((a + c + math.Hypot(a-c, 2*b)) / 2))
}
