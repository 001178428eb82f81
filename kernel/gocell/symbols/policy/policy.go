// Package policy says what a cell may reach: the packages that are open to it,
// and the few functions and methods inside them that are not. The generator of
// the symbol tables and the evaluator both ask here, so there is one list.
package policy

import (
	"slices"
	"strings"
)

// A Group is a set of open packages whose symbol tables share one generated file.
type Group struct {
	File  string // tables_<File>.go
	Paths []string
}

// Groups lists every package that a cell may import.
//
// None of them opens a file, a socket or a process by itself; what a single
// function or method of one would, is in closed. Of
// orb, encoding/mvt is left out: it is for map tiles and needs two modules more.
var Groups = []Group{
	{"std", []string{
		"bufio", "bytes", "cmp", "container/heap", "container/list", "context",
		"encoding/csv", "encoding/json", "errors", "fmt", "image/color", "io", "iter",
		"maps", "math", "math/bits", "math/cmplx", "math/rand/v2", "regexp", "slices",
		"sort", "strconv", "strings", "sync", "sync/atomic", "text/tabwriter", "time",
		"unicode", "unicode/utf8",
	}},
	{"gonum", []string{
		"gonum.org/v1/gonum/diff/fd", "gonum.org/v1/gonum/floats",
		"gonum.org/v1/gonum/floats/scalar", "gonum.org/v1/gonum/integrate/quad",
		"gonum.org/v1/gonum/interp", "gonum.org/v1/gonum/mat",
		"gonum.org/v1/gonum/optimize", "gonum.org/v1/gonum/stat",
		"gonum.org/v1/gonum/stat/distuv",
	}},
	{"plot", []string{
		"gonum.org/v1/plot", "gonum.org/v1/plot/font", "gonum.org/v1/plot/palette",
		"gonum.org/v1/plot/palette/moreland", "gonum.org/v1/plot/plotter",
		"gonum.org/v1/plot/plotutil", "gonum.org/v1/plot/text", "gonum.org/v1/plot/vg",
		"gonum.org/v1/plot/vg/draw",
	}},
	{"orb", []string{
		"github.com/paulmach/orb", "github.com/paulmach/orb/clip",
		"github.com/paulmach/orb/clip/smartclip", "github.com/paulmach/orb/encoding/ewkb",
		"github.com/paulmach/orb/encoding/wkb",
		"github.com/paulmach/orb/encoding/wkt", "github.com/paulmach/orb/geo",
		"github.com/paulmach/orb/geojson", "github.com/paulmach/orb/maptile",
		"github.com/paulmach/orb/maptile/tilecover", "github.com/paulmach/orb/planar",
		"github.com/paulmach/orb/project", "github.com/paulmach/orb/quadtree",
		"github.com/paulmach/orb/resample", "github.com/paulmach/orb/simplify",
	}},
	{"patternkit", []string{
		"patternkit/kernel/controls", "patternkit/patternkit",
		"patternkit/patternkit/drawing", "patternkit/patternkit/geom",
	}},
}

// Sources names the packages whose exported functions are generic. A compiled
// generic function has no body that could be called, so these packages are
// carried as source and built together with the cells. Each stands after those
// that it imports.
var Sources = []string{"cmp", "iter", "maps", "slices"}

// shut names packages that a cell may neither import nor call a method of,
// each with the reason that a designer reads. A path ending in /... means the
// packages below it too.
var shut = map[string]string{
	"C":                    "cells can't call C",
	"crypto/...":           "it is not needed for drafting",
	"debug/...":            "it reads programs",
	"go/...":               "it reads source files; a cell is Go already",
	"internal/...":         "it is internal to Go",
	"io/ioutil":            "it reads and writes files; save with controls.Save, load with controls.Load",
	"log/...":              "it writes past the notebook; print with fmt.Println",
	"net/...":              "a cell has no network",
	"os/...":               "a cell reaches no files, programs or environment; save with controls.Save, load with controls.Load",
	"path/filepath":        "a cell reaches no files; save with controls.Save, load with controls.Load",
	"plugin":               "it loads programs",
	"reflect":              "it would reach past what a cell may see",
	"runtime/...":          "it changes the running program",
	"syscall/...":          "it reaches the operating system",
	"testing/...":          "tests belong in a Go package",
	"unsafe":               "it reaches past what Go can check",
	"golang.org/x/sys/...": "it reaches the operating system",
}

// closed names functions and methods of open packages that reach further than
// their package should: path.Func, path.Type.Method, or path.Type.* for all
// methods of a type.
var closed = map[string]string{
	"fmt.Scan":   noInput,
	"fmt.Scanf":  noInput,
	"fmt.Scanln": noInput,
	"gonum.org/v1/gonum/optimize.NewPrinter": "it writes past the notebook; " +
		"use the result that Minimize returns",
	"patternkit/kernel/controls.NewPanel": onePanel,
	"patternkit/kernel/controls.Panel.*":  onePanel,
	"gonum.org/v1/plot.Plot.Save":         "it writes a file anywhere; show the plot, or draw it on a page and save that with controls.Save",
}

const onePanel = "a notebook has one panel, which controls.Slider, controls.Save and the others use already; " +
	"another could write to any folder"

const noInput = "a cell has no standard input; read a slider or another control instead"

// Open reports whether a cell may import the package.
func Open(path string) bool {
	for _, g := range Groups {
		if slices.Contains(g.Paths, path) {
			return true
		}
	}
	return false
}

// Refusal says why a cell may not import the package; it is empty for an open one.
func Refusal(path string) string {
	if Open(path) {
		return ""
	}
	if reason, ok := shutReason(path); ok {
		return reason
	}
	return "it is not among the packages that a notebook carries"
}

// Denied says why a cell may not call the function (recv empty) or the method
// of the type recv. Every method of a shut package is denied, so that a value
// which a library hands out (an *os.File, a reflect.Type) opens no back door.
func Denied(path, recv, name string) (reason string, denied bool) {
	key := path + "." + name
	if recv != "" {
		key = path + "." + recv + "." + name
	}
	if reason, ok := closed[key]; ok {
		return reason, true
	}
	if reason, ok := closed[path+"."+recv+".*"]; ok {
		return reason, true
	}
	if Open(path) {
		return "", false
	}
	if path == "runtime" && recv == "Error" {
		return "", false // the error of a failed index or division, which a cell may recover
	}
	return shutReason(path)
}

// Closed lists the functions and methods that are denied inside open packages,
// as path.Func, path.Type.Method or path.Type.*, sorted.
func Closed() []string {
	var out []string
	for key := range closed {
		out = append(out, key)
	}
	slices.Sort(out)
	return out
}

func shutReason(path string) (string, bool) {
	if reason, ok := shut[path]; ok {
		return reason, true
	}
	for pattern, reason := range shut {
		root, below := strings.CutSuffix(pattern, "/...")
		if below && (path == root || strings.HasPrefix(path, root+"/")) {
			return reason, true
		}
	}
	return "", false
}
