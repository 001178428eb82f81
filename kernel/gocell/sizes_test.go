package gocell

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	cells "patternkit/kernel/gocell/exec"
	"patternkit/kernel/gocell/symbols"
)

const ceiling = 256 << 20

// tooMuch has a cell for each function and method that Size measures, which
// asks it for far more than the ceiling.
var tooMuch = map[string]string{
	"bufio.NewReaderSize":                   "bufio.NewReaderSize(strings.NewReader(``), 1<<40)",
	"bufio.NewWriterSize":                   "bufio.NewWriterSize(io.Discard, 1<<40)",
	"bufio.Writer.ReadFrom":                 "bufio.NewWriter(&bytes.Buffer{}).ReadFrom(rand.NewChaCha8([32]byte{}))",
	"bytes.Buffer.Grow":                     "var b bytes.Buffer; b.Grow(1<<40)",
	"bytes.Buffer.ReadFrom":                 "var b bytes.Buffer; b.ReadFrom(rand.NewChaCha8([32]byte{}))",
	"bytes.Join":                            "bytes.Join(make([][]byte, 1<<20), make([]byte, 1<<20))",
	"bytes.Repeat":                          "bytes.Repeat([]byte(`ab`), 1<<40)",
	"bytes.Replace":                         "bytes.Replace(make([]byte, 1<<20), []byte{0}, make([]byte, 1<<20), -1)",
	"bytes.ReplaceAll":                      "bytes.ReplaceAll(make([]byte, 1<<20), []byte{0}, make([]byte, 1<<20))",
	"bytes.Split":                           "bytes.Split(make([]byte, 1<<24), []byte{0})",
	"bytes.SplitAfter":                      "bytes.SplitAfter(make([]byte, 1<<24), []byte{0})",
	"strings.Builder.Grow":                  "var b strings.Builder; b.Grow(1<<40)",
	"strings.Join":                          "strings.Join(make([]string, 1<<20), string(make([]byte, 1<<20)))",
	"strings.Repeat":                        "strings.Repeat(`ab`, 1<<40)",
	"strings.Replace":                       "strings.Replace(a20, `a`, a20, -1)",
	"strings.ReplaceAll":                    "strings.ReplaceAll(a20, `a`, a20)",
	"strings.Split":                         "strings.Split(strings.Repeat(a20, 32), `a`)",
	"strings.SplitAfter":                    "strings.SplitAfter(strings.Repeat(a20, 32), `a`)",
	"strings.Replacer.Replace":              "strings.NewReplacer(`a`, a20).Replace(a20)",
	"strings.Replacer.WriteString":          "strings.NewReplacer(`aa`, a20, `b`, `c`).WriteString(&bytes.Buffer{}, a20)",
	"regexp.Regexp.ReplaceAll":              "regexp.MustCompile(`a`).ReplaceAll([]byte(a20), []byte(a20))",
	"regexp.Regexp.ReplaceAllLiteral":       "regexp.MustCompile(`a`).ReplaceAllLiteral([]byte(a20), []byte(a20))",
	"regexp.Regexp.ReplaceAllString":        "regexp.MustCompile(`a+`).ReplaceAllString(a20, strings.Repeat(`$0`, 1<<20))",
	"regexp.Regexp.ReplaceAllLiteralString": "regexp.MustCompile(`a`).ReplaceAllLiteralString(a20, a20)",
	"strconv.AppendFloat":                   "strconv.AppendFloat(nil, 1, 'f', 1<<40, 64)",
	"strconv.FormatFloat":                   "strconv.FormatFloat(1, 'f', 1<<40, 64)",
	"strconv.FormatComplex":                 "strconv.FormatComplex(1, 'f', 1<<40, 128)",
	"encoding/json.Indent":                  "json.Indent(&bytes.Buffer{}, []byte(strings.Repeat(`[`, 1<<16)), a20, ``)",
	"encoding/json.MarshalIndent":           "json.MarshalIndent(make([]int, 1<<16), ``, a20)",
	"io.ReadAll":                            "io.ReadAll(io.LimitReader(rand.NewChaCha8([32]byte{}), 1<<40))",
	"io.Copy":                               "io.Copy(&bytes.Buffer{}, rand.NewChaCha8([32]byte{}))",
	"io.CopyBuffer":                         "io.CopyBuffer(&bytes.Buffer{}, rand.NewChaCha8([32]byte{}), make([]byte, 9))",
	"io.CopyN":                              "io.CopyN(&bytes.Buffer{}, rand.NewChaCha8([32]byte{}), 1<<40)",
	"math/rand/v2.Perm":                     "rand.Perm(1<<40)",
	"math/rand/v2.Rand.Perm":                "rand.New(rand.NewPCG(1, 2)).Perm(1<<40)",
	"text/tabwriter.NewWriter":              "fmt.Fprintln(tabwriter.NewWriter(&bytes.Buffer{}, 1<<40, 8, 0, ' ', 0), \"a\\tb\")",
	"text/tabwriter.Writer.Init":            "new(tabwriter.Writer).Init(&bytes.Buffer{}, 0, 8, 1<<40, ' ', 0)",

	"gonum.org/v1/gonum/diff/fd.Hessian":               "fd.Hessian(&mat.SymDense{}, func([]float64) float64 { return 0 }, make([]float64, 1<<20), nil)",
	"gonum.org/v1/gonum/integrate/quad.Fixed":          "quad.Fixed(func(x float64) float64 { return x }, 0, 1, 1<<40, nil, 1<<40)",
	"gonum.org/v1/gonum/optimize.Minimize":             "optimize.Minimize(optimize.Problem{Func: func([]float64) float64 { return 0 }}, make([]float64, 1<<20), nil, nil)",
	"gonum.org/v1/gonum/stat.CovarianceMatrix":         "stat.CovarianceMatrix(&mat.SymDense{}, mat.NewDense(2, 1<<20, nil), nil)",
	"gonum.org/v1/gonum/stat.CorrelationMatrix":        "stat.CorrelationMatrix(&mat.SymDense{}, mat.NewDense(2, 1<<20, nil), nil)",
	"gonum.org/v1/gonum/stat.CC.CanonicalCorrelations": "new(stat.CC).CanonicalCorrelations(mat.NewDense(2, 1<<20, nil), mat.NewDense(2, 1<<20, nil), nil)",

	"gonum.org/v1/plot/palette.Heat":                             "palette.Heat(1<<40, 1)",
	"gonum.org/v1/plot/palette.Radial":                           "palette.Radial(1<<40, palette.Red, palette.Blue, 1)",
	"gonum.org/v1/plot/palette.Rainbow":                          "palette.Rainbow(1<<40, palette.Red, palette.Blue, 1, 1, 1)",
	"gonum.org/v1/plot/palette.reverse.Palette":                  "palette.Reverse(coloured(moreland.Kindlmann())).Palette(1<<40)",
	"gonum.org/v1/plot/palette/moreland.luminance.Palette":       "coloured(moreland.Kindlmann()).Palette(1<<40)",
	"gonum.org/v1/plot/palette/moreland.smoothDiverging.Palette": "coloured(moreland.SmoothBlueRed()).Palette(1<<40)",
	"gonum.org/v1/plot/plotter.NewHist":                          "plotter.NewHist(plotter.Values{1, 2}, 1<<40)",
	"gonum.org/v1/plot/plotter.NewHistogram":                     "plotter.NewHistogram(plotter.XYs{{X: 1, Y: 2}}, 1<<40)",
	"gonum.org/v1/plot.Plot.Add":                                 "f := plotter.NewFunction(func(x float64) float64 { return x }); f.Samples = 1<<40; plot.New().Add(f)",
	"gonum.org/v1/plot.Plot.WriterTo":                            "plot.New().WriterTo(1<<20, 1<<20, `png`)",
	"gonum.org/v1/plot/vg/draw.NewFormattedCanvas":               "draw.NewFormattedCanvas(1<<20, 1<<20, `png`)",

	"patternkit/patternkit.Arc":      "Arc(Point{}, 10, 0, 1e12)",
	"patternkit/patternkit/geom.Arc": "geom.Arc(Point{}, 10, 0, 1e12)",

	"github.com/paulmach/orb/resample.Resample":                  "resample.Resample(orb.LineString{{0, 0}, {1, 1}}, planar.Distance, 1<<40)",
	"github.com/paulmach/orb/resample.ToInterval":                "resample.ToInterval(orb.LineString{{0, 0}, {1, 1}}, planar.Distance, 1e-12)",
	"github.com/paulmach/orb/quadtree.Quadtree.KNearest":         "quadtree.New(orb.Bound{Max: orb.Point{1, 1}}).KNearest(nil, orb.Point{}, 1<<40)",
	"github.com/paulmach/orb/quadtree.Quadtree.KNearestMatching": "quadtree.New(orb.Bound{Max: orb.Point{1, 1}}).KNearestMatching(nil, orb.Point{}, 1<<40, nil)",
	"github.com/paulmach/orb/maptile.ChildrenInZoomRange":        "maptile.ChildrenInZoomRange(maptile.New(0, 0, 0), 0, 25)",
	"github.com/paulmach/orb/maptile/tilecover.Bound":            "tilecover.Bound(square.Bound(), 25)",
	"github.com/paulmach/orb/maptile/tilecover.Collection":       "tilecover.Collection(orb.Collection{square}, 25)",
	"github.com/paulmach/orb/maptile/tilecover.Geometry":         "tilecover.Geometry(square, 25)",
	"github.com/paulmach/orb/maptile/tilecover.LineString":       "tilecover.LineString(orb.LineString(square[0]), 25)",
	"github.com/paulmach/orb/maptile/tilecover.MultiLineString":  "tilecover.MultiLineString(orb.MultiLineString{orb.LineString(square[0])}, 25)",
	"github.com/paulmach/orb/maptile/tilecover.MultiPolygon":     "tilecover.MultiPolygon(orb.MultiPolygon{square}, 25)",
	"github.com/paulmach/orb/maptile/tilecover.Polygon":          "tilecover.Polygon(square, 25)",
	"github.com/paulmach/orb/maptile/tilecover.Ring":             "tilecover.Ring(square[0], 25)",
}

