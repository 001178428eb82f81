package patternkit

import "fmt"

// A Cloth is what the checks need to know of the material. Zero is a cloth
// that does not stretch.
type Cloth struct {
	Stretch float64 // how much longer it can be drawn crosswise, as a part of its length: 0.25 from 10 to 12.5 cm
}

const (
	// usableStretch is how much of a cloth's stretch a garment may ask for
	// (common practice, no source).
	usableStretch = 0.8
	mostStretch   = 3 // the stretchiest knits go to twice or three times their length
)

func (c Cloth) check() error {
	if c.Stretch >= 0 && c.Stretch <= mostStretch {
		return nil
	}
	err := fmt.Errorf("cloth: Stretch is %v, want 0 to %d, as a part of the length", c.Stretch, mostStretch)
	if c.Stretch > mostStretch && c.Stretch <= 100*mostStretch {
		err = fmt.Errorf("%w; it reads like per cent, did you mean %s?", err, plainNumber(c.Stretch/100))
	}
	return err
}

// give is the part of its length that a ring of the cloth may be drawn out.
func (c Cloth) give() float64 { return usableStretch * c.Stretch }

// toWear is the least ring of the cloth that can be worn around a girth.
func (c Cloth) toWear(girth Length) Length { return girth / Length(1+c.give()) }

// words name the cloth for a table.
func (c Cloth) words() string {
	if c.Stretch == 0 {
		return "cloth that does not stretch"
	}
	return fmt.Sprintf("cloth that stretches by %.0f %%", 100*c.Stretch)
}
