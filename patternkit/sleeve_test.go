package patternkit

import (
	"errors"
	"fmt"
	"math"
	"testing"
)

// classSleeve are the options of the acceptance cells.
func classSleeve() SleeveOptions {
	return SleeveOptions{CapHeight: 13 * CM, CapEase: 2 * CM, Length: 58 * CM, WristWidth: 24 * CM}
}

func ExampleDraftSleeve() {
	body, err := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}.Estimated()
	if err != nil {
		fmt.Println(err)
		return
	}
	bodice, err := DraftBodice(body, BodiceOptions{BustEase: 8 * CM, WaistEase: 6 * CM})
	if err != nil {
		fmt.Println(err)
		return
	}
	sleeve, err := DraftSleeve(bodice.Armhole(), SleeveOptions{CapHeight: 13 * CM, CapEase: 2 * CM, Length: 58 * CM, WristWidth: 24 * CM})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("cap %v on an armhole of %v, biceps %.1f cm\n", sleeve.CapLength(), bodice.Armhole().Length(), sleeve.BicepsWidth().CM())
	// Output: cap 42.7 cm on an armhole of 40.7 cm, biceps 31.3 cm
}

func ExampleBicepsWidth() {
	body, err := Body{Height: 168 * CM, BustGirth: 92 * CM, WaistGirth: 74 * CM, HipGirth: 98 * CM}.Estimated()
	if err != nil {
		fmt.Println(err)
		return
	}
	bodice, err := DraftBodice(body, DefaultBodice())
	if err != nil {
		fmt.Println(err)
		return
	}
	for height := 8 * CM; height <= 14*CM; height += 2 * CM {
		width, err := BicepsWidth(bodice.Armhole(), height, 2*CM)
		fmt.Printf("%v %.1f cm %v\n", height, width.CM(), err)
	}
	// Output:
	// 8 cm 38.9 cm <nil>
	// 10 cm 36.5 cm <nil>
	// 12 cm 33.3 cm <nil>
	// 14 cm 28.9 cm <nil>
}

func TestSleeveOfTheClass(t *testing.T) {
	bodice := classBodice(t)
	s, err := DraftSleeve(bodice.Armhole(), classSleeve())
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range s.Checks().Faults() {
		t.Errorf("%s: %s, want %s", f.Name, f.Got, f.Want)
	}
	p, err := NewPattern("block", bodice, s)
	if err != nil {
		t.Fatal(err)
	}
	table := p.Walk()
	if !table.OK() {
		t.Errorf("walk:\n%v", table)
	}
	checkEasePlaces(t, table)
	checkSimple(t, "class", p)
	checkGolden(t, "draft_sleeve.txt", []byte(s.Draft().String()))
	checkGolden(t, "draft_sleeve.svg", []byte(s.Draft().SVG()))
}

// checkEasePlaces looks where the ease of the cap went: none below the
// notches, slightly more to the back.
func checkEasePlaces(t *testing.T, table SeamTable) {
	t.Helper()
	for _, r := range table.Rows() {
		if r.Seam != "armhole" {
			continue
		}
		if len(r.Notches) != 3 {
			t.Fatalf("%d notches on the armhole seam, want front, shoulder and back", len(r.Notches))
		}
		front, shoulder, back := r.Notches[0], r.Notches[1], r.Notches[2]
		if front.Eased.Abs() > 0.01*MM {
			t.Errorf("%v eased below the front notch, want none", front.Eased)
		}
		if below := r.Difference - (back.AtA - back.AtB); below.Abs() > 0.01*MM {
			t.Errorf("%v eased below the back notch, want none", below)
		}
		if !(back.Eased > shoulder.Eased && back.Eased < 1.5*shoulder.Eased) {
			t.Errorf("%v eased in front and %v in the back, want slightly more in the back", shoulder.Eased, back.Eased)
		}
	}
}

