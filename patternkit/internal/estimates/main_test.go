package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"patternkit/patternkit/internal/ansur"
)

func TestGeneratedFileIsCurrent(t *testing.T) {
	got, err := generate(ansur.TestFolder(t))
	if err != nil {
		t.Fatal(err)
	}
	want, err := os.ReadFile(filepath.Join("..", "..", "body_regressions.go"))
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Error("body_regressions.go is not what the data gives: run go generate ./patternkit")
	}
}

func TestWithoutDataTheFileStays(t *testing.T) {
	t.Setenv(ansur.Variable, "")
	t.Chdir(t.TempDir())
	if err := os.WriteFile("out.go", []byte("kept"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := run("out.go"); err != nil {
		t.Fatal(err)
	}
	if got, err := os.ReadFile("out.go"); err != nil || string(got) != "kept" {
		t.Errorf("the file holds %q, %v", got, err)
	}
}

// Slopes and constants that the compiler of the data computed apart from this
// program, to their printed digits.
func TestPublishedRegressions(t *testing.T) {
	s, err := readSample(ansur.TestFolder(t))
	if err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		y, on           string
		predictor       int
		slope, constant string
	}{
		{"buttockcircumference", "b", 1, "0.6818", "375.7"},
		{"waistcircumference", "b", 1, "1.0199", "-104.8"},
		{"interscyei", "b", 1, "0.2289", "156.6"},
		{"neckcircumferencebase", "b", 1, "0.1561", "223.3"},
		{"bicepscircumferenceflexed", "b", 1, "0.2775", "42.8"},
		{"shoulderlength", "b", 1, "0.0157", "120.5"},
		{"waistbacklength", "h", 0, "0.2070", "88.2"},
		{"sleeveoutseam", "h", 0, "0.3642", "-49.5"},
		{"crotchheight", "h", 0, "0.5904", "-179.1"},
		{"crotchlengthomphalion", "p", 3, "0.3570", "256.2"},
		{"thighcircumference", "p", 3, "0.6909", "-89.4"},
	}
	for _, test := range tests {
		y, err := s.women.Column(test.y)
		if err != nil {
			t.Fatal(err)
		}
		r, err := s.fit(y, test.on)
		if err != nil {
			t.Fatal(err)
		}
		slope, constant := fmt.Sprintf("%.4f", r.slope[test.predictor]), fmt.Sprintf("%.1f", r.constant)
		if slope != test.slope || constant != test.constant {
			t.Errorf("%s on %s: %s x + %s, want %s x + %s", test.y, test.on, slope, constant, test.slope, test.constant)
		}
	}
}
