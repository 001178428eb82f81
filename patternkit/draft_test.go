package patternkit

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

func ExampleDraft() {
	waist := 74 * CM
	draft, err := NewDraft("skirt panel").WithMeasure("quarter waist", "waist girth / 4", waist/4)
	if err != nil {
		fmt.Println(err)
		return
	}
	draft, err = draft.WithLine("waist line", "level, quarter waist", Pt(0, 0), Pt(waist/4, 0))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range draft.Steps() {
		fmt.Println(s)
	}
	// Output:
	// quarter waist = waist girth / 4 = 18.50 cm
	// waist line = level, quarter waist = 18.50 cm long
}

// sampleDraft has a step of each kind.
func sampleDraft(t *testing.T) Draft {
	t.Helper()
	d := NewDraft("sample")
	add := func(next Draft, e error) {
		t.Helper()
		if e != nil {
			t.Fatal(e)
		}
		d = next
	}
	add(d.WithMeasure("armhole depth", "scye depth + 2.5 cm", 21.4*CM))
	add(d.WithTurn("bust dart", "15°", 15*Degree))
	add(d.WithPoint("A", "start", Pt(0, 0)))
	add(d.WithLine("centre back", "down from A", Pt(0, 0), Pt(0, -21.4*CM)))
	add(d.WithCurve("neckline", "square to the centre back", Cubic(Pt(0, 0), Pt(3*CM, 0), Pt(6*CM, 1*CM), Pt(7*CM, 2.4*CM))))
	return d
}

func TestDraftKeepsItsSteps(t *testing.T) {
	d := sampleDraft(t)
	want := []string{
		"armhole depth = scye depth + 2.5 cm = 21.40 cm",
		"bust dart = 15° = 15.00°",
		"A = start = (0.00, 0.00) cm",
		"centre back = down from A = 21.40 cm long",
	}
	for i, w := range want {
		if got := d.Steps()[i].String(); got != w {
			t.Errorf("step %d is %q, want %q", i+1, got, w)
		}
	}
	s, err := d.Step("bust dart")
	if err != nil || s.Turn != 15*Degree {
		t.Errorf("bust dart is %v (%v)", s, err)
	}
	_, err = d.Step("waist")
	wantError(t, err, `has no step "waist", it has "armhole depth", "bust dart"`)
}

// A draft does not change when another grows from it.
func TestDraftDoesNotChange(t *testing.T) {
	d := sampleDraft(t)
	one, err1 := d.WithPoint("B", "here", Pt(1*CM, 0))
	two, err2 := d.WithPoint("C", "there", Pt(2*CM, 0))
	if err1 != nil || err2 != nil {
		t.Fatal(err1, err2)
	}
	if n := len(d.Steps()); n != 5 {
		t.Errorf("%d steps after growing others, want 5", n)
	}
	if one.Steps()[5].Label != "B" || two.Steps()[5].Label != "C" {
		t.Errorf("the sixth steps are %v and %v", one.Steps()[5], two.Steps()[5])
	}
	d.Steps()[0].Label = "spoiled"
	if d.Steps()[0].Label != "armhole depth" {
		t.Error("the steps that were handed out are the draft's own")
	}
}

func TestDraftErrors(t *testing.T) {
	d := sampleDraft(t)
	nan := Length(math.NaN())
	for _, tt := range []struct {
		name, want string
		draft      func() (Draft, error)
	}{
		{"no label", "step 6 has no label", func() (Draft, error) { return d.WithPoint(" ", "", Pt(0, 0)) }},
		{"twice", `step 3 is already called "A"`, func() (Draft, error) { return d.WithPoint("A", "", Pt(0, 0)) }},
		{"measure no number", `"depth" is empty, not a number or infinite`, func() (Draft, error) { return d.WithMeasure("depth", "", nan) }},
		{"turn infinite", `"turn" is empty`, func() (Draft, error) { return d.WithTurn("turn", "", Angle(math.Inf(1))) }},
		{"point no number", `"B" is empty`, func() (Draft, error) { return d.WithPoint("B", "", Pt(nan, 0)) }},
		{"line without length", "starts and ends at (0.00, 0.00) cm", func() (Draft, error) { return d.WithLine("l", "", Pt(0, 0), Pt(0, 0)) }},
		{"empty curve", `"c" is empty`, func() (Draft, error) { return d.WithCurve("c", "", Path{}) }},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, err := tt.draft()
			wantError(t, err, tt.want)
		})
	}
	_, err := d.StepPicture(6)
	wantError(t, err, "step 6, want 1 to 5")
	_, err = d.StepPicture(0)
	wantError(t, err, "step 0, want 1 to 5")
}

// Each step of a block can be shown, all pictures are of one size, and every
// label stands once.
func TestDraftPictures(t *testing.T) {
	for _, d := range []Draft{classBodice(t).Draft(), proportional(t, 83*CM, 64*CM, 38*CM).Draft()} {
		labels := map[string]bool{}
		for i, s := range d.Steps() {
			if labels[s.Label] || s.Label == "" || s.Rule == "" {
				t.Errorf("%s, step %d: label %q, rule %q", d.Title(), i+1, s.Label, s.Rule)
			}
			labels[s.Label] = true
			if i%8 != 0 { // a picture takes longer than a draft
				continue
			}
			p, err := d.StepPicture(i + 1)
			if err != nil {
				t.Fatal(err)
			}
			svg := p.SVG()
			if (s.Kind != MeasureStep && s.Kind != TurnStep) && strings.Count(svg, ">"+s.Label+"<") == 0 {
				t.Errorf("%s, step %d: the picture does not name %q", d.Title(), i+1, s.Label)
			}
		}
	}
	if NewDraft("empty").SVG() != "" || !strings.Contains(sampleDraft(t).HTML(), "<table>") {
		t.Error("an empty draft is drawn, or a draft is shown without its table")
	}
}

// A body is drafted without recording: the steps are written down only when
// somebody asks.
func BenchmarkBodiceRecord(b *testing.B) {
	bodice := classBodice(b)
	b.ReportAllocs()
	for b.Loop() {
		if len(bodice.Draft().Steps()) == 0 {
			b.Fatal("no steps")
		}
	}
}
