package patternkit

import (
	"fmt"
	"testing"
)

// withSleeve sews a sleeve into a bodice.
func withSleeve(t testing.TB, bodice Bodice, o SleeveOptions) Pattern {
	t.Helper()
	sleeve, err := DraftSleeve(bodice.Armhole(), o)
	if err != nil {
		t.Fatal(err)
	}
	p, err := NewPattern("block", bodice, sleeve)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// blockOf is the bodice and sleeve of a body of whole centimetres.
func blockOf(t testing.TB, height, bust, waist, hip Length, method Method) Pattern {
	t.Helper()
	body, err := Body{Height: height, BustGirth: bust, WaistGirth: waist, HipGirth: hip}.Estimated()
	if err != nil {
		t.Fatal(err)
	}
	options := BodiceOptions{Method: method}
	if method == DirectMeasure {
		options.BustEase, options.WaistEase = 8*CM, 6*CM
	}
	bodice, err := DraftBodice(body, options)
	if err != nil {
		t.Fatal(err)
	}
	return withSleeve(t, bodice, classSleeve())
}

func TestBlockPicturesAreLegible(t *testing.T) {
	const smallest = 9 * 25.4 / 96
	for _, b := range []struct{ height, bust, waist, hip Length }{
		{168 * CM, 92 * CM, 74 * CM, 98 * CM}, {158 * CM, 80 * CM, 62 * CM, 86 * CM},
		{176 * CM, 104 * CM, 88 * CM, 110 * CM}, {160 * CM, 122 * CM, 108 * CM, 128 * CM},
	} {
		name := fmt.Sprintf("bust %v", b.bust)
		if b.bust < 110*CM { // the proportions are not made for more
			p := blockOf(t, b.height, b.bust, b.waist, b.hip, Proportional)
			t.Run(name+" proportional", func(t *testing.T) { checkLegible(t, p.SVG(), smallest) })
		}
		p := blockOf(t, b.height, b.bust, b.waist, b.hip, DirectMeasure)
		t.Run(name, func(t *testing.T) { checkLegible(t, p.SVG(), smallest) })
		t.Run(name+" with points", func(t *testing.T) {
			checkLegible(t, p.Picture(PictureOptions{Points: true}).SVG(), smallest)
		})
		t.Run(name+" at true scale", func(t *testing.T) {
			file, err := p.SVGFile()
			if err != nil {
				t.Fatal(err)
			}
			checkLegible(t, string(file), 3)
		})
		for _, piece := range p.Pieces() {
			t.Run(name+" "+piece.Name(), func(t *testing.T) { checkLegible(t, piece.SVG(), smallest) })
		}
	}
}

// A body is redrafted, drawn and written as a slider moves.
func BenchmarkBlockRedrawn(b *testing.B) {
	body, err := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}.Estimated()
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		bodice, err := DraftBodice(body, BodiceOptions{BustEase: 8 * CM, WaistEase: 6 * CM})
		if err != nil {
			b.Fatal(err)
		}
		p := withSleeve(b, bodice, classSleeve())
		_ = p.HTML()
	}
}
