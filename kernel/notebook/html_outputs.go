package notebook

import (
	"encoding/json"
	"fmt"
	"html/template"
	"regexp"
	"strings"
)

// output shows an output, "" where nothing of it can be shown.
func (p *page) output(o Output, count *int) (template.HTML, error) {
	var class string
	var content template.HTML
	var err error
	switch o.Type {
	case Stream:
		class = "stream"
		name := "text"
		if o.Name == "stderr" {
			name = "stderr"
		}
		content, err = execute(name, plainText(o.Text))
	case ErrorOutput:
		class = "error"
		heading := o.ErrorName
		if o.ErrorValue != "" {
			heading += ": " + o.ErrorValue
		}
		content, err = execute("error", map[string]string{
			"Heading": plainText(heading), "Text": plainText(strings.Join(o.Traceback, "\n")),
		})
	default:
		class = "result"
		content, err = p.bundle(o, count)
	}
	if err != nil || content == "" {
		return "", err
	}
	return execute("output", map[string]any{"Class": class, "Content": content})
}

// pictureTypes are the pictures that a page may hold, best first.
var pictureTypes = []string{"image/svg+xml", "image/png", "image/webp", "image/jpeg", "image/gif"}

// bundle shows the richest safe content of a display.
func (p *page) bundle(o Output, count *int) (template.HTML, error) {
	if s := text(o.Data, "text/html"); s != "" {
		if markup := p.sanitized(s); strings.TrimSpace(string(markup)) != "" {
			return markup + "\n", nil
		}
	}
	for _, mime := range pictureTypes {
		if s := text(o.Data, mime); s != "" {
			return picture(mime, s, o, count)
		}
	}
	if s := text(o.Data, "text/markdown"); s != "" {
		return p.markdown(s, nil)
	}
	for _, mime := range []string{"text/latex", "text/plain"} {
		if s := text(o.Data, mime); s != "" {
			return execute("text", plainText(s))
		}
	}
	if v, ok := o.Data["application/json"]; ok {
		s, err := json.MarshalIndent(v, "", "  ")
		if err != nil {
			return "", err
		}
		return execute("text", string(s))
	}
	return "", nil
}

func text(data map[string]any, mime string) string {
	s, _ := data[mime].(string)
	return s
}

// picture embeds a picture as data. An SVG too: inside an img element no
// script in it runs and nothing outside of it is loaded.
func picture(mime, content string, o Output, count *int) (template.HTML, error) {
	source := dataURI(mime, content)
	alt := "picture"
	if count != nil {
		alt = fmt.Sprintf("picture of cell %d", *count)
	}
	if s := firstLine(text(o.Data, "text/plain")); s != "" {
		alt = s
	}
	size, _ := o.Metadata[mime].(map[string]any)
	return execute("picture", map[string]any{
		"Source": template.URL(source), "Alt": alt, "Width": pixels(size["width"]), "Height": pixels(size["height"]),
	})
}

func dataURI(mime, content string) string {
	if mime == "image/svg+xml" {
		content = toBase64(content)
	}
	return "data:" + mime + ";base64," + strings.Join(strings.Fields(content), "")
}

// pixels writes a width or height of a picture, "" where there is none.
func pixels(v any) string {
	if s := fmt.Sprint(v); v != nil && regexp.MustCompile(`^[1-9][0-9]{0,4}$`).MatchString(s) {
		return s
	}
	return ""
}

func firstLine(s string) string {
	line, _, _ := strings.Cut(strings.TrimSpace(s), "\n")
	return line
}

// escapeCode matches the codes by which a terminal changes colour or moves.
var escapeCode = regexp.MustCompile("\x1b\\[[0-9;?]*[ -/]*[@-~]|\x1b\\][^\x07\x1b]*(?:\x07|\x1b\\\\)|\x1b[@-Z\\\\-_]")

// plainText shows what a terminal would have kept: no colour codes, and of a
// line that was written over with carriage returns the last state.
func plainText(s string) string {
	s = escapeCode.ReplaceAllString(s, "")
	s = strings.ReplaceAll(s, "\r\n", "\n")
	if !strings.Contains(s, "\r") {
		return s
	}
	lines := strings.Split(s, "\n")
	for i, line := range lines {
		line = strings.TrimRight(line, "\r")
		lines[i] = line[strings.LastIndexByte(line, '\r')+1:]
	}
	return strings.Join(lines, "\n")
}
