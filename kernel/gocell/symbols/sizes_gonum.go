package symbols

import (
	"maps"
	"math"
	"reflect"

	"gonum.org/v1/gonum/integrate/quad"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
)

const (
	inMat     = "gonum.org/v1/gonum/mat."
	inStat    = "gonum.org/v1/gonum/stat."
	inPalette = "gonum.org/v1/plot/palette."
	inPlot    = "gonum.org/v1/plot"
)

var gonumSizes = map[string]size{
	inStat + "CovarianceMatrix":               func(a []reflect.Value) float64 { _, c := dims(a[1]); return 8 * c * c },
	inStat + "CorrelationMatrix":              func(a []reflect.Value) float64 { _, c := dims(a[1]); return 8 * c * c },
	inStat + "CC.CanonicalCorrelations":       func(a []reflect.Value) float64 { return 8 * squares(a[1:]) },
	"gonum.org/v1/gonum/diff/fd.Hessian":      func(a []reflect.Value) float64 { return 8 * length(a[2]) * length(a[2]) },
	"gonum.org/v1/gonum/optimize.Minimize":    minimized,
	"gonum.org/v1/gonum/integrate/quad.Fixed": quadrature,

	inPalette + "Heat":                                   counted(48, 0),
	inPalette + "Radial":                                 counted(48, 0),
	inPalette + "Rainbow":                                counted(48, 0),
	inPalette + "reverse.Palette":                        counted(48, 1),
	inPlot + "/palette/moreland.luminance.Palette":       counted(48, 1),
	inPlot + "/palette/moreland.smoothDiverging.Palette": counted(48, 1),

	inPlot + "/plotter.NewHist":            counted(40, 1),
	inPlot + "/plotter.NewHistogram":       counted(40, 1),
	inPlot + ".Plot.Add":                   samples,
	inPlot + ".Plot.WriterTo":              func(a []reflect.Value) float64 { return picture(a[1:]) },
	inPlot + "/vg/draw.NewFormattedCanvas": picture,
}

// dims are the rows and columns of a matrix; none of a nil one.
func dims(v reflect.Value) (r, c float64) {
	m := of[mat.Matrix](v)
	if m == nil || reflect.ValueOf(m).Kind() == reflect.Pointer && reflect.ValueOf(m).IsNil() {
		return 0, 0
	}
	rows, columns := m.Dims()
	return float64(rows), float64(columns)
}

// largestOf is the size of the largest matrix among the arguments when each
// of its elements is stored.
func largestOf(a []reflect.Value) (n float64) {
	for _, v := range a {
		r, c := dims(v)
		n = max(n, 8*r*c)
	}
	return n
}

// squares adds up rows and columns of the matrices, squared.
func squares(a []reflect.Value) (n float64) {
	for _, v := range a {
		r, c := dims(v)
		n += r*r + c*c
	}
	return n
}

// matSizes measures the functions and methods of gonum's mat whose result is
// larger than what they are given: made of counts, or dense from thin parts.
func matSizes() map[string]size {
	all := map[string]size{
		"NewDense": counted(8, 0, 1), "NewCDense": counted(16, 0, 1),
		"NewVecDense": counted(8, 0), "NewDiagDense": counted(8, 0), "NewTridiag": counted(24, 0),
		"NewSymDense": counted(8, 0, 0), "NewTriDense": counted(8, 0, 0),
		"NewDiagonalRect": func(a []reflect.Value) float64 { return 8 * min(number(a[0]), number(a[1])) },
		"NewBandDense": func(a []reflect.Value) float64 {
			return 8 * min(number(a[0]), number(a[1])+number(a[2])) * (number(a[2]) + number(a[3]) + 1)
		},
		"NewSymBandDense": func(a []reflect.Value) float64 { return 8 * number(a[0]) * (number(a[1]) + 1) },
		"NewTriBandDense": func(a []reflect.Value) float64 { return 8 * number(a[0]) * (number(a[1]) + 1) },

		"Dense.ReuseAs": counted(8, 1, 2), "CDense.ReuseAs": counted(16, 1, 2), "VecDense.ReuseAsVec": counted(8, 1),
		"SymDense.ReuseAsSym": counted(8, 1, 1), "TriDense.ReuseAsTri": counted(8, 1, 1),
		"TriBandDense.ReuseAsTriBand": func(a []reflect.Value) float64 { return 8 * number(a[1]) * (number(a[2]) + 1) },
		"Dense.Grow":                  grown(8), "CDense.Grow": grown(16),
		"SymDense.GrowSym": func(a []reflect.Value) float64 {
			r, _ := dims(a[0])
			return 8 * (r + number(a[1])) * (r + number(a[1]))
		},
		"Dense.Permutation": counted(8, 1, 1),

		"Dense.Mul":     func(a []reflect.Value) float64 { return 8 * outer(a[1], a[2]) },
		"Dense.Outer":   func(a []reflect.Value) float64 { return 8 * vector(a[2]) * vector(a[3]) },
		"Dense.Product": func(a []reflect.Value) float64 { return 8 * product(a[1]) },
		"Dense.Kronecker": func(a []reflect.Value) float64 {
			r, c := dims(a[1])
			p, q := dims(a[2])
			return 8 * r * c * p * q
		},
		"Dense.Solve":        solved,
		"VecDense.SolveVec":  solved,
		"SymDense.SymOuterK": func(a []reflect.Value) float64 { r, _ := dims(a[2]); return 8 * r * r },
		"SymDense.SubsetSym": func(a []reflect.Value) float64 { return 8 * length(a[2]) * length(a[2]) },
		"QR.Factorize":       func(a []reflect.Value) float64 { r, _ := dims(a[1]); return 8 * r * r },
		"LQ.Factorize":       func(a []reflect.Value) float64 { _, c := dims(a[1]); return 8 * c * c },
		"SVD.Factorize": func(a []reflect.Value) float64 {
			n := largestOf(a[1:2])
			if of[mat.SVDKind](a[2])&(mat.SVDFullU|mat.SVDFullV) != 0 {
				n = max(n, 8*squares(a[1:2]))
			}
			return n
		},
		"GSVD.Factorize": func(a []reflect.Value) float64 { return 8 * squares(a[1:3]) },
		"Formatted": func(a []reflect.Value) float64 {
			if a[1].Len() > 0 {
				return 0 // an excerpt, most often
			}
			return largestOf(a[:1]) / 4
		},
	}
	// These store each element of a matrix that may have been thin.
	for _, name := range []string{
		"DenseCopyOf", "Det", "LogDet", "Cond", "Dense.CloneFrom", "Dense.Add", "Dense.Sub", "Dense.MulElem", "Dense.DivElem",
		"Dense.Inverse", "Dense.Exp", "Dense.Pow", "Dense.Scale", "Dense.Apply", "Dense.RankOne",
		"SymDense.AddSym", "SymDense.SymRankOne", "SymDense.SymRankK", "SymDense.RankTwo", "SymDense.ScaleSym", "SymDense.PowPSD",
		"TriDense.InverseTri", "TriDense.MulTri", "TriDense.ScaleTri",
		"LU.Factorize", "Cholesky.Factorize", "PivotedCholesky.Factorize", "Eigen.Factorize", "EigenSym.Factorize",
	} {
		all[name] = largestOf
	}
	named := map[string]size{}
	for name, s := range maps.All(all) {
		named[inMat+name] = s
	}
	return named
}

