package patternkit

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// ezdxfFile is what ezdxf, a general library for the format, read.
type ezdxfFile struct {
	Errors, Fixes []string
	Version       string
	Units         int
	Blocks        map[string][]struct {
		Kind, Layer, Text string
		Points            [][2]float64
	}
}

func readByEzdxf(t *testing.T, file []byte) ezdxfFile {
	t.Helper()
	const python = "/usr/bin/python3"
	if exec.Command(python, "-c", "import ezdxf").Run() != nil {
		if os.Getenv("PATTERNKIT_FULL") != "" {
			t.Fatal("python3-ezdxf is not installed, and PATTERNKIT_FULL asks for it")
		}
		t.Skip("python3-ezdxf is not installed: DXF files are not read back by it")
	}
	name := filepath.Join(t.TempDir(), "pattern.dxf")
	if err := os.WriteFile(name, file, 0o600); err != nil {
		t.Fatal(err)
	}
	run := exec.Command(python, filepath.Join("testdata", "read_dxf.py"), name)
	var complaints bytes.Buffer
	run.Stderr = &complaints
	out, err := run.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, complaints.String())
	}
	var got ezdxfFile
	if err := json.Unmarshal(out, &got); err != nil {
		t.Fatal(err)
	}
	return got
}

func dxfPatterns(t *testing.T) map[string]Pattern {
	t.Helper()
	block := blockOf(t, 168*CM, 92*CM, 74*CM, 98*CM, DirectMeasure)
	front := skirtPanel(t, "front")
	front, err := front.WithAllowanceEverywhere(1 * CM)
	if err == nil {
		front, err = front.WithAllowance(Hem("hem", 3*CM), Allowance{Edge: "centre front"})
	}
	if err == nil {
		front, err = front.WithFold("centre front")
	}
	if err == nil {
		front, err = front.WithDrillHole("pocket", Pt(5*CM, 30*CM))
	}
	if err != nil {
		t.Fatal(err)
	}
	cut, err := NewPattern("Küstenrock", front.WithMaterial("wool"), skirtPanel(t, "back"))
	if err != nil {
		t.Fatal(err)
	}
	return map[string]Pattern{"block": block, "skirt with allowances": cut}
}

func TestDXFReadByEzdxf(t *testing.T) {
	for name, p := range dxfPatterns(t) {
		for _, kind := range []struct {
			name, version string
			units         int
			file          func() ([]byte, error)
		}{{"lines", "AC1009", 0, p.DXFFile}, {"curves", "AC1015", 4, p.CurveDXFFile}} {
			t.Run(name+" "+kind.name, func(t *testing.T) {
				file, err := kind.file()
				if err != nil {
					t.Fatal(err)
				}
				got := readByEzdxf(t, file)
				// ezdxf 0.18 looks for the owner of each SEQEND, which release
				// 12 has no group for.
				got.Fixes = slices.DeleteFunc(got.Fixes, func(fix string) bool {
					return kind.version == "AC1009" && strings.HasPrefix(fix, "Deleted SEQEND")
				})
				if len(got.Errors)+len(got.Fixes) > 0 || got.Version != kind.version || got.Units != kind.units {
					t.Fatalf("version %s, unit %d, errors %q, fixes %q", got.Version, got.Units, got.Errors, got.Fixes)
				}
				for _, piece := range p.pieces {
					comparePieceToEzdxf(t, piece, got)
				}
			})
		}
	}
}

func comparePieceToEzdxf(t *testing.T, piece Piece, got ezdxfFile) {
	t.Helper()
	boundary, sew := piece.outline, Path{}
	if len(piece.Allowances()) > 0 {
		cut, err := piece.CutLine()
		if err != nil {
			t.Fatal(err)
		}
		boundary, sew = cut, piece.outline
	}
	block, ok := got.Blocks[piece.name]
	if !ok {
		t.Fatalf("no block %q", piece.name)
	}
	count := map[string]int{}
	lines := map[string]Path{}
	for _, e := range block {
		count[e.Layer+e.Kind]++
		var points []Point
		for _, q := range e.Points {
			points = append(points, Pt(Length(q[0]), Length(q[1])))
		}
		if len(points) > 1 && (e.Layer == dxfBoundary || e.Layer == dxfSew) {
			next, err := lines[e.Layer].Append(Polyline(points...))
			if err != nil {
				t.Fatalf("%s, layer %s: %v", piece.name, e.Layer, err)
			}
			lines[e.Layer] = next
		}
	}
	sameWithin(t, piece.name+" boundary", boundary, lines[dxfBoundary], 0.01*MM)
	sameWithin(t, piece.name+" sew line", sew, lines[dxfSew], 0.01*MM)
	if count[dxfNotch+"POINT"] != len(piece.notches) || count[dxfDrill+"POINT"] != len(piece.drills) {
		t.Errorf("%s: counted %v, want %d notches and %d drill holes", piece.name, count, len(piece.notches), len(piece.drills))
	}
	if _, _, has := piece.Grainline(); has && count[dxfGrain+"LINE"] != 1 || piece.fold != "" && count[dxfMirror+"LINE"] != 1 {
		t.Errorf("%s: counted %v, want a grainline, and a mirror line where it is on the fold", piece.name, count)
	}
}

// sameWithin compares two paths from each to the other.
func sameWithin(t *testing.T, what string, p, q Path, tol Length) {
	t.Helper()
	if p.Empty() != q.Empty() {
		t.Errorf("%s: empty %v, read as empty %v", what, p.Empty(), q.Empty())
		return
	}
	for _, pair := range [][2]Path{{p, q}, {q, p}} {
		for s := Length(0); s < pair[0].Length(); s += 2 * MM {
			if far := pair[1].Dist(pair[0].At(s)); far > tol {
				t.Errorf("%s: %s along it is %.4f mm away, want at most %.2f mm", what, s, far.MM(), tol.MM())
				return
			}
		}
	}
}

func TestDXFReadAgain(t *testing.T) {
	for name, p := range dxfPatterns(t) {
		for kind, file := range map[string]func() ([]byte, error){"lines": p.DXFFile, "curves": p.CurveDXFFile} {
			t.Run(name+" "+kind, func(t *testing.T) {
				data, err := file()
				if err != nil {
					t.Fatal(err)
				}
				edges, err := OutlinesFromDXF(bytes.NewReader(data), 0)
				if err != nil {
					t.Fatal(err)
				}
				for _, piece := range p.pieces {
					layer := dxfBoundary
					if len(piece.Allowances()) > 0 {
						layer = dxfSew
					}
					i := slices.IndexFunc(edges, func(e Edge) bool { return e.Name == piece.name+" "+layer })
					if i < 0 {
						t.Fatalf("no outline of %q", piece.name)
					}
					sameWithin(t, piece.name, piece.outline, edges[i].Path, 0.01*MM)
					if _, err := NewPiece(piece.name, edges[i]); err != nil {
						t.Errorf("no piece again: %v", err)
					}
				}
			})
		}
	}
}

// Points at corners are told from those along curves.
func TestDXFPointsAtCorners(t *testing.T) {
	square := Polyline(Pt(0, 0), Pt(100, 0), Pt(100, 100), Pt(0, 100), Pt(0, 0))
	turns, curves := 0, 0
	for _, it := range dxfPoints(square) {
		if it.Layer == dxfTurn {
			turns++
		} else {
			curves++
		}
	}
	if turns != 4 || curves != 0 {
		t.Errorf("a square has %d turn points and %d curve points, want 4 and 0", turns, curves)
	}
}
