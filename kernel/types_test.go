package kernel

import "testing"

func TestCellErrorNamesItsKind(t *testing.T) {
	for _, c := range []struct {
		e    CellError
		want string
	}{
		{CellError{Name: "type error", Value: "undefined: x"}, "type error: undefined: x"},
		{CellError{Name: "interrupted"}, "interrupted"},
		{CellError{Name: "interrupted", Value: "interrupted; a call goes on"}, "interrupted; a call goes on"},
		{CellError{Name: plainError, Value: "the cap is too high"}, "the cap is too high"},
		{CellError{Value: "the cap is too high"}, "the cap is too high"},
	} {
		if got := c.e.Error(); got != c.want {
			t.Errorf("%+v says %q, want %q", c.e, got, c.want)
		}
	}
}