// thin matrices of a million rows or columns, which a dense result would not fit.
var tooMuchOfMat = map[string]string{
	"NewDense": "mat.NewDense(1e6, 1e6, nil)", "NewCDense": "mat.NewCDense(1e6, 1e6, nil)", "NewVecDense": "mat.NewVecDense(1<<40, nil)",
	"NewDiagDense": "mat.NewDiagDense(1<<40, nil)", "NewTridiag": "mat.NewTridiag(1<<40, nil, nil, nil)",
	"NewSymDense": "mat.NewSymDense(1e6, nil)", "NewTriDense": "mat.NewTriDense(1e6, mat.Upper, nil)",
	"NewDiagonalRect": "mat.NewDiagonalRect(1<<40, 1<<40, nil)", "NewBandDense": "mat.NewBandDense(1e6, 1e6, 1e5, 1e5, nil)",
	"NewSymBandDense": "mat.NewSymBandDense(1e6, 1e5, nil)", "NewTriBandDense": "mat.NewTriBandDense(1e6, 1e5, mat.Upper, nil)",
	"Dense.ReuseAs": "d.ReuseAs(1e6, 1e6)", "CDense.ReuseAs": "new(mat.CDense).ReuseAs(1e6, 1e6)", "VecDense.ReuseAsVec": "v.ReuseAsVec(1<<40)",
	"SymDense.ReuseAsSym": "s.ReuseAsSym(1e6)", "TriDense.ReuseAsTri": "t.ReuseAsTri(1e6, mat.Upper)",
	"TriBandDense.ReuseAsTriBand": "new(mat.TriBandDense).ReuseAsTriBand(1e6, 1e5, mat.Upper)",
	"Dense.Grow":                  "d.Grow(1e6, 1e6)", "CDense.Grow": "new(mat.CDense).Grow(1e6, 1e6)", "SymDense.GrowSym": "s.GrowSym(1e6)",
	"Dense.Permutation": "d.Permutation(1e6, nil)", "Dense.Mul": "d.Mul(long, long.T())", "Dense.Outer": "d.Outer(1, long, long)",
	"Dense.Product": "d.Product(long, mat.NewDense(1, 1, nil), long.T())", "Dense.Kronecker": "d.Kronecker(long, long)",
	"Dense.Solve": "d.Solve(long, long)", "SymDense.SymOuterK": "s.SymOuterK(1, long)",
	"SymDense.SubsetSym": "s.SubsetSym(diag, make([]int, 1e6))",
	"SVD.Factorize":      "new(mat.SVD).Factorize(long, mat.SVDFull)", "GSVD.Factorize": "new(mat.GSVD).Factorize(long, long, mat.GSVDU)",
	"Formatted":   "fmt.Sprint(mat.Formatted(diag))",
	"DenseCopyOf": "mat.DenseCopyOf(diag)", "Det": "mat.Det(diag)", "LogDet": "mat.LogDet(diag)", "Cond": "mat.Cond(diag, 1)",
	"Dense.CloneFrom": "d.CloneFrom(diag)", "Dense.Add": "d.Add(diag, diag)", "Dense.Sub": "d.Sub(diag, diag)",
	"Dense.MulElem": "d.MulElem(diag, diag)", "Dense.DivElem": "d.DivElem(diag, diag)", "Dense.Inverse": "d.Inverse(diag)",
	"Dense.Exp": "d.Exp(diag)", "Dense.Pow": "d.Pow(diag, 2)", "Dense.Scale": "d.Scale(2, diag)",
	"Dense.Apply":     "d.Apply(func(i, j int, v float64) float64 { return v }, diag)",
	"Dense.RankOne":   "d.RankOne(diag, 1, long, long)",
	"SymDense.AddSym": "s.AddSym(diag, diag)", "SymDense.SymRankOne": "s.SymRankOne(diag, 1, long)", "SymDense.SymRankK": "s.SymRankK(diag, 1, long)",
	"SymDense.RankTwo": "s.RankTwo(diag, 1, long, long)", "SymDense.ScaleSym": "s.ScaleSym(1, diag)", "SymDense.PowPSD": "s.PowPSD(diag, 2)",
	"TriDense.InverseTri": "t.InverseTri(diag)", "TriDense.MulTri": "t.MulTri(diag, diag)", "TriDense.ScaleTri": "t.ScaleTri(2, diag)",
	"VecDense.SolveVec": "v.SolveVec(long, long)",
	"QR.Factorize":      "new(mat.QR).Factorize(long)", "LQ.Factorize": "new(mat.LQ).Factorize(long.T())", "LU.Factorize": "new(mat.LU).Factorize(diag)",
	"Cholesky.Factorize": "new(mat.Cholesky).Factorize(diag)", "PivotedCholesky.Factorize": "new(mat.PivotedCholesky).Factorize(diag, 1)",
	"Eigen.Factorize": "new(mat.Eigen).Factorize(diag, mat.EigenBoth)", "EigenSym.Factorize": "new(mat.EigenSym).Factorize(diag, true)",
}

