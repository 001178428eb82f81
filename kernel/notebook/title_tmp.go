package notebook

import "strings"

func firstHeading(s string) string { _, r, _ := strings.Cut(s, "# "); l, _, _ := strings.Cut(r, "\n"); return l }
