package kernel

import (
	"fmt"
	"reflect"
	"strings"
	"testing"
)

// A listing is an Output that writes down what comes, a line each.
type listing struct{ lines []string }

func (l *listing) Stream(name, text string) { l.lines = append(l.lines, name+" "+text) }
func (l *listing) Display(d Display) {
	l.lines = append(l.lines, strings.TrimSpace(fmt.Sprint("display ", d.Data[mimePlain], " ", d.ID)))
}
func (l *listing) Result(n int, d Display) {
	l.lines = append(l.lines, fmt.Sprint("result ", n, " ", d.Data[mimePlain]))
}
func (l *listing) ClearOutput(wait bool) { l.lines = append(l.lines, fmt.Sprint("clear ", wait)) }

func TestCellIsShownAgain(t *testing.T) {
	plain := func(text string) Bundle { return Bundle{mimePlain: text} }
	f := newFront(nil)
	cell := f.enterCell(t.Context(), &listing{}, Request{Code: "a"})
	cell.Stream("stdout", "lost")
	cell.ClearOutput(false)
	cell.Stream("stdout", "also lost")
	cell.ClearOutput(true)
	cell.Stream("stdout", "one ")
	cell.Stream("stdout", "two")
	cell.Stream("stderr", "three")
	f.Show(plain("first drawing"), "id", false)
	cell.Display(Display{Data: plain("bar"), ID: "bar"})
	cell.Display(Display{Data: plain("full bar"), ID: "bar", Update: true})
	set, again := f.Keep("id")
	cell.Result(3, Display{Data: plain("value")})
	if again() {
		t.Error("a cell can be shown again while it runs")
	}
	page := &listing{}
	f.enter(t.Context(), page)
	set(plain("second drawing"))
	if !again() {
		t.Error("it can't be shown again")
	}
	want := []string{"clear true", "stdout one two", "stderr three", "display second drawing", "display full bar", "result 3 value"}
	if !reflect.DeepEqual(page.lines, want) {
		t.Errorf("shown again %q, want %q", page.lines, want)
	}
}

func TestCellThatShowsTooMuchIsNotShownAgain(t *testing.T) {
	f := newFront(nil)
	cell := f.enterCell(t.Context(), muted{}, Request{Code: "a"})
	_, again := f.Keep("id")
	cell.Display(Display{Data: Bundle{mimeHTML: strings.Repeat("x", maxAgain)}})
	cell.Stream("stdout", "x")
	page := &listing{}
	f.enter(t.Context(), page)
	if again() || page.lines != nil {
		t.Errorf("shown again %q", page.lines)
	}
	if len(f.shown.outputs) != 0 {
		t.Error("it is kept all the same")
	}
}
