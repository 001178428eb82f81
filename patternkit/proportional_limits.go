package patternkit

import "fmt"

// checkProportional looks whether the method holds for a body. Its source
// tabulates busts of 77 to 104 cm.
func checkProportional(b Body, o BodiceOptions) error {
	if err := b.Check(); err != nil {
		return err
	}
	if err := checkNeeded(proportionalWhat, needed{"BustGirth", float64(b.BustGirth)}, needed{"WaistGirth", float64(b.WaistGirth)},
		needed{"BackWaistLength", float64(b.BackWaistLength)}); err != nil {
		return err
	}
	for _, r := range []struct {
		field      string
		got, built Length
	}{
		{"BustEase", o.BustEase, proportionalBustEase}, {"WaistEase", o.WaistEase, proportionalWaistEase},
		{"NeckEase", o.NeckEase, 0}, {"ShoulderEase", o.ShoulderEase, 0}, {"BackWidthEase", o.BackWidthEase, 0},
		{"ChestWidthEase", o.ChestWidthEase, 0}, {"ArmholeDrop", o.ArmholeDrop, 0},
	} {
		if r.got != 0 && r.got != r.built {
			return fmt.Errorf("%s: %s is %v, but the ease of this method is part of its formulas: want %v or zero, or Method: DirectMeasure",
				proportionalWhat, r.field, r.got, r.built)
		}
	}
	if err := checkLimits(proportionalWhat, "BustGirth", b.BustGirth, 74*CM, 110*CM,
		"its proportions are made for these busts; beyond them draft by direct measure"); err != nil {
		return err
	}
	return checkLimits(proportionalWhat, "BackWaistLength", b.BackWaistLength, b.BustGirth/12+22*CM, 50*CM,
		"the armhole takes a twelfth of the bust and 13.7 cm of it")
}

func (d *proportionalBlock) checkTaken() error {
	widest := (d.width-30*MM)*2 - 2*3*CM
	return checkLimits(proportionalWhat, "WaistGirth", d.waistGirth, widest-34*CM, widest,
		fmt.Sprintf("six darts take what half a bust of %v has more than half the waist, at least 3 cm and at most 20 cm", d.width))
}
