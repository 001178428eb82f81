package main

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"flag"
	"fmt"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"patternkit/kernel/notebook"
)

var update = flag.Bool("update", false, "rewrite the picture that README shows")

// TestReadmePicture holds the picture in README against what the first
// lesson draws. Other processors may round a rim differently, so a few pixels
// may differ.
func TestReadmePicture(t *testing.T) {
	dir := t.TempDir()
	source := write(t, lessonSource(t, demoLesson), dir, demoLesson)
	invoke(t, dir, nil, "run", source, "-o", "ran.ipynb").ok(t)
	drawn := firstPicture(t, readFile(t, dir, "ran.ipynb"))
	path := filepath.Join("..", "..", "..", "notebooks", "01-first-block.png")
	if *update {
		if err := os.WriteFile(path, drawn, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, want := decode(t, drawn), decode(t, readFile(t, path))
	if got.Bounds() != want.Bounds() {
		t.Fatalf("README shows a picture of %v, the lesson draws %v; rewrite it with -update and look at it", want.Bounds(), got.Bounds())
	}
	if share := differing(got, want); share > 0.001 {
		t.Errorf("%.2f %% of README's picture is not what the lesson draws; rewrite it with -update and look at it", 100*share)
	}
}

// TestReadmeCells runs what README shows as cells, from top to bottom.
func TestReadmeCells(t *testing.T) {
	readme := string(readFile(t, filepath.Join("..", "..", ".."), "README.md"))
	var cells []any
	for i, rest := range strings.Split(readme, "\n```go\n")[1:] {
		code, _, closed := strings.Cut(rest, "\n```\n")
		if !closed {
			t.Fatalf("cell %d of README is not closed", i+1)
		}
		cells = append(cells, map[string]any{"id": fmt.Sprintf("cell-%d", i+1), "cell_type": "code", "metadata": map[string]any{},
			"execution_count": nil, "outputs": []any{}, "source": code})
	}
	if len(cells) < 6 {
		t.Fatalf("README has %d cells, want those of a block and of what follows it", len(cells))
	}
	content, err := json.Marshal(map[string]any{"nbformat": 4, "nbformat_minor": 5, "metadata": map[string]any{}, "cells": cells})
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	invoke(t, dir, nil, "run", write(t, content, dir, "readme.ipynb"), "-o", "ran.ipynb").ok(t)
	if file := readFile(t, dir, "block.pdf"); !bytes.HasPrefix(file, []byte("%PDF-")) {
		t.Errorf("block.pdf begins %q", file[:min(len(file), 8)])
	}
}

// firstPicture returns the first PNG that a notebook's outputs hold.
func firstPicture(t *testing.T, content []byte) []byte {
	t.Helper()
	nb, err := notebook.Read(bytes.NewReader(content))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range nb.Cells {
		for _, o := range c.Outputs {
			if text, ok := o.Data["image/png"].(string); ok {
				picture, err := base64.StdEncoding.DecodeString(text)
				if err != nil {
					t.Fatal(err)
				}
				return picture
			}
		}
	}
	t.Fatal("the lesson draws no picture")
	return nil
}

func decode(t *testing.T, content []byte) image.Image {
	t.Helper()
	picture, err := png.Decode(bytes.NewReader(content))
	if err != nil {
		t.Fatal(err)
	}
	return picture
}

// differing is the share of pixels that are clearly not alike.
func differing(a, b image.Image) float64 {
	box, n := a.Bounds(), 0
	for y := box.Min.Y; y < box.Max.Y; y++ {
		for x := box.Min.X; x < box.Max.X; x++ {
			r1, _, _, _ := a.At(x, y).RGBA()
			r2, _, _, _ := b.At(x, y).RGBA()
			if max(r1, r2)-min(r1, r2) > 0x3000 {
				n++
			}
		}
	}
	return float64(n) / float64(box.Dx()*box.Dy())
}
