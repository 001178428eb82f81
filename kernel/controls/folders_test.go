package controls

import (
	"os"
	"path/filepath"
	"testing"
)

// Results may go to a folder of their own; what is read lies by the notebook.
func TestLoadReadsBesideTheNotebook(t *testing.T) {
	p, _ := newFake(false)
	beside, results := t.TempDir(), t.TempDir()
	p.SetFolder(beside)
	p.SaveIn(results)
	put := func(dir, name, content string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	put(beside, "class.csv", "the class")
	put(results, "class.csv", "a result of an earlier run")
	put(results, "earlier.txt", "a result of an earlier run")
	if got, err := p.Load("class.csv"); err != nil || string(got) != "the class" {
		t.Errorf("class.csv holds %q, %v", got, err)
	}
	if got, err := p.Load("earlier.txt"); err == nil {
		t.Errorf("the result of an earlier run is read: %q", got)
	}
	if got := p.Loaded(); len(got) != 2 || len(got["class.csv"]) != 32 || got["earlier.txt"] != nil {
		t.Errorf("it was noted that %x were loaded", got)
	}
	must(p.Save("class.csv", []byte("the class, sorted")))
	if got, err := p.Load("class.csv"); err != nil || string(got) != "the class, sorted" {
		t.Errorf("after it was saved class.csv holds %q, %v", got, err)
	}
	if got, err := os.ReadFile(filepath.Join(beside, "class.csv")); err != nil || string(got) != "the class" {
		t.Errorf("beside the notebook it holds %q, %v", got, err)
	}
}
