package programs

import "patternkit/patternkit"

// Bodices drafts n bodices, each with a little more ease than the one before,
// and adds up the areas of their fronts.
func Bodices(n int) float64 {
	measured := patternkit.Body{
		Height:    168 * patternkit.CM,
		BustGirth: 92 * patternkit.CM, WaistGirth: 74 * patternkit.CM, HipGirth: 98 * patternkit.CM,
	}
	body, err := measured.Estimated()
	if err != nil {
		panic(err)
	}
	sum := 0.0
	for i := 0; i < n; i++ {
		ease := 6*patternkit.CM + patternkit.Length(i%50)*patternkit.MM
		bodice, err := patternkit.DraftBodice(body, patternkit.BodiceOptions{BustEase: ease, WaistEase: 6 * patternkit.CM})
		if err != nil {
			panic(err)
		}
		sum += bodice.Front().Area()
	}
	return sum
}
