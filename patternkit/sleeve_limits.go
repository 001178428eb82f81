package patternkit

import (
	"errors"
	"fmt"
)

func (f *sleeveForm) what() string {
	return fmt.Sprintf("sleeve for an armhole of %v", f.armhole.Length())
}

func (f *sleeveForm) checkOptions() error {
	o := f.o
	if f.armhole.back.length == 0 {
		return errors.New("sleeve: the armhole is empty, want the Armhole() of a bodice that was drafted")
	}
	if o.CapHeight == 0 && o.BicepsWidth == 0 {
		return fmt.Errorf("%s: CapHeight and BicepsWidth are both zero, want one of them: CapHeight: %.0f*CM is a third of the armhole",
			f.what(), (f.armhole.Length() / 3).CM())
	}
	if o.CapHeight != 0 && o.BicepsWidth != 0 {
		return fmt.Errorf("%s: CapHeight %v and BicepsWidth %v are both given, but each follows from the other: drop BicepsWidth to keep the height of the cap, or drop CapHeight to keep the width",
			f.what(), o.CapHeight, o.BicepsWidth)
	}
	if err := f.checkEase(); err != nil {
		return err
	}
	return checkLimits(f.what(), "MinimumBicepsEase", o.MinimumBicepsEase, 0, 20*CM, "")
}

func (f *sleeveForm) checkEase() error {
	if f.armhole.back.length == 0 {
		return errors.New("sleeve: the armhole is empty, want the Armhole() of a bodice that was drafted")
	}
	return checkLimits(f.what(), "CapEase", f.o.CapEase, 0, f.armhole.Length()/5,
		"the cap is never shorter than the armhole, and no more than a fifth of it can be eased or gathered in")
}

// capError says which cap heights there are, and what hinders others.
func (f *sleeveForm) capError(c sleeveCap, height, need Length) error {
	seam := c.backSide.length + c.frontSide.length
	most := c.highest(need)
	if most == 0 {
		widest, _ := c.of(leastCapHeight)
		return fmt.Errorf("%s: the widest sleeve has %v at the biceps, and the arm of %v with MinimumBicepsEase of %v needs %v: "+
			"give the bodice a larger armhole (ArmholeDrop, BustEase), or take less MinimumBicepsEase",
			f.what(), widest.biceps(), f.armhole.arm.UpperArmGirth, f.o.MinimumBicepsEase, need)
	}
	because := fmt.Sprintf("a cap seam of %v climbs no higher", seam)
	if limit := c.highest(0); most < limit-0.1*MM {
		because = fmt.Sprintf("a higher cap on a seam of %v makes the sleeve narrower than %v: the arm of %v and MinimumBicepsEase of %v",
			seam, need, f.armhole.arm.UpperArmGirth, f.o.MinimumBicepsEase)
	}
	if f.o.CapHeight == 0 {
		at, _ := c.of(most)
		widest, _ := c.of(leastCapHeight)
		return &LimitError{f.what(), "BicepsWidth", f.o.BicepsWidth, at.biceps(), widest.biceps(), because}
	}
	return &LimitError{f.what(), "CapHeight", height, leastCapHeight, most, because}
}

// checkBiceps looks whether a cap can be so wide, and the arm go in.
func (f *sleeveForm) checkBiceps(narrowest, widest Length) error {
	because := fmt.Sprintf("the cap seam is %v long", f.armhole.Length()+f.o.CapEase)
	if need := f.needed(); need > narrowest {
		narrowest = need
		because = fmt.Sprintf("the arm is %v and MinimumBicepsEase %v", f.armhole.arm.UpperArmGirth, f.o.MinimumBicepsEase)
	}
	if widest < narrowest {
		return f.capError(newCap(f.armhole, f.o.CapEase), 0, f.needed())
	}
	return checkLimits(f.what(), "BicepsWidth", f.o.BicepsWidth, narrowest, widest, because)
}

// checkBelow looks whether there is a sleeve below the cap.
func (f *sleeveForm) checkBelow() error {
	o, arm := f.o, f.armhole.arm
	if err := checkLimits(f.what(), "Length", o.Length, f.cap.height+3*CM, 100*CM,
		fmt.Sprintf("the cap alone is %v high", f.cap.height)); err != nil {
		return err
	}
	least, because := f.cap.biceps()/4, fmt.Sprintf("the sleeve is %v wide at the biceps", f.cap.biceps())
	if long := arm.ArmLength > 0 && o.Length > arm.ArmLength*9/10; long && arm.WristGirth > least {
		least, because = arm.WristGirth, fmt.Sprintf("the wrist is %v, and %s", arm.WristGirth, because)
	}
	return checkLimits(f.what(), "WristWidth", o.WristWidth, least, f.cap.biceps(), because)
}