// moreWays reach measured functions other than by a plain call.
var moreWays = map[string]string{
	"in a variable":              "f := strings.Repeat; f(`ab`, 1<<40) // strings.Repeat",
	"as a method value":          "var b bytes.Buffer; f := b.Grow; f(1<<40) // bytes.Buffer.Grow",
	"by expression":              "var b bytes.Buffer; (*bytes.Buffer).Grow(&b, 1<<40) // bytes.Buffer.Grow",
	"by interface":               "var b bytes.Buffer; var g interface{ Grow(int) } = &b; g.Grow(1<<40) // bytes.Buffer.Grow",
	"deferred":                   "defer strings.Repeat(`ab`, 1<<40) // strings.Repeat",
	"embedded":                   "type text struct{ strings.Builder }; var t text; t.Grow(1<<40) // strings.Builder.Grow",
	"under recover":              "func() { defer func() { recover() }(); strings.Repeat(`ab`, 1<<40) }() // strings.Repeat",
	"widths of a format":         "fmt.Sprintf(strings.Repeat(`%1000000d`, 1<<12), 1) // fmt.Sprintf",
	"widths from operands":       "fmt.Sprintf(strings.Repeat(`%[1]*[2]d`, 1<<12), 1000000, 1) // fmt.Sprintf",
	"an operand again and again": "fmt.Sprintf(strings.Repeat(`%[1]s`, 1<<20), a20) // fmt.Sprintf",
	"sources":                    "slices.Grow([]int{}, 1<<40) // one value",
	"sources that repeat":        "slices.Repeat([]int{1}, 1<<40) // one value",
	"make":                       "n := 1<<40; _ = make(chan int, n) // one value",
	"make of a map":              "n := 1<<40; _ = make(map[int]int, n) // one value",
}

