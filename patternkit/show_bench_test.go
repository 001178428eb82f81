package patternkit

import "testing"

// From a pattern of three pieces to what goes to the page, as a dragged slider
// asks for it: laid out, drawn, labelled and written.
func BenchmarkPatternPicture(b *testing.B) {
	p := skirt(b, 10*CM, 2*waistLength-1*CM)
	b.ReportAllocs()
	for b.Loop() {
		_ = p.Picture(PictureOptions{}).MovingHTML()
	}
}

// The show methods share one drawing: what is left is the writing.
func BenchmarkPatternHTML(b *testing.B) {
	p := skirt(b, 10*CM, 2*waistLength-1*CM)
	b.ReportAllocs()
	for b.Loop() {
		_ = p.HTML()
	}
}

func BenchmarkPatternPNG(b *testing.B) {
	p := skirt(b, 10*CM, 2*waistLength-1*CM)
	b.ReportAllocs()
	for b.Loop() {
		_ = p.PNG()
	}
}

func BenchmarkPatternSVG(b *testing.B) {
	p := skirt(b, 10*CM, 2*waistLength-1*CM)
	b.ReportAllocs()
	for b.Loop() {
		_ = p.SVG()
	}
}

func BenchmarkPatternWalk(b *testing.B) {
	p := skirt(b, 10*CM, 2*waistLength-1*CM)
	b.ReportAllocs()
	for b.Loop() {
		_ = p.Walk()
	}
}

func BenchmarkPatternPrint(b *testing.B) {
	p := skirt(b, 10*CM, 2*waistLength-1*CM)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.PDF(A4); err != nil {
			b.Fatal(err)
		}
	}
}
