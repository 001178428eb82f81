package patternkit

import (
	"strings"
	"testing"
)

// A garment that is the block measures what the block measures; one that was
// measured lying flat, what was given.
func TestCompare(t *testing.T) {
	body, top := demoBody(t), eveningTop()
	bodice := styleMust[Bodice](t)(DraftBodice(body, BodiceOptions{BustEase: 8 * CM, WaistEase: 6 * CM}))
	sleeve := styleMust[Sleeve](t)(DraftSleeve(bodice.Armhole(), SleeveOptions{BicepsWidth: 34 * CM, CapEase: 1.5 * CM, Length: 25 * CM, WristWidth: 30 * CM}))
	block := styleMust[Pattern](t)(NewPattern("block", bodice, sleeve))
	c, err := Compare(body, flatPattern(t, top), block)
	if err != nil {
		t.Fatal(err)
	}
	if pic, err := c.Picture(); err != nil || !strings.Contains(pic.SVG(), ">block<") {
		t.Errorf("the picture has no key for the block (%v)", err)
	}
	for _, want := range []struct {
		level            string
		body, one, other Length
		tolerance        Length
	}{
		{"bust", body.BustGirth, 2 * top.HalfBust, body.BustGirth + 8*CM, 0.1 * MM},
		{"waist", body.WaistGirth, 2 * top.HalfWaist, body.WaistGirth + 6*CM, 0.1 * MM},
		{"hip", body.HipGirth, 2 * top.HalfHip, 0, 0.1 * MM},
		{"biceps", body.UpperArmGirth, 2 * top.HalfBiceps, 34 * CM, 0.1 * MM},
		{"across back", body.BackWidth, top.AcrossBack, body.BackWidth + 1*CM, 0.1 * MM},
		{"across front", body.ChestWidth, top.AcrossFront, 2 * bodice.Armhole().Front().Bounds().Min.X, 0.1 * MM},
		{"sleeve, crown to hem", 0, top.SleeveLength, 25 * CM, 0.1 * MM},
		{"sleeve head less armhole", 0, top.CapEase, 1.5 * CM, 0.1 * MM},
		{"cap height", 0, 0, sleeve.CapHeight(), 0.1 * MM},
	} {
		row, err := c.Row(want.level)
		if err != nil {
			t.Error(err)
			continue
		}
		near := func(a, b Length) bool { return (a - b).Abs() <= want.tolerance }
		if row.Body != want.body || want.one != 0 && !near(row.One, want.one) || !near(row.Other, want.other) {
			t.Errorf("%s: body %v, top %v, block %v; want %v, %v, %v", want.level, row.Body, row.One, row.Other, want.body, want.one, want.other)
		}
	}
	same := styleMust[Comparison](t)(Compare(body, block, block))
	for _, r := range same.Rows() {
		if d, ok := r.Difference(); ok && d != 0 {
			t.Errorf("the block differs from itself by %v at %s", d, r.Level)
		}
	}
	// Turned over and moved it is the same garment.
	turned := styleMust[Pattern](t)(SewTop("turned", styleMust[Piece](t)(bareOf(t, block, "back").Mirrored()), bareOf(t, block, "front"), bareOf(t, block, "sleeve")))
	if _, err := Compare(body, turned, block); err != nil {
		t.Error(err)
	}
}

func bareOf(t testing.TB, p Pattern, name string) Piece {
	return styleMust[Piece](t)(p.Piece(name))
}

func TestCompareRefuses(t *testing.T) {
	p := flatPattern(t, eveningTop())
	unfolded := styleMust[Pattern](t)(p.Unfold("front"))
	if _, err := Compare(Body{}, p, unfolded); err == nil || !strings.Contains(err.Error(), `"front" lies on no fold`) {
		t.Errorf("the error says %v", err)
	}
	alone := styleMust[Pattern](t)(NewPattern("alone", bareOf(t, p, "sleeve")))
	if _, err := Compare(Body{}, p, alone); err == nil || !strings.Contains(err.Error(), `no piece "back"`) {
		t.Errorf("the error says %v", err)
	}
}
