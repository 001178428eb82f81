package patternkit

import (
	"errors"
	"fmt"
)

const leastSide = 75 * MM // the shortest side seam that is drafted

func (d *directBlock) checkBody() error      { return nil }
func (d *directBlock) checkWidths() error    { return nil }
func (d *directBlock) slopeError() error     { return errors.New("ShoulderSlope") }
func (d *directBlock) extensionError() error { return fmt.Errorf("ShoulderLength %v", d.extension) }
func (d *directBlock) depthError(lacking Length) error {
	return fmt.Errorf("ArmscyeGirth lacking %v", lacking)
}
func (d *directBlock) scoopError(field string, v Length) error { return errors.New(field) }
