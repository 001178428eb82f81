package ansur

import (
	"errors"
	"testing"
)

// TestFolder returns the data folder for a test: it skips the test where the
// data is absent and fails it where PATTERNKIT_DATA promises data that is not
// there.
func TestFolder(tb testing.TB) string {
	tb.Helper()
	dir, err := Folder()
	if errors.Is(err, ErrAbsent) {
		tb.Skip(err)
	}
	if err != nil {
		tb.Fatal(err)
	}
	return dir
}

// TestWomen returns the measured women of ANSUR II, as TestFolder finds them.
func TestWomen(tb testing.TB) Table {
	tb.Helper()
	t, err := Women(TestFolder(tb))
	if err != nil {
		tb.Fatal(err)
	}
	return t
}
