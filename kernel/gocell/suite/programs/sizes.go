package programs

import "patternkit/patternkit"

// Sizes grades a table of measures n times, and adds up what it holds.
func Sizes(n int) float64 {
	table := map[string]patternkit.Length{
		"bust": 92 * patternkit.CM, "waist": 74 * patternkit.CM, "hip": 98 * patternkit.CM,
		"back": 41 * patternkit.CM, "arm": 60 * patternkit.CM,
	}
	names := []string{"bust", "waist", "hip"}
	for i := 0; i < n; i++ {
		name := names[i%len(names)]
		table[name] += 1 * patternkit.MM
		if table["arm"] > table[name] {
			table["arm"] = table[name]
		}
	}
	sum := 0.0
	for i := 0; i < n/10; i++ {
		for _, girth := range table {
			sum += float64(girth)
		}
	}
	return sum
}
