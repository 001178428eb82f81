// Package notebooks holds the lessons, so that the program can run them where
// no copy of the project is at hand.
package notebooks

import "embed"

// Lessons holds the lesson files, by name: "01-first-block.ipynb".
//
//go:embed *.ipynb
var Lessons embed.FS
