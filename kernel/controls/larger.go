package controls

import (
	"fmt"
	"strings"
)

// A drawing has a line under it that opens it large, and each redraw would
// close it. So under the controls there is a line of its own, outside of what
// is drawn again, and the drawing's is not seen while that is there. By rules
// of style the picture is as large as the line says, so that it follows the
// controls.

// largerModel is the line for the drawing of a view. Browsers that do not know
// the rules show the drawing's own line, and so does print. The last two rules
// are for front ends of ipywidgets 6, which else would be back at the left edge
// at each redraw: there it is scrolled in an element that stays.
func (v *view) largerModel() *model {
	line, drawing := largerClass(v.id), drawingClass(v.id)
	rules := fmt.Sprintf(`.%[1]s { display: none; }
@media screen { @supports selector(:has(a)) {
.%[1]s { display: block; }
.%[1]s > summary { display: list-item; cursor: pointer; }
.%[2]s img + details { display: none; }
body:has(.%[1]s[open]) .%[2]s img:has(+ details) { zoom: 2.5; max-width: none; }
body:has(.%[1]s[open]) .output_subarea:has(> .%[2]s) { overflow: visible; max-width: none; }
body:has(.%[1]s[open]) .output:has(.%[2]s) { overflow-x: auto; }
} }`, line, drawing)
	page := fmt.Sprintf("<style>%s</style><details class=%q><summary>larger</summary></details>", rules, line)
	return &model{module: controlsModule, name: "HTMLModel", view: "HTMLView", layout: layoutModel(""),
		state: fixed(map[string]any{"value": page, "description": "", "placeholder": ""})}
}

func largerClass(id string) string  { return "patternkit-larger-" + id }
func drawingClass(id string) string { return "patternkit-drawing-" + id }

// dressed is a drawing as it is shown under its controls: named for the rules
// of style, with the values that it was made with.
func (v *view) dressed(data map[string]any, reads []control) map[string]any {
	page, _ := data["text/html"].(string)
	if v.larger == nil && opensLarge(page) {
		v.larger = v.largerModel()
	}
	data = withValues(data, reads)
	if page != "" && v.larger != nil {
		data["text/html"] = fmt.Sprintf("<div class=%q>%s</div>", drawingClass(v.id), data["text/html"])
	}
	return data
}

// opensLarge reports whether a picture in a page is followed by a line that
// opens it large.
func opensLarge(page string) bool {
	before, _, found := strings.Cut(page, "<details>")
	return found && strings.HasPrefix(before[max(0, strings.LastIndexByte(before, '<')):], "<img ")
}
