package patternkit

import (
	"fmt"
	"strings"
)

// place is a point as a designer reads it on the sheet.
func place(p Point) string {
	return fmt.Sprintf("(%.2f, %.2f) cm", p.X.CM(), p.Y.CM())
}

// quoted lists names for an error: "armhole", "neckline" and "waist".
func quoted(names []string) string {
	var b strings.Builder
	for i, n := range names {
		switch {
		case i > 0 && i == len(names)-1:
			b.WriteString(" and ")
		case i > 0:
			b.WriteString(", ")
		}
		fmt.Fprintf(&b, "%q", n)
	}
	if len(names) == 0 {
		return "none"
	}
	return b.String()
}
