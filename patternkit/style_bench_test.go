package patternkit

import "testing"

func BenchmarkPivotDart(b *testing.B) {
	front := styleMust[Piece](b)(stylePatterns(b)[0].Piece("front"))
	move := DartMove{To: OnEdge{"side seam", 4 * CM}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := front.PivotDart("bust dart", move); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkFlared(b *testing.B) {
	sleeve := styleMust[Piece](b)(stylePatterns(b)[0].Piece("sleeve"))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := sleeve.Flared("cap", "hem", 20*CM, 8); err != nil {
			b.Fatal(err)
		}
	}
}
