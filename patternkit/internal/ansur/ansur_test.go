package ansur

import (
	"errors"
	"math"
	"path/filepath"
	"strconv"
	"testing"

	"gonum.org/v1/gonum/stat"
)

// The summary beside the data was computed from it by other hands.
func TestWomenHaveThePublishedSummary(t *testing.T) {
	folder := TestFolder(t)
	women := TestWomen(t)
	if women.Rows() != 1986 {
		t.Fatalf("%d women, want 1986", women.Rows())
	}
	summary, err := readCSV(filepath.Join(folder, "ansur2", "summary_stats.csv"))
	if err != nil {
		t.Fatal(err)
	}
	compared := 0
	for _, row := range summary[1:] {
		if row[0] != "FEMALE" {
			continue
		}
		column, err := women.Column(row[1])
		if err != nil {
			t.Fatal(err)
		}
		mean, sd := stat.MeanStdDev(column, nil)
		for i, got := range []float64{mean, sd} {
			want, err := strconv.ParseFloat(row[3+i], 64)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(got-want) > 0.0051 {
				t.Errorf("%s: %s is %.4f, want %.2f", row[1], []string{"mean", "SD"}[i], got, want)
			}
		}
		compared++
	}
	if compared < 40 {
		t.Errorf("compared %d columns, want at least 40", compared)
	}
}

// The maker of drafts for pull-on openings relies on it: every head is larger
// than its neck base.
func TestHeadsAreLargerThanNecks(t *testing.T) {
	women := TestWomen(t)
	head, err1 := women.Column("headcircumference")
	neck, err2 := women.Column("neckcircumferencebase")
	if err := errors.Join(err1, err2); err != nil {
		t.Fatal(err)
	}
	for i := range head {
		if head[i] <= neck[i] {
			t.Errorf("woman %d: head %v, neck base %v", i, head[i], neck[i])
		}
	}
}

func TestMeans1988(t *testing.T) {
	means, err := Means1988(TestFolder(t))
	if err != nil {
		t.Fatal(err)
	}
	want := Published{N: 2208, Mean: 371.3, SD: 23.0}
	if got := means["scye_circumference"]; got != want {
		t.Errorf("scye circumference is %+v, want %+v", got, want)
	}
	if got := means["interscye_i"]; got != (Published{}) {
		t.Errorf("interscye I of the women is %+v, but only the men's is published there", got)
	}
}

func TestFolderPromisedOrNot(t *testing.T) {
	t.Setenv(Variable, filepath.Join(t.TempDir(), "nowhere"))
	if _, err := Folder(); err == nil || errors.Is(err, ErrAbsent) {
		t.Errorf("a promised folder that is not there gives %v, want an error that is not ErrAbsent", err)
	}
	t.Setenv(Variable, "")
	t.Chdir(t.TempDir())
	if _, err := Folder(); !errors.Is(err, ErrAbsent) {
		t.Errorf("without a folder: %v, want ErrAbsent", err)
	}
}
