package notebook

import (
	"fmt"
	"io"
	"maps"
	"strings"
)

// minorVersion is the nbformat 4 minor that is written.
const minorVersion = 5

// Write writes nb as an .ipynb file of nbformat 4.5, ending in a line end. A
// notebook that was read and is written unchanged gives the bytes that
// Jupyter's own writer gives.
func (nb Notebook) Write(w io.Writer) error {
	data, err := nb.bytes()
	if err != nil {
		return fmt.Errorf("notebook: %w", err)
	}
	_, err = w.Write(data)
	return err
}

func (nb Notebook) bytes() ([]byte, error) {
	if err := checkIDs(nb.Cells); err != nil {
		return nil, err
	}
	cells := make([]any, len(nb.Cells))
	for i, c := range nb.Cells {
		tree, err := c.tree()
		if err != nil {
			return nil, fmt.Errorf("cell %d (%s): %w", i+1, c.ID, err)
		}
		cells[i] = tree
	}
	metadata, err := treeOf(nb.Metadata)
	if err != nil {
		return nil, fmt.Errorf("metadata: %w", err)
	}
	top := withExtra(nb.extra, map[string]any{
		"cells":          cells,
		"metadata":       metadata,
		"nbformat":       4,
		"nbformat_minor": max(nb.minor, minorVersion),
	})
	return append(appendJSON(nil, top, 0), '\n'), nil
}

func (c Cell) tree() (map[string]any, error) {
	metadata, err := treeOf(c.Metadata)
	if err != nil {
		return nil, fmt.Errorf("metadata: %w", err)
	}
	t := withExtra(c.extra, map[string]any{
		"cell_type": string(c.Type),
		"id":        c.ID,
		"metadata":  metadata,
		"source":    splitLines(c.Source),
	})
	if c.Attachments != nil {
		attachments := map[string]any{}
		for name, b := range c.Attachments {
			if bundle, ok := b.(map[string]any); ok {
				b = split(bundle)
			}
			attachments[name] = b
		}
		t["attachments"] = attachments
	}
	if c.Type != Code {
		return t, nil
	}
	outputs := make([]any, len(c.Outputs))
	for i, o := range c.Outputs {
		if outputs[i], err = o.tree(); err != nil {
			return nil, fmt.Errorf("output %d: %w", i+1, err)
		}
	}
	t["outputs"], t["execution_count"] = outputs, number(c.Count)
	return t, nil
}

func (o Output) tree() (map[string]any, error) {
	t := withExtra(o.extra, map[string]any{"output_type": string(o.Type)})
	switch o.Type {
	case Stream:
		t["name"], t["text"] = o.Name, splitLines(o.Text)
	case ErrorOutput:
		lines := make([]any, len(o.Traceback))
		for i, l := range o.Traceback {
			lines[i] = l
		}
		t["ename"], t["evalue"], t["traceback"] = o.ErrorName, o.ErrorValue, lines
	case DisplayData, ExecuteResult:
		data, err := treeOf(o.Data)
		if err != nil {
			return nil, fmt.Errorf("data: %w", err)
		}
		metadata, err := treeOf(o.Metadata)
		if err != nil {
			return nil, fmt.Errorf("metadata: %w", err)
		}
		t["data"], t["metadata"] = split(data), metadata
		if o.Type == ExecuteResult {
			t["execution_count"] = number(o.Count)
		}
	default:
		return nil, fmt.Errorf("its type is %q, want stream, display_data, execute_result or error", o.Type)
	}
	return t, nil
}

// withExtra adds the unknown fields of what was read to the known ones.
func withExtra(extra, known map[string]any) map[string]any {
	out := maps.Clone(extra)
	if out == nil {
		out = map[string]any{}
	}
	maps.Copy(out, known)
	return out
}

func treeOf(m map[string]any) (map[string]any, error) {
	out := make(map[string]any, len(m))
	for name, v := range m {
		tree, err := asTree(v)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		out[name] = tree
	}
	return out, nil
}

// split cuts the contents into lines that Jupyter's own writer cuts.
func split(bundle map[string]any) map[string]any {
	out := make(map[string]any, len(bundle))
	for mime, v := range bundle {
		s, ok := v.(string)
		if ok && (strings.HasPrefix(mime, "text/") || mime == "application/javascript" || mime == "image/svg+xml") {
			v = splitLines(s)
		}
		out[mime] = v
	}
	return out
}

func number(n *int) any {
	if n == nil {
		return nil
	}
	return *n
}
