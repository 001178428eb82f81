package gocell

import "unicode"

// nearest returns the candidate that a misspelt name most likely means, or "".
func nearest(name string, candidates []string) string {
	best, least := "", slip*(1+len(name)/3)
	if len(name) < 3 {
		least = slip
	}
	for _, c := range candidates {
		if c == name || slip*abs(len(c)-len(name)) > least {
			continue
		}
		if d := distance(name, c); d < least || d == least && (best == "" || c < best) {
			best, least = c, d
		}
	}
	return best
}

func abs(n int) int { return max(n, -n) }

// What it costs to type a letter too much, too little or wrong, and to type it
// large instead of small.
const (
	slip        = 3
	wrongHeight = 1
)

// distance adds up what it costs to get from a to b. Two neighbours that have
// changed places count once.
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	rows := [3][]int{make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)}
	for j := range rows[1] {
		rows[1][j] = slip * j
	}
	for i := 1; i <= len(x); i++ {
		row, prev, older := rows[(i+1)%3], rows[i%3], rows[(i+2)%3]
		row[0] = slip * i
		for j := 1; j <= len(y); j++ {
			row[j] = min(prev[j]+slip, row[j-1]+slip, prev[j-1]+change(x[i-1], y[j-1]))
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], older[j-2]+slip)
			}
		}
	}
	return rows[(len(x)+1)%3][len(y)]
}

func change(a, b rune) int {
	switch {
	case a == b:
		return 0
	case unicode.ToLower(a) == unicode.ToLower(b):
		return wrongHeight
	}
	return slip
}