const sizesPrelude = `import ("bufio"; "bytes"; "encoding/json"; "fmt"; "io"; "math/rand/v2"; "regexp"; "slices"; "strconv"; "strings"; "text/tabwriter"
"gonum.org/v1/gonum/diff/fd"; "gonum.org/v1/gonum/integrate/quad"; "gonum.org/v1/gonum/mat"; "gonum.org/v1/gonum/optimize"; "gonum.org/v1/gonum/stat"
"gonum.org/v1/plot"; "gonum.org/v1/plot/palette"; "gonum.org/v1/plot/palette/moreland"; "gonum.org/v1/plot/plotter"; "gonum.org/v1/plot/vg/draw"
"github.com/paulmach/orb"; "github.com/paulmach/orb/maptile"; "github.com/paulmach/orb/maptile/tilecover"; "github.com/paulmach/orb/planar"
"github.com/paulmach/orb/quadtree"; "github.com/paulmach/orb/resample"; "patternkit/patternkit/geom")
a20 := strings.Repeat("a", 1<<20)
square := orb.Polygon{{{0, 0}, {80, 0}, {80, 80}, {0, 80}, {0, 0}}}
func coloured(m palette.ColorMap) palette.ColorMap { m.SetMax(1); return m }
var (d mat.Dense; v mat.VecDense; s mat.SymDense; t mat.TriDense)
diag := mat.NewDiagDense(1e6, nil)
long := mat.NewVecDense(1e6, nil)
`