func grown(bytes float64) size {
	return func(a []reflect.Value) float64 {
		var r, c float64
		if m, ok := a[0].Interface().(interface{ Dims() (r, c int) }); ok && !a[0].IsNil() {
			p, q := m.Dims()
			r, c = float64(p), float64(q)
		}
		return bytes * (r + number(a[1])) * (c + number(a[2]))
	}
}

func outer(x, y reflect.Value) float64 {
	r, _ := dims(x)
	_, c := dims(y)
	return r * c
}

// solved is what a system of equations takes: one that is not square is solved
// by an orthogonal matrix of its longer side.
func solved(a []reflect.Value) float64 {
	r, c := dims(a[1])
	return max(8*max(r, c)*max(r, c), largestOf(a[2:]))
}

func vector(v reflect.Value) float64 { r, _ := dims(v); return r }

// product is the largest matrix on the way of a product of many: their order
// is chosen inside.
func product(factors reflect.Value) (n float64) {
	if factors.Len() < 2 {
		return 0
	}
	for i := range factors.Len() - 1 {
		n = max(n, outer(factors.Index(i), factors.Index(i+1)))
	}
	return max(n, outer(factors.Index(0), factors.Index(factors.Len()-1)))
}

// minimized is what a method of optimize keeps for so many parameters.
func minimized(a []reflect.Value) float64 {
	n := length(a[1])
	switch m := of[optimize.Method](a[3]).(type) {
	case nil:
		if p := of[optimize.Problem](a[0]); p.Grad != nil {
			return 16 * n * 15
		}
	case *optimize.LBFGS:
		return 16 * n * max(15, float64(m.Store))
	case *optimize.CG, *optimize.GradientDescent:
		return 64 * n
	case *optimize.CmaEsChol:
		return 8 * n * max(n, float64(m.Population))
	case *optimize.GuessAndCheck, *optimize.ListSearch:
		return 64 * n
	}
	return 16 * n * n
}

// quadrature keeps a goroutine for each task, and the places where it looks
// unless the rule gives them one by one.
func quadrature(a []reflect.Value) float64 {
	const goroutine = 4 << 10
	n := number(a[3])
	tasks := min(n, number(a[5])) * goroutine
	_, single := a[4].Interface().(quad.FixedLocationSingler)
	if a[4].IsNil() || single {
		return tasks
	}
	return tasks + 16*n
}

// samples are the points that plotters make when they are drawn.
func samples(a []reflect.Value) (n float64) {
	for i := range a[1].Len() {
		switch p := of[plot.Plotter](a[1].Index(i)).(type) {
		case *plotter.Function:
			if p != nil {
				n += 16 * float64(p.Samples)
			}
		case *plotter.ColorBar:
			if p != nil {
				n += 48 * float64(p.Colors)
			}
		}
	}
	return n
}

// picture is a canvas of width, height and format; those of pixels have 96 to
// the inch, four bytes each.
func picture(a []reflect.Value) float64 {
	switch a[2].String() {
	case "png", "jpg", "jpeg", "tif", "tiff":
		pixels := func(v reflect.Value) float64 { return math.Ceil(number(v) / float64(vg.Inch) * 96) }
		return 4 * pixels(a[0]) * pixels(a[1])
	}
	return 0
}
