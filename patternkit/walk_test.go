package patternkit

import (
	"math"
	"strings"
	"testing"
)

// skirt is a front and a back panel with their side seam and a waistband.
func skirt(t testing.TB, backNotch Length, bandLength Length) Pattern {
	t.Helper()
	front, back := skirtPanel(t, "front"), skirtPanel(t, "back")
	half := bandLength / 2
	band, err := makePiece("waistband",
		Edge{"lower front", Line(Pt(0, 0), Pt(half, 0))},
		Edge{"lower back", Line(Pt(half, 0), Pt(2*half, 0))},
		Edge{"end", Line(Pt(2*half, 0), Pt(2*half, 3*CM))},
		Edge{"upper", Line(Pt(2*half, 3*CM), Pt(0, 3*CM))},
		Edge{"centre front", Line(Pt(0, 3*CM), Pt(0, 0))},
	).
		notch(Notch{Name: "side seam", Edge: "lower front", At: half}).
		grainline(Pt(2*CM, 1.5*CM), Pt(12*CM, 1.5*CM)).
		fold("centre front").
		done()
	if err != nil {
		t.Fatal(err)
	}
	back, err = back.WithNotch(Notch{Name: "back balance", Edge: "side seam", At: 10 * CM, Double: true})
	if err != nil {
		t.Fatal(err)
	}
	front, err = front.WithNotch(Notch{Name: "back balance", Edge: "side seam", At: backNotch, Double: true})
	if err != nil {
		t.Fatal(err)
	}
	p, err := NewPattern("skirt", front, back, band,
		Seam{Name: "side seam", A: []Along{{"front", "side seam", true}}, B: []Along{{"back", "side seam", true}}},
		Seam{Name: "waist", A: []Along{{"front", "waist", true}, {"back", "waist", false}},
			B: []Along{{"waistband", "lower front", false}, {"waistband", "lower back", false}}, Ease: 1 * CM})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// waistLength is one waist edge of skirtPanel with its dart closed.
var waistLength = 10*CM + Length(math.Hypot(90, 10))

func TestWalkMeets(t *testing.T) {
	p := skirt(t, 10*CM, 2*waistLength-1*CM)
	walk := p.Walk()
	if !walk.OK() || len(walk.Faults()) != 0 {
		t.Errorf("faults in a skirt that meets:\n%s", walk)
	}
	side, waist := walk.Rows()[0], walk.Rows()[1]
	if side.LengthA != side.LengthB || side.Verdict != "meets" {
		t.Errorf("side seam %+v", side)
	}
	if math.Abs(float64(waist.Difference-1*CM)) > 1e-6 || waist.Verdict != "meets, A eased in" {
		t.Errorf("waist %+v", waist)
	}
	if waist.SideA != "front + back waist" || waist.SideB != "waistband lower front + lower back" {
		t.Errorf("sides are called %q and %q", waist.SideA, waist.SideB)
	}
	// The notch named after a seam meets where that seam runs into the waist.
	if n := waist.Notches; len(n) != 1 || !n[0].OnA || math.Abs(float64(n[0].AtA-waistLength)) > 1e-6 ||
		n[0].Verdict != "meets, 0.50 cm of A eased before it" {
		t.Errorf("notches of the waist: %+v", n)
	}
}

func TestWalkFaults(t *testing.T) {
	for _, tt := range []struct {
		name      string
		backNotch Length
		band      Length
		seam      int
		verdict   string
		notch     string
	}{
		{"band too long", 10 * CM, 2*waistLength - 1*CM + 0.6*MM, 1, "FAULT: A is 0.06 cm too short", ""},
		{"band too short", 10 * CM, 2*waistLength - 4*CM, 1, "FAULT: A is 3.00 cm too long", ""},
		{"within tolerance", 10 * CM, 2*waistLength - 1*CM + 0.4*MM, 1, "meets, A eased in", ""},
		{"notch astray", 11 * CM, 2*waistLength - 1*CM, 0, "FAULT: a notch is out of place", "FAULT: 1.00 cm too far along B"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			walk := skirt(t, tt.backNotch, tt.band).Walk()
			row := walk.Rows()[tt.seam]
			if row.Verdict != tt.verdict || row.Fault != strings.HasPrefix(tt.verdict, "FAULT") || walk.OK() == row.Fault {
				t.Errorf("verdict %q (fault %v), want %q", row.Verdict, row.Fault, tt.verdict)
			}
			if tt.notch == "" {
				return
			}
			found := false
			for _, n := range row.Notches {
				found = found || n.Verdict == tt.notch
			}
			if !found {
				t.Errorf("notches %+v, want one that says %q", row.Notches, tt.notch)
			}
		})
	}
}

func TestNotchWithoutPartner(t *testing.T) {
	front, back := skirtPanel(t, "front"), skirtPanel(t, "back")
	front, err := front.WithNotch(Notch{Name: "pocket", Edge: "side seam", At: 50 * CM})
	if err != nil {
		t.Fatal(err)
	}
	p, err := NewPattern("skirt", front, back,
		Seam{Name: "side seam", A: []Along{{"front", "side seam", true}}, B: []Along{{"back", "side seam", true}}})
	if err != nil {
		t.Fatal(err)
	}
	if got := p.Walk().String(); !strings.Contains(got, "marks A only, no partner on B") {
		t.Errorf("walk does not say that the pocket notch is alone:\n%s", got)
	}
}

