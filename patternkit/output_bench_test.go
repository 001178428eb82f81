package patternkit

import (
	"fmt"
	"testing"
)

// manyPanels need 40 pages of A4 or more.
func manyPanels(tb testing.TB) Pattern {
	tb.Helper()
	var parts []Part
	for i := range 12 {
		parts = append(parts, skirtPanel(tb, fmt.Sprintf("panel %d", i+1)))
	}
	p, err := NewPattern("twelve panels", parts...)
	if err != nil {
		tb.Fatal(err)
	}
	return p
}

func BenchmarkPrintFortyPages(b *testing.B) {
	p := manyPanels(b)
	b.ReportAllocs()
	pages := 0
	for b.Loop() {
		printed, err := p.Print(A4)
		if err != nil || printed.Pages < 40 {
			b.Fatalf("%d pages, %v", printed.Pages, err)
		}
		pages = printed.Pages
	}
	b.ReportMetric(float64(pages), "pages")
}

func BenchmarkJSONThereAndBack(b *testing.B) {
	p := manyPanels(b)
	b.ReportAllocs()
	for b.Loop() {
		data, err := p.JSONFile()
		if err != nil {
			b.Fatal(err)
		}
		if _, err := PatternFromJSON(data); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWriteBothDXF(b *testing.B) {
	p := manyPanels(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.CurveDXFFile(); err != nil {
			b.Fatal(err)
		}
		if _, err := p.DXFFile(); err != nil {
			b.Fatal(err)
		}
	}
}
