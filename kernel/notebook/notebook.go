// Package notebook handles .ipynb files: it reads them, runs their cells
// without a front end, writes them back and writes them as a web page.
//
// The file format is nbformat 4 (nbformat.readthedocs.io). Any 4.x is read;
// 4.5 is written, in the layout of Jupyter's own writer (sorted keys, indent
// of one space, text as a list of lines), so that a file read and written
// again does not change. Fields that this package does not know are kept.
package notebook

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
)

// A Notebook is the cells of an .ipynb file and what it says of itself. Treat
// it as a value: Run and WithParameters return a new one.
type Notebook struct {
	Metadata map[string]any // kernelspec, language_info, title ...
	Cells    []Cell

	minor int            // nbformat_minor as read, where that is above what is written
	extra map[string]any // unknown top-level fields
}

// A CellType is what a cell holds.
type CellType string

// The cell types of nbformat 4.
const (
	Code     CellType = "code"
	Markdown CellType = "markdown"
	Raw      CellType = "raw"
)

// A Cell is one cell of a notebook.
type Cell struct {
	ID          string // 1 to 64 letters, digits, - and _; unique in the notebook
	Type        CellType
	Source      string
	Metadata    map[string]any
	Attachments map[string]any // by file name: a bundle of MIME type to content; nil for none

	Count   *int     // execution count of a code cell; nil while it has not run
	Outputs []Output // of a code cell

	extra map[string]any
}

// An OutputType says which of an Output's fields mean something.
type OutputType string

// The output types of nbformat 4.
const (
	Stream        OutputType = "stream"         // Name and Text
	DisplayData   OutputType = "display_data"   // Data and Metadata
	ExecuteResult OutputType = "execute_result" // Data, Metadata and Count
	ErrorOutput   OutputType = "error"          // ErrorName, ErrorValue and Traceback
)

// An Output is something that a code cell showed.
type Output struct {
	Type       OutputType
	Name, Text string         // "stdout" or "stderr", and what was printed
	Data       map[string]any // MIME type to string or JSON value
	Metadata   map[string]any
	Count      *int
	ErrorName  string
	ErrorValue string
	Traceback  []string

	extra map[string]any
}

// Tags returns the tags in a cell's metadata.
func (c Cell) Tags() []string {
	list, _ := c.Metadata["tags"].([]any)
	var tags []string
	for _, t := range list {
		if s, ok := t.(string); ok {
			tags = append(tags, s)
		}
	}
	return tags
}

// HasTag reports whether a cell has a tag.
func (c Cell) HasTag(tag string) bool { return slices.Contains(c.Tags(), tag) }

// Title returns the notebook's title: that of its metadata or else the first
// heading of its prose, and "" where it has neither.
func (nb Notebook) Title() string {
	if t, _ := nb.Metadata["title"].(string); strings.TrimSpace(t) != "" {
		return strings.TrimSpace(t)
	}
	for _, c := range nb.Cells {
		if c.Type != Markdown {
			continue
		}
		if t := firstHeading(c.Source); t != "" {
			return t
		}
	}
	return ""
}

// clone copies what Run changes: the cells and their lists of outputs.
func (nb Notebook) clone() Notebook {
	nb.Cells = slices.Clone(nb.Cells)
	for i := range nb.Cells {
		nb.Cells[i].Metadata = maps.Clone(nb.Cells[i].Metadata)
		nb.Cells[i].Outputs = slices.Clone(nb.Cells[i].Outputs)
	}
	return nb
}

var idPattern = regexp.MustCompile(`^[a-zA-Z0-9_-]{1,64}$`)

// checkIDs returns an error for an id that nbformat 4.5 does not allow or that
// two cells have.
func checkIDs(cells []Cell) error {
	at := map[string]int{}
	for i, c := range cells {
		if !idPattern.MatchString(c.ID) {
			return fmt.Errorf("cell %d: its id is %q, want 1 to 64 letters, digits, - and _", i+1, c.ID)
		}
		if first, seen := at[c.ID]; seen {
			return fmt.Errorf("cell %d: its id %q is also that of cell %d", i+1, c.ID, first+1)
		}
		at[c.ID] = i
	}
	return nil
}
