package photo

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
)

// orientation is how a JPEG says it is to be turned, 1 to 8; 1, as it is,
// where it says nothing or nothing that is understood (Exif 2.3, CIPA
// DC-008-2012, 4.5.4 and 4.6.4: tag 0x0112 of the first directory of the TIFF
// in segment APP1).
func orientation(file []byte) int {
	for at := 2; at+4 <= len(file) && file[at] == 0xff; {
		marker, size := file[at+1], int(binary.BigEndian.Uint16(file[at+2:]))
		if marker == 0xda || size < 2 || at+2+size > len(file) {
			break
		}
		if tiff, ok := bytes.CutPrefix(file[at+4:at+2+size], []byte("Exif\x00\x00")); marker == 0xe1 && ok {
			return tiffOrientation(tiff)
		}
		at += 2 + size
	}
	return 1
}

func tiffOrientation(tiff []byte) int {
	const tag, short, entry = 0x0112, 3, 12
	var order binary.ByteOrder
	switch {
	case bytes.HasPrefix(tiff, []byte("II*\x00")):
		order = binary.LittleEndian
	case bytes.HasPrefix(tiff, []byte("MM\x00*")):
		order = binary.BigEndian
	}
	if order == nil || len(tiff) < 8 {
		return 1
	}
	at := uint64(order.Uint32(tiff[4:]))
	if at+2 > uint64(len(tiff)) {
		return 1
	}
	entries := tiff[at+2:]
	for n := order.Uint16(tiff[at:]); n > 0 && len(entries) >= entry; n-- {
		if order.Uint16(entries) == tag && order.Uint16(entries[2:]) == short {
			if o := int(order.Uint16(entries[8:])); o >= 1 && o <= 8 {
				return o
			}
			return 1
		}
		entries = entries[entry:]
	}
	return 1
}

// turned shows img in an orientation of EXIF, without a copy of its pixels.
func turned(img image.RGBA64Image, orientation int) image.RGBA64Image {
	if orientation == 1 {
		return img
	}
	return turnedImage{img, orientation}
}

// A turnedImage is an image seen in an orientation of EXIF, 2 to 8.
type turnedImage struct {
	image.RGBA64Image
	orientation int
}

// Bounds begin at the origin.
func (t turnedImage) Bounds() image.Rectangle {
	size := t.RGBA64Image.Bounds().Size()
	if t.orientation >= 5 { // rows become columns
		size.X, size.Y = size.Y, size.X
	}
	return image.Rectangle{Max: size}
}

// At is the colour that is seen at a place.
func (t turnedImage) At(x, y int) color.Color { return t.RGBA64At(x, y) }

// RGBA64At is At.
func (t turnedImage) RGBA64At(x, y int) color.RGBA64 {
	b := t.RGBA64Image.Bounds()
	right, bottom := b.Dx()-1, b.Dy()-1
	switch t.orientation {
	case 2:
		x = right - x
	case 3:
		x, y = right-x, bottom-y
	case 4:
		y = bottom - y
	case 5:
		x, y = y, x
	case 6:
		x, y = y, bottom-x
	case 7:
		x, y = right-y, bottom-x
	case 8:
		x, y = right-y, x
	}
	return t.RGBA64Image.RGBA64At(b.Min.X+x, b.Min.Y+y)
}
