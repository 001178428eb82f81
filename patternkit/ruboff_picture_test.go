package patternkit

import (
	"testing"
)

// Every measure that a tape takes has its number once, and no two numbers touch.
func TestFlatPicture(t *testing.T) {
	d := flatDraft{top: flatModel()}
	if err := d.halves(); err != nil {
		t.Fatal(err)
	}
	seen := map[string]int{}
	for _, side := range []struct {
		half  flatHalf
		lines []flatLine
	}{{d.back, d.backLines()}, {d.front, d.frontLines()}} {
		v := flatView{half: side.half, to: flatPlaced(0)}
		for i, l := range side.lines {
			seen[l.name]++
			for _, o := range side.lines[:i] {
				if gap := v.centre(l).Dist(v.centre(o)) - 2*flatBall; gap < 0.3*MM {
					t.Errorf("the numbers of %s and %s are %.1f mm apart", l.name, o.name, gap.MM())
				}
			}
		}
	}
	for _, m := range flatMeasures {
		want := 1
		if m.name == "CapEase" {
			want = 0
		}
		if seen[m.name] != want {
			t.Errorf("%s is shown %d times, want %d", m.name, seen[m.name], want)
		}
	}
}
