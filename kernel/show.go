package kernel

import (
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html"
	"reflect"
	"strings"
)

// The MIME types that values are shown as.
const (
	mimePlain    = "text/plain"
	mimeHTML     = "text/html"
	mimePNG      = "image/png"
	mimeMarkdown = "text/markdown"
	mimeLatex    = "text/latex"
	mimeJSON     = "application/json"
)

// The methods by which a value is shown. They are the names that Go kernels
// have long used, so that a library needs to import none of them.
type (
	shownAsHTML     interface{ HTML() string }
	shownMoving     interface{ MovingHTML() string }
	shownAsSVG      interface{ SVG() string }
	shownAsPNG      interface{ PNG() []byte }
	shownAsMarkdown interface{ Markdown() string }
	shownAsLatex    interface{ Latex() string }
	shownAsJSON     interface{ JSON() map[string]any }
)

// Show returns v in every form that it has.
//
// A value says by methods how it is shown: HTML() string, SVG() string,
// PNG() []byte, Markdown() string, Latex() string, JSON() map[string]any,
// Error() string, String() string. A slice of such values shows them one
// after another, and a slice of plain structs is a table. Plain text is
// always there.
//
// image/svg+xml is never there, because front ends treat it differently and
// exporters damage it; the SVG of a value without HTML is shown as an <img>
// in text/html. A method that panics is reported in the text.
func Show(v any) Bundle { return show(v, false) }

// ShowQuick is Show without the forms that a front end does not look at where
// there is text/html: image/png, text/markdown and text/latex. It is for
// drawings that move. A value with MovingHTML() string gives its text/html by
// that: the same without what a person opens only when it rests.
func ShowQuick(v any) Bundle { return show(v, true) }

func show(v any, quick bool) Bundle {
	s := shower{bundle: Bundle{}, quick: quick}
	s.text(v)
	switch {
	case isNil(v):
	case isRich(v):
		s.forms(v)
	default:
		s.items(v)
	}
	s.report()
	return s.bundle
}

// A shower collects the forms of one value, and what went wrong.
type shower struct {
	bundle Bundle
	quick  bool
	faults []string
}

// try runs one method of the value. Whatever it panics with is a fault of the
// value and not of the kernel.
func (s *shower) try(method string, f func()) {
	defer func() {
		if p := recover(); p != nil {
			s.faults = append(s.faults, fmt.Sprintf("%s() of this value panics: %v", method, p))
		}
	}()
	f()
}

// text always gives text/plain. fmt catches panics of String and Error.
func (s *shower) text(v any) {
	s.bundle[mimePlain] = plainText(v)
}

// forms calls the methods that value has.
func (s *shower) forms(value any) {
	if v, ok := value.(shownMoving); ok && s.quick { // of a drawing without what is opened by hand
		s.try("MovingHTML", func() { s.markup(value, v.MovingHTML()) })
	} else if v, ok := value.(shownAsHTML); ok {
		s.try("HTML", func() { s.markup(value, v.HTML()) })
	} else if v, ok := value.(shownAsSVG); ok {
		s.try("SVG", func() {
			if svg := v.SVG(); svg != "" {
				s.put(mimeHTML, svgImage(svg, s.bundle[mimePlain].(string)))
			}
		})
	}
	if !s.quick || s.bundle[mimeHTML] == nil {
		s.otherForms(value)
	}
	if v, ok := value.(shownAsJSON); ok {
		s.try("JSON", func() { s.json(v.JSON()) })
	}
}

// otherForms are those that a front end takes when there is no text/html.
func (s *shower) otherForms(value any) {
	if v, ok := value.(shownAsPNG); ok {
		s.try("PNG", func() { s.put(mimePNG, base64.StdEncoding.EncodeToString(v.PNG())) })
	}
	if v, ok := value.(shownAsMarkdown); ok {
		s.try("Markdown", func() {
			text := v.Markdown()
			if isFromCell(value) {
				text = cleanMarkdown(text)
			}
			s.put(mimeMarkdown, text)
		})
	}
	if v, ok := value.(shownAsLatex); ok {
		s.try("Latex", func() {
			if text := v.Latex(); !acts(text) {
				s.put(mimeLatex, text)
			}
		})
	}
}