// Cap heights of the slider are drafted or name the range; what they name
// drafts.
func TestSleeveCapHeights(t *testing.T) {
	a := classBodice(t).Armhole()
	var limit *LimitError
	drafted := 0
	for h := 8 * CM; h <= 18*CM; h += 0.25 * CM {
		o := classSleeve()
		o.CapHeight = h
		s, err := DraftSleeve(a, o)
		if errors.As(err, &limit) && limit.Field == "CapHeight" && h > limit.Max {
			continue
		}
		if err != nil {
			t.Errorf("cap height %v: %v", h, err)
			continue
		}
		drafted++
		for _, f := range s.Checks().Faults() {
			t.Errorf("cap height %v: %s: %s, want %s", h, f.Name, f.Got, f.Want)
		}
		// The other way round.
		back := classSleeve()
		back.CapHeight, back.BicepsWidth = 0, s.BicepsWidth()
		again, err := DraftSleeve(a, back)
		if err != nil || (again.CapHeight()-h).Abs() > 0.01*MM {
			t.Errorf("biceps width %v gives a cap of %v (%v), want %v", s.BicepsWidth(), again.CapHeight(), err, h)
		}
	}
	if drafted < 20 || limit == nil {
		t.Fatalf("%d heights drafted, refused: %v", drafted, limit)
	}
	for _, h := range []Length{limit.Min, limit.Max - 0.1*MM} {
		o := classSleeve()
		o.CapHeight = h
		if _, err := DraftSleeve(a, o); err != nil {
			t.Errorf("at the named limit of %v: %v", h, err)
		}
	}
}

// A cap is longer than the straight lines from its ends to its crown, so it is
// narrower than they would be: √(f²−h²) + √(b²−h²) for seams f and b.
func TestSleeveAgainstStraightSlants(t *testing.T) {
	a := classBodice(t).Armhole()
	for h := 6 * CM; h <= 14*CM; h += 1 * CM {
		width, err := BicepsWidth(a, h, 2*CM)
		if err != nil {
			t.Fatal(err)
		}
		f, b := float64(a.FrontLength()+2*CM*(1-backEase)), float64(a.BackLength()+2*CM*backEase)
		straight := Length(math.Sqrt(f*f-float64(h*h)) + math.Sqrt(b*b-float64(h*h)))
		if !(width < straight && width > straight*8/10) {
			t.Errorf("cap %v: %v wide, want somewhat less than %v", h, width, straight)
		}
	}
}

func TestSleeveErrors(t *testing.T) {
	a := classBodice(t).Armhole()
	with := func(f func(o *SleeveOptions)) error {
		o := classSleeve()
		f(&o)
		_, err := DraftSleeve(a, o)
		return err
	}
	for _, tt := range []struct {
		name, want string
		err        error
	}{
		{"bare number", "CapHeight is 1.3 cm, want 2 cm to 13", with(func(o *SleeveOptions) { o.CapHeight = 13 })},
		{"its slip", "a bare number is millimetres, did you mean 13*CM?", with(func(o *SleeveOptions) { o.CapHeight = 13 })},
		{"higher than the seam", "CapHeight is 30 cm, want 2 cm to 13", with(func(o *SleeveOptions) { o.CapHeight = 30 * CM })},
		{"arm does not fit", "narrower than 31.1 cm: the arm of 29.1 cm and MinimumBicepsEase of 2 cm", with(func(o *SleeveOptions) { o.CapHeight, o.MinimumBicepsEase = 13.5*CM, 2*CM })},
		{"no sleeve fits", "take less MinimumBicepsEase", with(func(o *SleeveOptions) { o.MinimumBicepsEase = 18 * CM })},
		{"both", "drop BicepsWidth to keep the height of the cap, or drop CapHeight", with(func(o *SleeveOptions) { o.BicepsWidth = 32 * CM })},
		{"neither", "CapHeight and BicepsWidth are both zero", with(func(o *SleeveOptions) { o.CapHeight = 0 })},
		{"narrow biceps", "BicepsWidth is 25 cm, want 29.1 cm to 42", with(func(o *SleeveOptions) { o.CapHeight, o.BicepsWidth = 0, 25*CM })},
		{"wide biceps", "BicepsWidth is 50 cm, want 29.1 cm to 42", with(func(o *SleeveOptions) { o.CapHeight, o.BicepsWidth = 0, 50*CM })},
		{"negative ease", "CapEase is -1 cm, want 0 cm to 8", with(func(o *SleeveOptions) { o.CapEase = -1 * CM })},
		{"much ease", "CapEase is 12 cm, want 0 cm to 8", with(func(o *SleeveOptions) { o.CapEase = 12 * CM })},
		{"short", "Length is 10 cm, want 16 cm to 100 cm: the cap alone is 13 cm high", with(func(o *SleeveOptions) { o.Length = 10 * CM })},
		{"wide wrist", "WristWidth is 40 cm, want ", with(func(o *SleeveOptions) { o.WristWidth = 40 * CM })},
		{"narrow wrist", "WristWidth is 12 cm, want 15.6 cm to 31", with(func(o *SleeveOptions) { o.WristWidth = 12 * CM })},
		{"no number", "CapHeight is NaN", with(func(o *SleeveOptions) { o.CapHeight = Length(math.NaN()) })},
		{"short sleeve", "", with(func(o *SleeveOptions) { o.Length, o.WristWidth = 25*CM, 30*CM })},
		{"straight sleeve", "", with(func(o *SleeveOptions) { o.CapHeight, o.BicepsWidth, o.WristWidth = 0, 32*CM, 32*CM })},
	} {
		t.Run(tt.name, func(t *testing.T) { wantError(t, tt.err, tt.want) })
	}
}

