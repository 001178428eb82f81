package kernel

import (
	"strings"
	"testing"
)

type chain []chain

type link struct{ Next any }

// A value that contains itself is said to, and does not end the process.
func TestShowOfAValueThatContainsItself(t *testing.T) {
	list := []any{nil}
	list[0] = list
	table := map[string]any{}
	table["itself"] = table
	own := chain{nil}
	own[0] = own
	var long any
	for range 3_000_000 {
		long = link{long}
	}
	for _, v := range []any{list, table, own, long, &link{long}, []link{{list}}, link{list}} {
		for _, text := range []string{Show(v)["text/plain"].(string), resultText([]any{v})} {
			if !strings.Contains(text, "contains itself") || len(text) > 400 {
				t.Errorf("%T is shown as %.200s", v, text)
			}
		}
	}
	ring := &link{}
	ring.Next = ring // fmt writes the address
	var deep any
	for range maxNested / 4 {
		deep = link{deep}
	}
	for _, v := range []any{ring, deep, []*link{ring}, [][]float64{{1}, {2}}} {
		if text := Show(v)["text/plain"].(string); strings.Contains(text, "contains itself") {
			t.Errorf("%T is shown as %.200s", v, text)
		}
	}
}
