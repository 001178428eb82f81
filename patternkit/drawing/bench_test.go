package drawing

import (
	"testing"

	"patternkit/patternkit/geom"
)

// twoPieces is a page like two pieces side by side on a screen: 20 by 25 cm of
// lines, marks and labels.
func twoPieces() *Page {
	p := NewPage("Two kites", "Two kites side by side.")
	for _, k := range []geom.Length{0, 100} {
		move := geom.Translate(geom.Pt(k, 0))
		outline := kite(1.25).Transformed(move)
		p.Begin("kite")
		p.Stroke(outline, thick)
		p.Stroke(geom.Line(geom.Pt(8, 8), geom.Pt(8, 90)).Transformed(move), dash)
		for s := geom.Length(20); s < outline.Length(); s += 40 {
			at, d := outline.At(s), outline.TangentAt(s)
			p.Stroke(geom.Line(at, at.Add(d.Perp().Scale(4))), thin)
			p.Label(Label{At: at, S: s.String(), Font: plain, Toward: d.Perp().Neg()})
		}
		p.Text(Text{At: geom.Pt(40, 50).Add(geom.Pt(k, 0)), S: "kite\ncut 2 of cloth", Font: loud, Anchor: MiddleCenter})
		p.End()
	}
	return p
}

func BenchmarkRecord(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_ = twoPieces()
	}
}

func BenchmarkSVG(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_ = twoPieces().SVG()
	}
}

func BenchmarkPNG(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_ = twoPieces().PNG(96)
	}
}

func BenchmarkPixels(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		_ = twoPieces().Pixels(96)
	}
}

func BenchmarkPDFTiles(b *testing.B) {
	b.ReportAllocs()
	p := samplePage(5)
	for b.Loop() {
		if _, err := p.PDF(Sheets{Paper: A4}); err != nil {
			b.Fatal(err)
		}
	}
}
