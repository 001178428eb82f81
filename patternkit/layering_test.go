package patternkit

import (
	"encoding/json"
	"fmt"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// mayImport is the picture of the rooms: which packages of this module each
// may import. Change the picture in DEVELOPERS.md first.
var mayImport = map[string][]string{
	"patternkit/patternkit/geom":            {},
	"patternkit/patternkit/drawing":         {"patternkit/patternkit/geom"},
	"patternkit/patternkit/drawing/dxf":     {"patternkit/patternkit/geom"},
	"patternkit/patternkit/drawing/photo":   {"patternkit/patternkit/geom"},
	"patternkit/patternkit/drawing/svgpath": {"patternkit/patternkit/geom"},
	"patternkit/patternkit":                 {"patternkit/patternkit/geom", "patternkit/patternkit/drawing/..."},
	"patternkit/kernel/wire":                {},
	"patternkit/kernel":                     {"patternkit/kernel/wire"},
	"patternkit/kernel/controls":            {"patternkit/patternkit/geom"},
	"patternkit/kernel/notebook":            {"patternkit/kernel"},
	"patternkit/kernel/gocell/exec":         {},
	"patternkit/kernel/gocell/symbols":      {"patternkit/patternkit/...", "patternkit/kernel/controls", "patternkit/kernel/gocell/symbols/..."},
	"patternkit/kernel/gocell":              {"patternkit/kernel/gocell/..."},

	"patternkit/kernel/gocell/suite":            {"patternkit/kernel/gocell/..."},
	"patternkit/kernel/gocell/suite/programs":   {"patternkit/patternkit"},
	"patternkit/kernel/gocell/symbols/generate": {"patternkit/kernel/gocell/symbols/..."},
	"patternkit/kernel/gocell/symbols/policy":   {},

	"patternkit/notebooks":             {},
	"patternkit/kernel/cmd/patternkit": {"patternkit/..."},
}

// mayImportInTests is what tests may import besides: a test stands outside
// the picture where it joins rooms to try them together.
var mayImportInTests = map[string][]string{
	"patternkit/patternkit":      {"patternkit/patternkit/internal/ansur", "patternkit/patternkit/internal/shapely"},
	"patternkit/patternkit/geom": {"patternkit/patternkit/internal/shapely"},
	"patternkit/notebooks":       {"patternkit/..."},
	"patternkit/kernel":          {"patternkit/kernel/controls"},
}

// neverImport holds whatever the tables above come to allow.
var neverImport = map[string]string{
	"patternkit/patternkit":         "patternkit/kernel",
	"patternkit/kernel/gocell/exec": "patternkit/patternkit",
	"patternkit/kernel/gocell":      "patternkit/kernel/wire",
}

type listedPackage struct {
	ImportPath                         string
	Imports, TestImports, XTestImports []string
}

func TestRoomsImportOneWay(t *testing.T) {
	for _, p := range listPackages(t) {
		allowed, known := roomOf(p.ImportPath)
		if !known {
			t.Errorf("%s is in no room of mayImport: draw it in the picture first", p.ImportPath)
			continue
		}
		for _, imported := range p.Imports {
			if !permitted(imported, p.ImportPath, allowed) {
				t.Errorf("%s imports %s, may import %v", p.ImportPath, imported, allowed)
			}
			if never := neverImport[p.ImportPath]; never != "" && within(imported, never) {
				t.Errorf("%s imports %s, must never", p.ImportPath, imported)
			}
		}
		inTests := append(slices.Clone(allowed), mayImportInTests[p.ImportPath]...)
		for _, imported := range append(p.TestImports, p.XTestImports...) {
			if !permitted(imported, p.ImportPath, inTests) {
				t.Errorf("tests of %s import %s, may import %v", p.ImportPath, imported, inTests)
			}
		}
	}
}

// roomOf finds what a package may import. A package under a room's internal
// folder is of that room: it may import what the room may.
func roomOf(path string) ([]string, bool) {
	if allowed, ok := mayImport[path]; ok {
		return allowed, true
	}
	if room, _, inside := strings.Cut(path, "/internal/"); inside {
		allowed, ok := mayImport[room]
		return append(slices.Clone(allowed), room+"/internal/..."), ok
	}
	return nil, false
}

// permitted reports whether an import is of another module, of the package
// itself or inside it, or allowed. "x/..." allows x and what is under it.
func permitted(imported, by string, allowed []string) bool {
	if !within(imported, "patternkit") || imported == by || within(imported, by+"/internal") {
		return true
	}
	for _, a := range allowed {
		if room, all := strings.CutSuffix(a, "/..."); imported == a || all && within(imported, room) {
			return true
		}
	}
	return false
}

func within(path, room string) bool {
	return path == room || strings.HasPrefix(path, room+"/")
}

func listPackages(t *testing.T) []listedPackage {
	t.Helper()
	out, err := exec.Command("go", "list", "-e", "-json=ImportPath,Imports,TestImports,XTestImports", "patternkit/...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	var all []listedPackage
	for d := json.NewDecoder(strings.NewReader(string(out))); d.More(); {
		var p listedPackage
		if err := d.Decode(&p); err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
	if len(all) < 3 {
		t.Fatalf("go list found %d packages, want geom, drawing and patternkit at least", len(all))
	}
	return all
}

// A check that cannot fail proves nothing: the rule must refuse what the
// picture refuses.
func TestRoomsRuleRefuses(t *testing.T) {
	tests := []struct {
		by, imported string
		want         bool
	}{
		{"patternkit/patternkit/geom", "patternkit/patternkit/drawing", false},
		{"patternkit/patternkit/drawing", "patternkit/patternkit/geom", true},
		{"patternkit/patternkit", "patternkit/kernel", false},
		{"patternkit/kernel/gocell", "patternkit/kernel", false},
		{"patternkit/kernel/gocell", "patternkit/kernel/gocell/exec", true},
		{"patternkit/kernel", "patternkit/kernel/gocell", false},
		{"patternkit/kernel/controls", "patternkit/kernel", false},
		{"patternkit/kernel/cmd/patternkit", "patternkit/kernel/gocell", true},
		{"patternkit/patternkit/geom", "github.com/paulmach/orb", true},
	}
	for _, tt := range tests {
		t.Run(fmt.Sprintf("%s imports %s", tt.by, tt.imported), func(t *testing.T) {
			allowed, _ := roomOf(tt.by)
			if got := permitted(tt.imported, tt.by, allowed); got != tt.want {
				t.Errorf("permitted = %v, want %v", got, tt.want)
			}
		})
	}
}
