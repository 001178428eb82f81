package notebook

import (
	"strings"
	"testing"
)

func parametersNotebook(source string) Notebook {
	return Notebook{Cells: []Cell{
		{ID: "intro", Type: Markdown, Source: "# Ease"},
		{ID: "defaults", Type: Code, Source: source, Metadata: map[string]any{"tags": []any{"parameters"}}},
		{ID: "use", Type: Code, Source: "draw()"},
	}}
}

const defaults = `bustEase := 8*CM // wearing ease
var cloth, size = "cotton", 12
const seam = 1*CM`

func TestWithParameters(t *testing.T) {
	nb := parametersNotebook(defaults)
	got, err := nb.WithParameters(map[string]string{"size": " 14 ", "bustEase": "10*CM", "cloth": `"linen, striped"`})
	if err != nil {
		t.Fatal(err)
	}
	if len(got.Cells) != 4 || len(nb.Cells) != 3 {
		t.Fatalf("%d cells, and %d in the notebook it came from", len(got.Cells), len(nb.Cells))
	}
	c := got.Cells[2]
	if want := "bustEase = 10*CM\ncloth = \"linen, striped\"\nsize = 14"; c.Source != want || !c.HasTag("injected-parameters") || c.Type != Code {
		t.Errorf("injected %+v, want %s", c, want)
	}
	again, err := got.WithParameters(map[string]string{"size": "16"})
	if err != nil || len(again.Cells) != 4 || again.Cells[2].Source != "size = 16" {
		t.Errorf("set again: %+v, %v", again.Cells, err)
	}
	if back, err := again.WithParameters(nil); err != nil || len(back.Cells) != 4 {
		t.Errorf("without values: %d cells, %v", len(back.Cells), err)
	}
	checkSchema(t, written(t, got))
}

func TestWithParametersErrors(t *testing.T) {
	tests := []struct{ name, source, key, value, want string }{
		{"misspelt", defaults, "bustease", "9*CM", "setting bustease: the cell tagged \"parameters\" does not assign it, want one of bustEase, cloth, seam, size"},
		{"constant", defaults, "seam", "2*CM", "it is a constant"},
		{"two statements", defaults, "size", "1; panic(2)", "this is not one Go expression"},
		{"two lines", defaults, "size", "1\nsize = 2", "this is not one Go expression"},
		{"empty", defaults, "size", "", "this is not one Go expression"},
		{"no Go", "set ease 8", "size", "1", "is no list of Go statements"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			_, err := parametersNotebook(test.source).WithParameters(map[string]string{test.key: test.value})
			if err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("got %v\nwant ... %s", err, test.want)
			}
		})
	}
	if _, err := (Notebook{}).WithParameters(map[string]string{"a": "1"}); err == nil || !strings.Contains(err.Error(), "no code cell tagged") {
		t.Errorf("no tagged cell: %v", err)
	}
}
