package photo

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"io"
)

// Bounds of a file.
const (
	mostBytes  = 64 << 20
	mostPixels = 50_000_000
	mostScans  = 200 // of a JPEG: its whole area may be gone over once for each
)

// Read reads a photograph, JPEG or PNG, turned as the camera says it was held
// (the orientation of EXIF), as programs that show pictures turn it. A file
// that is neither, is cut short, or has more than 64 MiB, 50 million pixels or
// 200 scans is an error, and is refused before its pixels take memory.
func Read(r io.Reader) (image.RGBA64Image, error) {
	file, err := io.ReadAll(io.LimitReader(r, mostBytes+1))
	switch {
	case err != nil:
		return nil, err
	case len(file) > mostBytes:
		return nil, fmt.Errorf("the file has more than %d MiB", mostBytes>>20)
	case bytes.HasPrefix(file, []byte("\x89PNG\r\n\x1a\n")):
		return decode(file, png.DecodeConfig, png.Decode)
	case !bytes.HasPrefix(file, []byte("\xff\xd8")):
		return nil, errors.New("the file is no photograph of a kind that is read, want JPEG or PNG")
	case bytes.Count(file, []byte("\xff\xda")) > mostScans:
		return nil, fmt.Errorf("the file has more than %d scans, as no camera makes them", mostScans)
	}
	img, err := decode(file, jpeg.DecodeConfig, jpeg.Decode)
	if err != nil {
		return nil, err
	}
	return turned(img, orientation(file)), nil
}

func decode(file []byte, config func(io.Reader) (image.Config, error), pixels func(io.Reader) (image.Image, error)) (image.RGBA64Image, error) {
	c, err := config(bytes.NewReader(file))
	if err != nil {
		return nil, err
	}
	if c.Width < 1 || c.Height < 1 || c.Width > mostPixels/c.Height {
		return nil, fmt.Errorf("it is of %d by %d pixels, want at most %d million", c.Width, c.Height, mostPixels/1_000_000)
	}
	img, err := pixels(bytes.NewReader(file))
	if err != nil {
		return nil, err
	}
	out, ok := img.(image.RGBA64Image)
	if !ok {
		return nil, fmt.Errorf("its pixels are of a kind that is not read, %T", img)
	}
	return out, nil
}
