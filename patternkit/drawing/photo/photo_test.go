package photo

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"math"
	"strings"
	"testing"

	"patternkit/patternkit/geom"
)

// quarters is a picture of four colours, wider than high.
func quarters() *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, 64, 32))
	for y := range 32 {
		for x := range 64 {
			img.SetRGBA(x, y, quarterColours[y/16*2+x/32])
		}
	}
	return img
}

// Upper left, upper right, lower left, lower right.
var quarterColours = [4]color.RGBA{{0xff, 0, 0, 0xff}, {0, 0xff, 0, 0xff}, {0, 0, 0xff, 0xff}, {0xff, 0xff, 0xff, 0xff}}

// withOrientation is quarters as a JPEG whose EXIF says an orientation.
func withOrientation(t testing.TB, orientation uint16, order binary.AppendByteOrder) []byte {
	t.Helper()
	var file bytes.Buffer
	if err := jpeg.Encode(&file, quarters(), &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	tiff := []byte("II*\x00")
	if order == binary.AppendByteOrder(binary.BigEndian) {
		tiff = []byte("MM\x00*")
	}
	tiff = order.AppendUint32(tiff, 8)
	tiff = order.AppendUint16(tiff, 2)
	for _, e := range [][2]uint16{{0x0100, 64}, {0x0112, orientation}} {
		tiff = order.AppendUint16(tiff, e[0])
		tiff = order.AppendUint16(tiff, 3)
		tiff = order.AppendUint32(tiff, 1)
		tiff = order.AppendUint16(order.AppendUint16(tiff, e[1]), 0)
	}
	tiff = order.AppendUint32(tiff, 0)
	segment := append([]byte("Exif\x00\x00"), tiff...)
	out := append([]byte{0xff, 0xd8, 0xff, 0xe1}, binary.BigEndian.AppendUint16(nil, uint16(len(segment)+2))...)
	return append(append(out, segment...), file.Bytes()[2:]...)
}

func near(a color.Color, b color.RGBA) bool {
	r, g, bl, _ := a.RGBA()
	off := func(v uint32, w uint8) float64 { return math.Abs(float64(v)/257 - float64(w)) }
	return off(r, b.R) < 20 && off(g, b.G) < 20 && off(bl, b.B) < 20
}

// Where the picture's first row and column are to be seen, by the table of
// Exif 2.3 (CIPA DC-008-2012, 4.6.4, tag 0x0112), and so its four quarters:
// upper left, upper right, lower left, lower right.
func TestReadTurnsAsExifSays(t *testing.T) {
	for orientation, want := range map[uint16][4]int{
		1: {0, 1, 2, 3}, // row top, column left
		2: {1, 0, 3, 2}, // row top, column right
		3: {3, 2, 1, 0}, // row bottom, column right
		4: {2, 3, 0, 1}, // row bottom, column left
		5: {0, 2, 1, 3}, // row left, column top
		6: {2, 0, 3, 1}, // row right, column top
		7: {3, 1, 2, 0}, // row right, column bottom
		8: {1, 3, 0, 2}, // row left, column bottom
		9: {0, 1, 2, 3}, // no orientation
	} {
		for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
			img, err := Read(bytes.NewReader(withOrientation(t, orientation, order)))
			if err != nil {
				t.Fatal(err)
			}
			b := img.Bounds()
			if upright := orientation >= 5 && orientation <= 8; b.Min != (image.Point{}) || (b.Dx() == 32 && b.Dy() == 64) != upright {
				t.Errorf("orientation %d: bounds %v", orientation, b)
			}
			for k, quarter := range want {
				x, y := b.Dx()/4+k%2*b.Dx()/2, b.Dy()/4+k/2*b.Dy()/2
				if c := img.At(x, y); !near(c, quarterColours[quarter]) {
					t.Errorf("orientation %d, %v: quarter %d is %v, want %v", orientation, order, k, c, quarterColours[quarter])
				}
			}
		}
	}
}

func pngOf(t testing.TB, img image.Image) []byte {
	t.Helper()
	var file bytes.Buffer
	if err := png.Encode(&file, img); err != nil {
		t.Fatal(err)
	}
	return file.Bytes()
}

func TestReadRefuses(t *testing.T) {
	good := pngOf(t, quarters())
	huge := bytes.Clone(good)
	binary.BigEndian.PutUint32(huge[16:], 60_000) // the width in IHDR
	binary.BigEndian.PutUint32(huge[20:], 60_000)
	binary.BigEndian.PutUint32(huge[29:], crc32.ChecksumIEEE(huge[12:29]))
	var scans bytes.Buffer
	if err := jpeg.Encode(&scans, quarters(), nil); err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		name string
		file []byte
		want string
	}{
		{"empty", nil, "want JPEG or PNG"},
		{"text", []byte("a photograph"), "want JPEG or PNG"},
		{"cut short", good[:len(good)-30], "not enough pixel data"},
		{"many pixels", huge, "60000 by 60000 pixels, want at most 50 million"},
		{"many scans", append(scans.Bytes(), bytes.Repeat([]byte("\xff\xda"), 201)...), "more than 200 scans"},
		{"many bytes", make([]byte, mostBytes+1), "more than 64 MiB"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := Read(bytes.NewReader(tt.file))
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("error %v, want %q", err, tt.want)
			}
		})
	}
}

// A picture flattened by the projection that leaves all as it is, is itself;
// what lies outside it is pale.
func TestFlat(t *testing.T) {
	img := quarters()
	square := [4]geom.Point{{X: 0, Y: 0}, {X: 1, Y: 0}, {X: 1, Y: 1}, {X: 0, Y: 1}}
	same, err := geom.NewProjection(square, square)
	if err != nil {
		t.Fatal(err)
	}
	// The middle of the first pixel is the origin.
	box := geom.Rect{Min: geom.Pt(-0.5, -31.5), Max: geom.Pt(63.5, 0.5)}
	flat := Flat(img, same, box, 64)
	if !bytes.Equal(flat.Pix, img.Pix) {
		t.Error("as it is it has other pixels")
	}
	half := Flat(img, same, box, 32)
	if half.Bounds() != image.Rect(0, 0, 32, 16) || half.RGBAAt(20, 3) != quarterColours[1] {
		t.Errorf("of half the size: %v, %v", half.Bounds(), half.RGBAAt(20, 3))
	}
	wide := Flat(img, same, box.Grow(32), 128)
	if wide.RGBAAt(3, 3) != beyond || wide.RGBAAt(40, 36) != quarterColours[0] {
		t.Errorf("with what is beyond: %v, %v", wide.RGBAAt(3, 3), wide.RGBAAt(40, 36))
	}
}

func FuzzRead(f *testing.F) {
	f.Add(pngOf(f, quarters()))
	f.Add(withOrientation(f, 6, binary.LittleEndian))
	f.Add(withOrientation(f, 8, binary.BigEndian))
	f.Fuzz(func(t *testing.T, file []byte) {
		img, err := Read(bytes.NewReader(file))
		if err != nil {
			return
		}
		b := img.Bounds()
		if b.Empty() {
			t.Fatalf("bounds %v", b)
		}
		for _, q := range []image.Point{b.Min, {X: b.Max.X - 1, Y: b.Min.Y}, {X: b.Min.X, Y: b.Max.Y - 1}, {X: b.Max.X - 1, Y: b.Max.Y - 1}} {
			img.At(q.X, q.Y)
		}
	})
}