// allTooMuch gives each cell and the words that its error must have.
func allTooMuch() map[string][2]string {
	all := map[string][2]string{}
	for name, code := range tooMuch {
		all[name] = [2]string{code, name + " would make"}
	}
	for name, code := range tooMuchOfMat {
		name = "gonum.org/v1/gonum/mat." + name
		all[name] = [2]string{code, name + " would make"}
	}
	for name, code := range moreWays {
		code, word, _ := strings.Cut(code, " // ")
		all[name] = [2]string{code, word}
	}
	return all
}

// What a cell asks of a compiled function beyond its memory is refused, and the
// kernel lives. The cells run in a process of their own, which a miss would end.
func TestTooMuchIsRefused(t *testing.T) {
	if os.Getenv("PATTERNKIT_TOO_MUCH") != "" {
		askTooMuch()
		return
	}
	all := allTooMuch()
	for _, name := range symbols.Default().Measured() {
		if _, ok := all[name]; !ok {
			t.Errorf("no cell asks %s for too much", name)
		}
	}
	cmd := exec.Command(os.Args[0], "-test.run", "^TestTooMuchIsRefused$")
	cmd.Env = append(os.Environ(), "PATTERNKIT_TOO_MUCH=1")
	var fatal strings.Builder
	cmd.Stderr = &fatal
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	asked, last := 0, "the prelude"
	for lines := bufio.NewScanner(out); lines.Scan(); {
		var got struct{ Asked, Failed string }
		if json.Unmarshal(lines.Bytes(), &got) != nil {
			continue
		}
		if got.Failed != "" {
			t.Error(got.Failed)
		}
		if got.Asked != "" {
			asked, last = asked+1, got.Asked
		}
	}
	if err := cmd.Wait(); err != nil {
		t.Errorf("the process that asks for too much ended with %v after %s:\n%.300s", err, last, fatal.String())
	}
	if asked != len(all) {
		t.Errorf("%d of %d cells were run", asked, len(all))
	}
}

