package gocell

import "strings"

// nearest returns the candidate that a misspelt name most likely means, or "".
func nearest(name string, candidates []string) string {
	best, least := "", 1+len(name)/3
	if len(name) < 3 {
		least = 1
	}
	for _, c := range candidates {
		if c == name || len(c) > len(name)+least || len(name) > len(c)+least {
			continue
		}
		d := distance(strings.ToLower(name), strings.ToLower(c))
		if d < least || d == least && best == "" || d == least && c < best {
			best, least = c, d
		}
	}
	return best
}

// distance counts the letters to insert, drop, change or swap with their
// neighbour to get from a to b.
func distance(a, b string) int {
	x, y := []rune(a), []rune(b)
	rows := [3][]int{make([]int, len(y)+1), make([]int, len(y)+1), make([]int, len(y)+1)}
	for j := range rows[1] {
		rows[1][j] = j
	}
	for i := 1; i <= len(x); i++ {
		row, prev, older := rows[(i+1)%3], rows[i%3], rows[(i+2)%3]
		row[0] = i
		for j := 1; j <= len(y); j++ {
			cost := 1
			if x[i-1] == y[j-1] {
				cost = 0
			}
			row[j] = min(prev[j]+1, row[j-1]+1, prev[j-1]+cost)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				row[j] = min(row[j], older[j-2]+1)
			}
		}
	}
	return rows[(len(x)+1)%3][len(y)]
}