// A check that cannot fail proves nothing.
func TestSleeveChecksFindFaults(t *testing.T) {
	right, err := DraftSleeve(classBodice(t).Armhole(), classSleeve())
	if err != nil {
		t.Fatal(err)
	}
	for _, tt := range []struct {
		finds string
		spoil func(s *Sleeve)
	}{
		{"cap seam on armhole and cap ease", func(s *Sleeve) { s.form.o.CapEase += 0.02 * MM }},
		{"hem", func(s *Sleeve) { s.form.o.WristWidth += 1 * MM }},
		{"back cap is one S", func(s *Sleeve) { // it goes on turning up, to the crown
			u := s.form.back.upper
			s.form.back.upper = bend{u[0], u[0].Add(u[1].Sub(u[0]).Scale(0.5)), u[3].Sub(Pt(0, 60)), u[3]}
		}},
		{"front cap off the armhole, over its lowest seventh", func(s *Sleeve) {
			s.form.front.lower = straight(s.form.front.lower[0], s.form.front.lower[3].Add(Pt(0, 20)))
			s.form.front.upper[0] = s.form.front.lower[3]
		}},
		{"cap fuller at the back, hollower in front", func(s *Sleeve) {
			s.form.back, s.form.front = s.form.front, s.form.back
		}},
		{"crown point on the cap", func(s *Sleeve) {
			s.piece.points = []NamedPoint{{"crown point", Pt(0, 0)}}
		}},
	} {
		t.Run(tt.finds, func(t *testing.T) {
			s := right
			tt.spoil(&s)
			for _, f := range s.Checks().Faults() {
				if f.Name == tt.finds {
					return
				}
			}
			t.Errorf("not found among %v", s.Checks().Faults())
		})
	}
}

// A higher cap makes a narrower sleeve, and its seam is armhole and ease, on
// every armhole.
func FuzzHigherCapIsNarrower(f *testing.F) {
	f.Add(920.0, 130.0, 20.0)
	f.Add(760.0, 80.0, 0.0)
	f.Add(1250.0, 150.0, 40.0)
	f.Fuzz(func(t *testing.T, bust, capHeight, ease float64) {
		if !(bust >= 700 && bust <= 1260 && capHeight >= 20 && capHeight <= 250 && ease >= 0 && ease <= 60) {
			t.Skip()
		}
		body, err := Body{BustGirth: Length(bust)}.Estimated()
		if err != nil {
			t.Skip()
		}
		bodice, err := DraftBodice(body, DefaultBodice())
		if err != nil {
			t.Skip()
		}
		a, h := bodice.Armhole(), Length(capHeight)
		high, err := BicepsWidth(a, h+1*MM, Length(ease))
		if err != nil {
			t.Skip() // too high
		}
		low, err := BicepsWidth(a, h, Length(ease))
		if err != nil || !(high < low) {
			t.Errorf("%v: cap %v is %v wide, 1 mm more is %v wide (%v)", a, h, low, high, err)
		}
		s, err := DraftSleeve(a, SleeveOptions{CapHeight: h, CapEase: Length(ease), Length: h + 40*CM, WristWidth: low * 3 / 4})
		if err != nil {
			return // the arm does not fit
		}
		if off := edgeLength(s.piece, "cap") - a.Length() - Length(ease); off.Abs() > 0.01*MM {
			t.Errorf("%v: cap %v is off its seam by %v", a, h, off)
		}
	})
}
