// Package ansur reads the open body data that the estimates and their tests
// rest on: the women of ANSUR II (US Army Natick, 2012; cleared for unlimited
// public release by memorandum RDNS-SEW-THA of 14 April 2017), one measured
// person a row, and the published means of the 1988 survey (report
// Natick/TR-89/044, DTIC ADA225094). The data is not kept in this repository;
// Folder says where it is looked for. All lengths are millimetres.
package ansur

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
)

// Variable names the environment variable that holds the data folder's path.
const Variable = "PATTERNKIT_DATA"

// ErrAbsent is what Folder returns when the data folder is not there and
// nobody said that it should be.
var ErrAbsent = errors.New("the folder of open body data is absent; set " + Variable + " to its path to use it")

// Folder returns the data folder: the value of PATTERNKIT_DATA or, where that
// is unset, shared/data beside the project's root. It returns ErrAbsent where
// the second is not there, and another error where the first is not.
func Folder() (string, error) {
	if dir := os.Getenv(Variable); dir != "" {
		if _, err := os.Stat(dir); err != nil {
			return "", fmt.Errorf("%s is set, but its folder cannot be read: %w", Variable, err)
		}
		return dir, nil
	}
	root, err := projectRoot()
	if err != nil {
		return "", err
	}
	dir := filepath.Join(root, "..", "shared", "data")
	if _, err := os.Stat(dir); errors.Is(err, fs.ErrNotExist) {
		return "", ErrAbsent
	} else if err != nil {
		return "", err
	}
	return dir, nil
}

// projectRoot is the nearest folder above the working one that has a go.mod.
func projectRoot() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir, nil
		}
		up := filepath.Dir(dir)
		if up == dir {
			return "", ErrAbsent
		}
		dir = up
	}
}

// A Table holds columns of numbers by name, all of one height.
type Table struct {
	columns map[string][]float64
	rows    int
}

// Rows returns the number of people.
func (t Table) Rows() int { return t.rows }

// Column returns one measurement of every person, in file order and in the
// file's unit (millimetres; weightkg is in tenths of a kilogram).
func (t Table) Column(name string) ([]float64, error) {
	c, ok := t.columns[name]
	if !ok {
		return nil, fmt.Errorf("the data has no column of numbers called %q", name)
	}
	return append([]float64(nil), c...), nil
}

// Women reads the measured women of ANSUR II from the data folder.
func Women(folder string) (Table, error) {
	records, err := readCSV(filepath.Join(folder, "ansur2", "ANSUR_II_FEMALE_Public.csv"))
	if err != nil {
		return Table{}, err
	}
	t := Table{columns: map[string][]float64{}, rows: len(records) - 1}
	for c, name := range records[0] {
		if column, ok := numbers(records[1:], c); ok {
			t.columns[name] = column
		}
	}
	return t, nil
}

// numbers returns column c, and false where a cell holds no number: the
// administrative columns are text.
func numbers(records [][]string, c int) ([]float64, bool) {
	out := make([]float64, len(records))
	for i, r := range records {
		v, err := strconv.ParseFloat(r[c], 64)
		if err != nil {
			return nil, false
		}
		out[i] = v
	}
	return out, true
}

// A Published measure is one row of the 1988 means.
type Published struct {
	N        int
	Mean, SD float64 // mm
}

// Means1988 reads the published means of the 1988 survey's women by measure.
func Means1988(folder string) (map[string]Published, error) {
	path := filepath.Join(folder, "ansur1988", "ansur1988_means.csv")
	records, err := readCSV(path)
	if err != nil {
		return nil, err
	}
	means := map[string]Published{}
	for _, r := range records[1:] {
		if r[0] != "F" {
			continue
		}
		n, err1 := strconv.Atoi(r[1])
		mean, err2 := strconv.ParseFloat(r[3], 64)
		sd, err3 := strconv.ParseFloat(r[4], 64)
		if err := errors.Join(err1, err2, err3); err != nil {
			return nil, fmt.Errorf("%s: %s: %w", path, r[2], err)
		}
		means[r[2]] = Published{N: n, Mean: mean, SD: sd}
	}
	return means, nil
}

func readCSV(path string) ([][]string, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	records, err := csv.NewReader(f).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if len(records) < 2 {
		return nil, fmt.Errorf("%s holds no rows", path)
	}
	return records, nil
}
