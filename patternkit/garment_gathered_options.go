package patternkit

import "fmt"

// GatheredTopOptions shape a top whose upper edge is gathered into an elastic
// and worn on or off the shoulders. Zero means zero, not "default": start from
// DefaultGatheredTop and change what you need.
type GatheredTopOptions struct {
	TopEdge float64 // where the top edge crosses the armhole, as a share of its depth: 0 at the underarm, 1 at the shoulder

	// Fullness is the distance at which a piece is laid from the fold of the
	// cloth: across the whole piece it gains twice that.
	FrontFullness  Length
	BackFullness   Length
	SleeveFullness Length

	SideWidth      Length // added at each side of front and back and at both edges of the underarm seam of the sleeve
	SleeveUnderarm Length // length of the sleeve along its underarm seam; 0 leaves it
	SleeveFlare    Length // added to the sleeve's hem alone; 0 for a straight sleeve

	Elastic       Length // width of the elastic at the top edge
	SleeveElastic Length // width of an elastic in the sleeve's hem; 0 hems it plain
	Clearance     Length // by which a casing is wider than its elastic
	CasingTurn    Length // by which the raw edge of a casing is turned under
	Hem           Length // width of each of the two turns of a hem
	SeamAllowance Length

	OnShoulder float64 // where the edge lies when worn on the shoulders: 0 at the neck, 1 at the shoulder point
	Reduction  float64 // by which an elastic is shorter than the girth it lies on, as a share of it

	// RunOn is the share of each side of the sleeve head, from the top edge down,
	// that is redrawn so that the edge runs straight on across the sleeve seams; 0
	// leaves the head as it is cut, and with it a bend of the edge at the seams.
	RunOn float64
}

// DefaultGatheredTop returns a start for light cloth that does not stretch: the
// top edge at half of the armhole and running on across its seams, front and back laid 2 in from the fold, the
// sleeve 3 in, each side 1 in wider; a casing turned by 1/2 in and 1 in for an
// elastic of 1/2 in; hems of 1/4 in and 1/4 in; seams of 5/8 in (common
// practice, no source).
func DefaultGatheredTop() GatheredTopOptions {
	return GatheredTopOptions{
		TopEdge: 0.5, FrontFullness: 2 * Inch, BackFullness: 2 * Inch, SleeveFullness: 3 * Inch, SideWidth: 1 * Inch,
		Elastic: Inch / 2, Clearance: 3 * Inch / 8, CasingTurn: Inch / 2, Hem: Inch / 4, SeamAllowance: 5 * Inch / 8,
		OnShoulder: 0.75, Reduction: 0.05, RunOn: 0.4,
	}
}

// leastRunOn and mostRunOn bound the share of a sleeve head that is turned: less
// would be a hook, more would take the underarm with it.
const leastRunOn, mostRunOn = 0.2, 0.8

const gatheredWhat = "gathered top"

// check says which option cannot be.
func (o GatheredTopOptions) check() error {
	for _, r := range []struct {
		field      string
		got, least Length
		most       Length
		zero       bool // is allowed, and means none
	}{
		{"FrontFullness", o.FrontFullness, 1 * MM, 60 * CM, true},
		{"BackFullness", o.BackFullness, 1 * MM, 60 * CM, true},
		{"SleeveFullness", o.SleeveFullness, 1 * MM, 60 * CM, true},
		{"SideWidth", o.SideWidth, 1 * MM, 40 * CM, true},
		{"SleeveUnderarm", o.SleeveUnderarm, 2 * CM, 80 * CM, true},
		{"SleeveFlare", o.SleeveFlare, 1 * CM, 150 * CM, true},
		{"Elastic", o.Elastic, 3 * MM, 5 * CM, false},
		{"SleeveElastic", o.SleeveElastic, 3 * MM, 5 * CM, true},
		{"Clearance", o.Clearance, 1 * MM, 3 * CM, false},
		{"CasingTurn", o.CasingTurn, 3 * MM, 3 * CM, false},
		{"Hem", o.Hem, 3 * MM, 8 * CM, false},
		{"SeamAllowance", o.SeamAllowance, 5 * MM, 4 * CM, false},
	} {
		if r.zero && r.got == 0 {
			continue
		}
		if err := checkRange(gatheredWhat, r.field, r.got, r.least, r.most); err != nil {
			return err
		}
	}
	for _, r := range []struct {
		field            string
		got, least, most float64
	}{
		{"TopEdge", o.TopEdge, 0.05, 0.95},
		{"RunOn", o.RunOn, leastRunOn, mostRunOn},
		{"OnShoulder", o.OnShoulder, 0.1, 1},
		{"Reduction", o.Reduction, 0, 0.3},
	} {
		if r.field == "RunOn" && r.got == 0 {
			continue
		}
		if !(r.got >= r.least && r.got <= r.most) {
			return fmt.Errorf("%s: %s is %v, want a share from %v to %v", gatheredWhat, r.field, r.got, r.least, r.most)
		}
	}
	return nil
}

// casing is the casing of an edge for an elastic of a width.
func (o GatheredTopOptions) casing(edge string, elastic Length) (Casing, error) {
	c, err := NewCasing(edge, elastic, o.Clearance)
	if err != nil {
		return Casing{}, err
	}
	c.Turn = o.CasingTurn
	return c, c.check()
}
