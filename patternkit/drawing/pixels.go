package drawing

import (
	"bytes"
	"image/jpeg"
	"image/png"
)

// photoQuality keeps the grid of a cloth visible.
const photoQuality = 85

// packed is the image of an element as a file, and of what kind it is: "png",
// or "jpeg" for a photograph.
func (e element) packed() (file []byte, kind string, err error) {
	var out bytes.Buffer
	if e.photo {
		err = jpeg.Encode(&out, e.image, &jpeg.Options{Quality: photoQuality})
		return out.Bytes(), "jpeg", err
	}
	err = png.Encode(&out, e.image)
	return out.Bytes(), "png", err
}
