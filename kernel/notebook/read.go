package notebook

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
)

// Read reads an .ipynb file of nbformat 4.x. It takes what real files hold
// though the format asks for more: text as a string or as a list of lines,
// code cells without outputs, cells without metadata or ids (older than 4.5),
// unknown fields. What it cannot keep is an error that says where.
func Read(r io.Reader) (Notebook, error) {
	data, err := io.ReadAll(r)
	if err != nil {
		return Notebook{}, fmt.Errorf("notebook: %w", err)
	}
	nb, err := parse(data)
	if err != nil {
		return Notebook{}, fmt.Errorf("notebook: %w", err)
	}
	return nb, nil
}

func parse(data []byte) (Notebook, error) {
	if strings.TrimSpace(string(data)) == "" {
		return Notebook{}, errors.New("the file is empty, want a notebook in JSON")
	}
	tree, err := parseJSON(data)
	if err != nil {
		return Notebook{}, err
	}
	o, err := objectOf(tree, "the file")
	if err != nil {
		return Notebook{}, err
	}
	if err := o.version(); err != nil {
		return Notebook{}, err
	}
	nb := Notebook{Metadata: o.object("metadata"), minor: o.integer("nbformat_minor")}
	for i, c := range o.list("cells") {
		cell, err := readCell(c, i)
		if err != nil {
			return Notebook{}, fmt.Errorf("cell %d: %w", i+1, err)
		}
		nb.Cells = append(nb.Cells, cell)
	}
	o.take("nbformat")
	if o.err != nil {
		return Notebook{}, o.err
	}
	nb.extra = o.rest()
	for _, name := range []string{"orig_nbformat", "orig_nbformat_minor", "signature"} {
		delete(nb.Metadata, name) // never stored, as Jupyter's own reader has it
	}
	if err := giveIDs(nb.Cells, nb.minor); err != nil {
		return Notebook{}, err
	}
	return nb, nil
}

// version says what to do with a file of another format.
func (o *object) version() error {
	n, ok := o.fields["nbformat"].(json.Number)
	switch {
	case !ok:
		return errors.New("it has no nbformat number, so it is no notebook")
	case n == "4":
		return nil
	case n == "1" || n == "2" || n == "3":
		return fmt.Errorf("it is nbformat %s, want 4; open and save it in Jupyter, or use jupyter nbconvert --to notebook", n)
	}
	return fmt.Errorf("it is nbformat %s, newer than the 4 that is known here", n)
}

func readCell(v any, index int) (Cell, error) {
	o, err := objectOf(v, "it")
	if err != nil {
		return Cell{}, err
	}
	c := Cell{
		Type:     CellType(o.text("cell_type")),
		ID:       o.text("id"),
		Source:   o.text("source"),
		Metadata: o.object("metadata"),
	}
	delete(c.Metadata, "trusted") // never stored, as Jupyter's own reader has it
	if _, has := o.fields["attachments"]; has {
		c.Attachments = o.object("attachments")
		for name, bundle := range c.Attachments {
			if b, ok := bundle.(map[string]any); ok {
				c.Attachments[name] = joined(b)
			}
		}
	}
	switch c.Type {
	case Markdown, Raw:
	case Code:
		c.Count = o.count("execution_count")
		for i, v := range o.list("outputs") {
			out, err := readOutput(v)
			if err != nil {
				return Cell{}, fmt.Errorf("output %d: %w", i+1, err)
			}
			c.Outputs = append(c.Outputs, out)
		}
	default:
		return Cell{}, fmt.Errorf("its cell_type is %q, want code, markdown or raw", c.Type)
	}
	c.extra = o.rest()
	return c, o.err
}

func readOutput(v any) (Output, error) {
	o, err := objectOf(v, "it")
	if err != nil {
		return Output{}, err
	}
	out := Output{Type: OutputType(o.text("output_type"))}
	switch out.Type {
	case Stream:
		out.Name, out.Text = o.text("name"), o.text("text")
		if out.Name == "" {
			out.Name = "stdout"
		}
	case DisplayData, ExecuteResult:
		out.Data, out.Metadata = joined(o.object("data")), o.object("metadata")
		if out.Type == ExecuteResult {
			out.Count = o.count("execution_count")
		}
	case ErrorOutput:
		out.ErrorName, out.ErrorValue = o.text("ename"), o.text("evalue")
		for i, line := range o.list("traceback") {
			s, ok := line.(string)
			if !ok {
				return Output{}, fmt.Errorf("line %d of its traceback is %s, want a string", i+1, kindOf(line))
			}
			out.Traceback = append(out.Traceback, s)
		}
	default:
		return Output{}, fmt.Errorf("its output_type is %q, want stream, display_data, execute_result or error", out.Type)
	}
	out.extra = o.rest()
	return out, o.err
}

// joined joins the lines of the contents that are text.
func joined(bundle map[string]any) map[string]any {
	for mime, v := range bundle {
		if list, ok := v.([]any); ok && !isJSONType(mime) {
			if s, ok := joinLines(list); ok {
				bundle[mime] = s
			}
		}
	}
	return bundle
}

func joinLines(list []any) (string, bool) {
	var b strings.Builder
	for _, line := range list {
		s, ok := line.(string)
		if !ok {
			return "", false
		}
		b.WriteString(s)
	}
	return b.String(), true
}

// isJSONType reports whether the content of a MIME type is a JSON value.
func isJSONType(mime string) bool {
	return mime == "application/json" || strings.HasPrefix(mime, "application/") && strings.HasSuffix(mime, "+json")
}

// giveIDs fills the ids that files before 4.5 do not have, the same ones for
// the same file.
func giveIDs(cells []Cell, minor int) error {
	used := map[string]bool{}
	for _, c := range cells {
		used[c.ID] = true
	}
	for i := range cells {
		if cells[i].ID != "" {
			continue
		}
		cells[i].ID = newID(cells[i].Source, i, used)
	}
	return checkIDs(cells)
}

// newID makes an id of a cell's text and place that is not used yet, and marks
// it as used.
func newID(source string, place int, used map[string]bool) string {
	for try := 0; ; try++ {
		sum := sha256.Sum256(fmt.Appendf(nil, "%d %d %s", place, try, source))
		if id := hex.EncodeToString(sum[:4]); !used[id] {
			used[id] = true
			return id
		}
	}
}