// askTooMuch runs the cells and writes a line before and after each.
func askTooMuch() {
	tell := func(key, format string, args ...any) {
		line, _ := json.Marshal(map[string]string{key: fmt.Sprintf(format, args...)})
		fmt.Println(string(line))
	}
	s, err := New(Options{MemoryLimit: ceiling})
	if err != nil {
		tell("Failed", "%v", err)
		return
	}
	if _, err := s.Eval(context.Background(), sizesPrelude); err != nil {
		tell("Failed", "the prelude: %v", err)
		return
	}
	all := allTooMuch()
	names := make([]string, 0, len(all))
	for name := range all {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		code, want := all[name][0], all[name][1]
		tell("Asked", "%s", name)
		_, err := s.Eval(context.Background(), "func() {\n"+code+"\n}()")
		var e *Error
		if !errors.As(err, &e) || e.Kind != Exhausted || !errors.Is(err, cells.ErrMemory) || !strings.Contains(e.Message, want) {
			tell("Failed", "%s: got %v, want a refusal with %q", name, err, want)
		}
	}
	if v, err := s.Eval(context.Background(), "len(a20)"); err != nil || len(v) != 1 || v[0] != 1<<20 {
		tell("Failed", "afterwards: %v, %v", v, err)
	}
}

// What fits is not refused.
func TestEnoughIsAllowed(t *testing.T) {
	s, err := New(Options{MemoryLimit: ceiling})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Eval(context.Background(), sizesPrelude); err != nil {
		t.Fatal(err)
	}
	for code, want := range map[string]string{
		"strings.Repeat(`ab`, 3)":                                                                                  "ababab",
		"strings.Join([]string{`a`, `b`, `c`}, `, `)":                                                              "a, b, c",
		"strings.ReplaceAll(a20, `b`, a20) == a20":                                                                 "true",
		"strings.NewReplacer(`a`, `xyz`).Replace(`banana`)":                                                        "bxyznxyznxyz",
		"regexp.MustCompile(`b`).ReplaceAllString(a20, a20) == a20":                                                "true",
		"regexp.MustCompile(`(a)(n)`).ReplaceAllString(`banana`, `$2$1`)":                                          "bnanaa",
		"len(strings.Split(a20, ``))":                                                                              "1048576",
		"fmt.Sprintf(`%5d|%-4s|%08.3f|%[1]d`, 7, `x`, 1.5)":                                                        "    7|x   |0001.500|7",
		"len(fmt.Sprintf(`%1000000d`, 7))":                                                                         "1000000",
		"func() int { var d mat.Dense; d.Mul(long.T(), long); r, _ := d.Dims(); return r }()":                      "1",
		"func() int { var d mat.Dense; d.Grow(3, 4); d.ReuseAs(2, 2); r, _ := d.Dims(); return r }()":              "2",
		"func() string { b, _ := json.MarshalIndent(map[string]any{`a`: []int{1}}, ``, ` `); return string(b) }()": "{\n \"a\": [\n  1\n ]\n}",
		"func() int { n, _ := io.CopyN(io.Discard, rand.NewChaCha8([32]byte{}), 1000); return int(n) }()":          "1000",
		"len(tilecover.Bound(orb.Bound{Max: orb.Point{1, 1}}, 8))":                                                 "2",
	} {
		v, err := s.Eval(context.Background(), code)
		if err != nil || len(v) != 1 || fmt.Sprint(v[0]) != want {
			t.Errorf("%s: got %v, %v, want %s", code, v, err, want)
		}
	}
}
