package patternkit

import "testing"

// The pictures of a dragged slider: a skirt of three pieces from its pattern
// to what goes to the page.
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
