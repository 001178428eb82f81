package patternkit

import (
	"encoding/xml"
	"errors"
	"io"
	"regexp"
	"strings"
	"testing"
)

func TestDocuments(t *testing.T) {
	_, g := gradedMisses(t)
	rules, err := g.RuleDocument(GradeReference{"front", "bust point"}, GradeReference{"back", "where shoulder meets shoulder dart mouth"},
		GradeReference{"sleeve", "crown point"})
	if err != nil {
		t.Fatal(err)
	}
	sheet, err := g.MeasurementSheet()
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range []Document{rules, sheet} {
		file := string(d.File())
		wellFormed(t, d.Title(), d.HTML())
		if !strings.HasPrefix(file, "<!DOCTYPE html>") || !strings.Contains(file, "<title>"+d.Title()+"</title>") {
			t.Errorf("%s begins %q", d.Title(), file[:80])
		}
		for _, size := range g.Sizes() {
			if !strings.Contains(d.String(), " "+size) {
				t.Errorf("%s does not name size %s", d.Title(), size)
			}
		}
		for _, piece := range []string{"back", "front", "sleeve"} {
			if !strings.Contains(file, piece) {
				t.Errorf("%s does not name the %s", d.Title(), piece)
			}
		}
		for _, outside := range []string{"http://", "https://", "<script"} {
			if strings.Contains(file, outside) {
				t.Errorf("%s needs %q from outside", d.Title(), outside)
			}
		}
	}
	if words := "stacked on the where shoulder"; strings.Contains(string(rules.File()), words) {
		t.Errorf("%q is no English", words)
	}
	if n := strings.Count(string(rules.File()), "<img "); n != 3 {
		t.Errorf("%d drawings among the rules, want a nest of each of 3 pieces", n)
	}
	if !strings.Contains(rules.String(), g.chart.Source()) && !strings.Contains(rules.String(), g.chart.Name()) {
		t.Error("the rules do not say by which chart")
	}
}

// wellFormed reads markup as XML, the empty elements of HTML closed.
func wellFormed(t *testing.T, what, markup string) {
	t.Helper()
	closed := regexp.MustCompile(`<(img|br)\b([^>]*)>`).ReplaceAllString(markup, "<$1$2/>")
	d := xml.NewDecoder(strings.NewReader("<div>" + closed + "</div>"))
	d.Entity = xml.HTMLEntity
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return
		} else if err != nil {
			t.Errorf("%s: %v", what, err)
			return
		}
	}
}

func TestDocumentRefuses(t *testing.T) {
	_, g := gradedMisses(t)
	back, sleeve := GradeReference{"back", "underarm point"}, GradeReference{"sleeve", "crown point"}
	if _, err := g.RuleDocument(GradeReference{"front", "nape"}, back, sleeve); err == nil || !strings.Contains(err.Error(), `no point "nape"`) {
		t.Errorf("a reference that is not there: %v", err)
	}
	if _, err := g.RuleDocument(back, sleeve); err == nil || !strings.Contains(err.Error(), `no reference for piece "front", want one of its points`) {
		t.Errorf("no reference for the front: %v", err)
	}
	if _, err := (Graded{}).RuleDocument(); err == nil {
		t.Error("rules of no sizes: want an error")
	}
	if _, err := (Graded{}).MeasurementSheet(); err == nil {
		t.Error("a sheet of no sizes: want an error")
	}
}