func TestWalkShown(t *testing.T) {
	walk := skirt(t, 10*CM, 2*waistLength-2*CM).Walk()
	checkGolden(t, "walk_skirt.txt", []byte(walk.String()))
	checkGolden(t, "walk_skirt.html", []byte(walk.HTML()))
	checkGolden(t, "walk_skirt.md", []byte(walk.Markdown()))
}

func TestNewPatternErrors(t *testing.T) {
	front, back := skirtPanel(t, "front"), skirtPanel(t, "back")
	seam := func(name, piece, edge string) Seam {
		return Seam{Name: name, A: []Along{{"front", "side seam", false}}, B: []Along{{piece, edge, false}}}
	}
	for _, tt := range []struct {
		name  string
		parts []Part
		want  string
	}{
		{"no pieces", []Part{seam("side", "back", "side seam")}, `pattern "p" has no pieces`},
		{"nil part", []Part{front, nil}, `pattern "p": part 2 is nil`},
		{"same piece", []Part{front, front}, `pattern "p" has two pieces named "front"`},
		{"zero piece", []Part{front, Piece{}}, `pattern "p": piece 2 is empty, want a piece made by NewPiece`},
		{"unknown piece", []Part{front, back, seam("side", "bak", "side seam")}, `seam "side": pattern "p" has no piece "bak", it has "front" and "back"`},
		{"unknown edge", []Part{front, back, seam("side", "back", "side")},
			`pattern "p": seam "side": piece "back" has no edge "side", it has "hem", "side seam", "waist", "waist dart mouth" and "centre back"`},
		{"same seam", []Part{front, back, seam("side", "back", "side seam"), seam("side", "back", "hem")}, `pattern "p" has two seams named "side"`},
		{"one side", []Part{front, Seam{Name: "side", A: []Along{{"front", "hem", false}}}}, `seam "side" has an empty side`},
		{"nameless seam", []Part{front, seam("", "front", "hem")}, `seam 1 has no name`},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := NewPattern("p", tt.parts...)
			if err == nil || !strings.Contains(err.Error(), tt.want) {
				t.Errorf("got  %v\nwant %s", err, tt.want)
			}
		})
	}
	// A trade edge in two parts needs a dart between them.
	open, err := NewPiece("front", front.Edges()...)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := NewPattern("p", open); err == nil || !strings.Contains(err.Error(),
		`edge "waist" is in parts with edge "waist dart mouth" between them, want only dart mouths there`) {
		t.Errorf("parts without a dart: %v", err)
	}
}

// The pattern of a pattern is the same again.
func TestPatternIsAPart(t *testing.T) {
	p := skirt(t, 10*CM, 2*waistLength-1*CM)
	q, err := NewPattern("skirt", p)
	if err != nil || q.Walk().String() != p.Walk().String() {
		t.Errorf("NewPattern of a pattern: %v", err)
	}
}

// Ease shared out between notches: 1 cm before the notch and nothing after it
// meets; the notch moved, or the share left out of a stretch, does not.
func TestWalkShares(t *testing.T) {
	strip := func(name string, length, notch Length) Piece {
		p, err := NewPiece(name, Edge{"top", Line(Pt(0, 0), Pt(length, 0))}, Edge{"rest", Polyline(Pt(length, 0), Pt(length, 5*CM), Pt(0, 5*CM), Pt(0, 0))})
		if err != nil {
			t.Fatal(err)
		}
		if p, err = p.WithNotch(Notch{Name: "middle", Edge: "top", At: notch}); err != nil {
			t.Fatal(err)
		}
		return p
	}
	for _, tt := range []struct {
		notch   Length // on A; that on B is at 10 cm
		shares  []EaseShare
		fault   bool
		verdict string // of the notch
	}{
		{11 * CM, nil, false, "meets, 1.00 cm of A eased before it"},
		{11 * CM, []EaseShare{{"middle", 1 * CM}, {"", 0}}, false, "meets, 1.00 cm of A eased before it"},
		{10.5 * CM, nil, false, "meets, 0.50 cm of A eased before it"},
		{10.5 * CM, []EaseShare{{"middle", 1 * CM}}, true, "FAULT: 0.50 cm eased before it, 1.00 cm meant"},
		{10.5 * CM, []EaseShare{{"", 0}}, true, "FAULT: 0.50 cm eased after it, 0.00 cm meant"},
		{10.5 * CM, []EaseShare{{"middle", 0.5 * CM}, {"", 0.5 * CM}}, false, "meets, 0.50 cm of A eased before it"},
		{11 * CM, []EaseShare{{"crown", 1 * CM}}, true, "meets, 1.00 cm of A eased before it"},
	} {
		p, err := NewPattern("strips", strip("a", 21*CM, tt.notch), strip("b", 20*CM, 10*CM),
			Seam{Name: "seam", A: []Along{{Piece: "a", Edge: "top"}}, B: []Along{{Piece: "b", Edge: "top"}}, Ease: 1 * CM, Shares: tt.shares})
		if err != nil {
			t.Fatal(err)
		}
		row := p.Walk().Rows()[0]
		if row.Fault != tt.fault || row.Notches[0].Verdict != tt.verdict {
			t.Errorf("notch at %v, shares %v: fault %t, %q, want %t, %q", tt.notch, tt.shares, row.Fault, row.Notches[0].Verdict, tt.fault, tt.verdict)
		}
	}
}
