package photo

import (
	"image"
	"image/color"
	"math"

	"patternkit/patternkit/geom"
)

// beyond is what is shown where the photograph shows nothing.
var beyond = color.RGBA{0xf4, 0xf4, 0xf4, 0xff}

// Flat returns what a photograph shows of a box of a plane, seen from straight
// above, as wide as that many pixels and as high as keeps them square; each is
// the mean of what lies under it. The projection takes the plane to places in
// the photograph.
func Flat(img image.RGBA64Image, onto geom.Projection, box geom.Rect, width int) *image.RGBA {
	side := float64(box.Width()) / float64(width)
	out := image.NewRGBA(image.Rect(0, 0, width, max(1, int(math.Round(float64(box.Height())/side)))))
	for y := range out.Rect.Dy() {
		for x := range width {
			corner := geom.Pt(box.Min.X+geom.Length(float64(x)*side), box.Max.Y-geom.Length(float64(y)*side))
			out.SetRGBA(x, y, mean(img, onto, corner, side))
		}
	}
	return out
}

// mostUnder is how many pixels across are looked at for one of the result.
const mostUnder = 4

// mean is the colour of a square of the plane, by its upper left corner.
func mean(img image.RGBA64Image, onto geom.Projection, corner geom.Point, side float64) color.RGBA {
	half := geom.Length(side / 2)
	middle := corner.Add(geom.Pt(half, -half))
	alongX, alongY := onto.Derivatives(middle)
	n := int(min(mostUnder, max(1, math.Round(side*float64(max(alongX.Norm(), alongY.Norm()))))))
	var r, g, b uint32
	for j := range n {
		for i := range n {
			step := side / float64(n)
			at, ok := onto.Apply(corner.Add(geom.Pt(geom.Length((float64(i)+0.5)*step), geom.Length(-(float64(j)+0.5)*step))))
			c := beyond
			if ok {
				c = sample(img, at, n == 1)
			}
			r, g, b = r+uint32(c.R), g+uint32(c.G), b+uint32(c.B)
		}
	}
	all := uint32(n * n)
	return color.RGBA{uint8(r / all), uint8(g / all), uint8(b / all), 0xff}
}

// sample is the colour of an image at a place: between the middles of its
// pixels a mixture of them, or else that of the nearest.
func sample(img image.RGBA64Image, at geom.Point, mixed bool) color.RGBA {
	bounds := img.Bounds()
	x, y := float64(at.X), -float64(at.Y)
	if !(x >= 0 && y >= 0 && x <= float64(bounds.Dx()-1) && y <= float64(bounds.Dy()-1)) {
		return beyond
	}
	if !mixed {
		x, y = math.Round(x), math.Round(y)
	}
	left, top := int(x), int(y)
	fx, fy := x-float64(left), y-float64(top)
	var sum [3]float64
	for k, weight := range [4]float64{(1 - fx) * (1 - fy), fx * (1 - fy), (1 - fx) * fy, fx * fy} {
		if weight == 0 {
			continue // also keeps off the pixels beyond the last ones
		}
		c := img.RGBA64At(bounds.Min.X+left+k%2, bounds.Min.Y+top+k/2)
		sum[0], sum[1], sum[2] = sum[0]+weight*float64(c.R), sum[1]+weight*float64(c.G), sum[2]+weight*float64(c.B)
	}
	return color.RGBA{uint8(sum[0]/257 + 0.5), uint8(sum[1]/257 + 0.5), uint8(sum[2]/257 + 0.5), 0xff}
}