func (s *shower) markup(value any, html string) {
	if isFromCell(value) {
		html = cleanHTML(html)
	}
	s.put(mimeHTML, html)
}

func (s *shower) put(mime, text string) {
	if text != "" {
		s.bundle[mime] = text
	}
}

// json keeps only what JSON can hold: no NaN, no functions.
func (s *shower) json(v map[string]any) {
	raw, err := json.Marshal(v)
	switch {
	case err != nil:
		s.faults = append(s.faults, fmt.Sprintf("JSON() of this value can't be written: %v", err))
	case v != nil:
		s.bundle[mimeJSON] = json.RawMessage(raw)
	}
}

// report adds the faults to the text, and to the page when the value has
// nothing else to show there.
func (s *shower) report() {
	if len(s.faults) == 0 {
		return
	}
	faults := strings.Join(s.faults, "\n")
	s.bundle[mimePlain] = s.bundle[mimePlain].(string) + "\n" + faults
	if _, ok := s.bundle[mimePNG]; !ok && s.bundle[mimeHTML] == nil {
		s.bundle[mimeHTML] = "<pre>" + html.EscapeString(s.bundle[mimePlain].(string)) + "</pre>"
	}
}

// isRich reports whether a value has a form besides text.
func isRich(v any) bool {
	switch v.(type) {
	case shownAsHTML, shownAsSVG, shownAsPNG, shownAsMarkdown, shownAsLatex, shownAsJSON:
		return true
	}
	return false
}

func isNil(v any) bool {
	r := reflect.ValueOf(v)
	switch r.Kind() {
	case reflect.Invalid:
		return true
	case reflect.Pointer, reflect.Map, reflect.Slice, reflect.Func, reflect.Interface, reflect.Chan:
		return r.IsNil()
	}
	return false
}

// showValues is what the values of an expression are together.
func showValues(values []any) Bundle {
	switch len(values) {
	case 0:
		return Bundle{mimePlain: ""}
	case 1:
		return Show(values[0])
	}
	return together(values)
}

// together shows several values in one output: texts side by side when all
// are plain, else one below another.
func together(values []any) Bundle {
	texts, page, rich := make([]string, len(values)), make([]string, len(values)), false
	for i, v := range values {
		b := Show(v)
		texts[i], page[i] = b[mimePlain].(string), asHTML(b)
		rich = rich || len(b) > 1
	}
	if !rich {
		return Bundle{mimePlain: strings.Join(texts, ", ")}
	}
	return Bundle{mimePlain: strings.Join(texts, "\n"), mimeHTML: strings.Join(page, "\n")}
}

// asHTML is the form of a bundle that can stand in a page with others.
func asHTML(b Bundle) string {
	if h, ok := b[mimeHTML].(string); ok {
		return "<div>" + h + "</div>"
	}
	text := html.EscapeString(b[mimePlain].(string))
	if png, ok := b[mimePNG].(string); ok {
		return fmt.Sprintf(`<div><img src="data:image/png;base64,%s" alt="%s"></div>`, png, text)
	}
	return "<pre>" + text + "</pre>"
}

// showResult gives the values of a cell's last expression to out. Several are
// one result when all are text; else each is shown with all its forms, the
// last as the result.
func showResult(values []any, count int, out Output) error {
	if len(values) == 0 {
		return nil
	}
	if len(values) == 1 || len(showValues(values)) == 1 {
		return resultOf(values, count, out)
	}
	for _, v := range values[:len(values)-1] {
		out.Display(Display{Data: Show(v)})
	}
	return resultOf(values[len(values)-1:], count, out)
}

// A selfShower is a value with its own way into a notebook: a control.
type selfShower interface{ ShowInNotebook() error }

func resultOf(values []any, count int, out Output) error {
	if v, ok := values[0].(selfShower); ok && len(values) == 1 && !isNil(v) {
		return v.ShowInNotebook()
	}
	out.Result(count, Display{Data: showValues(values)})
	return nil
}

// resultText is what the history keeps of a result.
func resultText(values []any) string {
	texts := make([]string, len(values))
	for i, v := range values {
		texts[i] = plainText(v)
	}
	return strings.Join(texts, ", ")
}
