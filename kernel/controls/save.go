package controls

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"html"
	"io/fs"
	"maps"
	"mime"
	"net/http"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
)

// A Saved is a file that a cell has written.
type Saved struct {
	Name     string // under the notebook's folder, with slashes
	Size     int    // bytes
	Replaced bool   // a file of that name was there before
	content  []byte // when it is small enough to be offered in the page
}

// maxDownload limits what a page carries as a link.
const maxDownload = 512 << 10

// Save writes a file under the folder of the notebook (of a Go program: the
// current folder) and shows its name and size. Folders on the way are made; a
// file that is there is replaced, and the result says so.
//
// A name that leads out of the folder, also by a symbolic link, or that has a
// part beginning with a point is an error, and so is one of a kind that other
// programs run or take settings from: a notebook that somebody hands on must
// not reach what it was not given. See OpenFolders.
func (p *Panel) Save(name string, content []byte) (Saved, error) {
	root, inside, err := p.place(p.saveFolder(), name)
	if err != nil {
		return Saved{}, fmt.Errorf("save %q: %w", name, err)
	}
	defer root.Close()
	if err := checkKind(name); err != nil && !p.anywhere {
		return Saved{}, fmt.Errorf("save %q: %w", name, err)
	}
	_, err = root.Stat(inside)
	saved := Saved{Name: name, Size: len(content), Replaced: err == nil}
	if err := write(root, inside, content); err != nil {
		return Saved{}, fmt.Errorf("save %q: %w", name, err)
	}
	p.mu.Lock()
	p.saved[path.Clean(name)] = true
	p.mu.Unlock()
	if len(content) <= maxDownload {
		saved.content = append([]byte(nil), content...)
	}
	return saved, nil
}

// maxLoad limits what Load reads: a tracing or a class's table is far smaller.
const maxLoad = 64 << 20

// Load reads a file under the folder of the notebook, as Save names it; what
// the notebook has saved elsewhere, as in a run of a class's rows, from there.
// A file of more than 64 MB is an error.
func (p *Panel) Load(name string) ([]byte, error) {
	content, err := p.load(name)
	p.noteLoaded(name, content, err)
	return content, err
}

// Loaded returns the SHA-256 of the files that were loaded, by their names
// under the folder of the notebook, and nil of those that could not be loaded:
// what a run has depended on. What the notebook itself had saved is left out.
func (p *Panel) Loaded() map[string][]byte {
	p.mu.Lock()
	defer p.mu.Unlock()
	return maps.Clone(p.loaded)
}

func (p *Panel) noteLoaded(name string, content []byte, err error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch {
	case p.saved[path.Clean(name)]:
	case err != nil:
		p.loaded[name] = nil
	default:
		sum := sha256.Sum256(content)
		p.loaded[name] = sum[:]
	}
}

func (p *Panel) load(name string) ([]byte, error) {
	root, inside, err := p.place(p.loadFolder(name), name)
	if err != nil {
		return nil, fmt.Errorf("load %q: %w", name, err)
	}
	defer root.Close()
	info, err := root.Stat(inside)
	switch {
	case err != nil:
		return nil, fmt.Errorf("load %q: %w", name, err)
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("load %q: it is no plain file", name)
	case info.Size() > maxLoad:
		return nil, fmt.Errorf("load %q: it has %s, want %s at most", name, byteSize(int(info.Size())), byteSize(maxLoad))
	}
	content, err := root.ReadFile(inside)
	if err != nil {
		return nil, fmt.Errorf("load %q: %w", name, err)
	}
	return content, nil
}

func (p *Panel) saveFolder() string {
	if p.results != "" {
		return p.results
	}
	return p.folder
}

// loadFolder is where a name is looked for: what this notebook has saved is
// where it was saved, even when a file beside the notebook has its name.
func (p *Panel) loadFolder(name string) string {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.saved[path.Clean(name)] {
		return p.saveFolder()
	}
	return p.folder
}

// place opens the folder that a name is in, and says what the file is called
// there. The folder can't be left by way of the name or of a link.
func (p *Panel) place(folder, name string) (*os.Root, string, error) {
	if p.anywhere {
		full := name
		if !filepath.IsAbs(name) {
			full = filepath.Join(folder, name)
		}
		root, err := os.OpenRoot(filepath.Dir(full))
		return root, filepath.Base(full), err
	}
	if err := checkName(name); err != nil {
		return nil, "", err
	}
	root, err := os.OpenRoot(folder)
	return root, name, err
}

func checkName(name string) error {
	if !fs.ValidPath(name) || name == "." || strings.ContainsAny(name, `\:`) {
		return errors.New("want a name under the notebook's folder, such as \"pieces.svg\" or \"class/pieces.svg\"")
	}
	for part := range strings.SplitSeq(name, "/") {
		if strings.HasPrefix(part, ".") {
			return fmt.Errorf("%q begins with a point; such files steer other programs and are not for a notebook", part)
		}
	}
	return nil
}

// savedKinds are the endings of drawings, tables and texts, which other programs
// show and do not run.
var savedKinds = []string{
	".csv", ".dxf", ".geojson", ".gif", ".htm", ".html", ".jpeg", ".jpg", ".json", ".md", ".pdf", ".plt", ".png", ".svg",
	".tex", ".tif", ".tiff", ".tsv", ".txt", ".webp", ".wkb", ".wkt", ".xml", ".zip",
}

// checkKind refuses programs, and the settings that Jupyter reads from the
// folder in which it is started.
func checkKind(name string) error {
	base := strings.ToLower(path.Base(name))
	if !slices.Contains(savedKinds, path.Ext(base)) {
		return fmt.Errorf("other programs may run such a file; want a name ending in %s", strings.Join(savedKinds, " "))
	}
	if strings.HasPrefix(base, "jupyter_") || strings.HasPrefix(base, "ipython_") {
		return errors.New("a file of such a name holds settings of Jupyter; want another beginning")
	}
	return nil
}

// write goes by way of a temporary file of its own, so that a full disk leaves
// the earlier file as it was, and no other file is written to.
func write(root *os.Root, name string, content []byte) error {
	if dir := path.Dir(name); dir != "." {
		if err := root.MkdirAll(dir, 0o755); err != nil {
			return err
		}
	}
	part := name + "." + rand.Text()[:8] + ".part"
	f, err := root.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(content)
	if err = errors.Join(err, f.Close()); err == nil {
		err = root.Rename(part, name)
	}
	if err != nil {
		err = errors.Join(err, ignoreMissing(root.Remove(part)))
	}
	return err
}

func ignoreMissing(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// String returns name and size: "pieces.svg, 12 kB".
func (s Saved) String() string {
	text := s.Name + ", " + byteSize(s.Size)
	if s.Replaced {
		text += " (replaced the earlier file)"
	}
	return text
}

// HTML returns name and size, as a link to download a small file.
func (s Saved) HTML() string {
	name := html.EscapeString(s.Name)
	if s.content != nil {
		kind := mime.TypeByExtension(path.Ext(s.Name))
		if kind == "" {
			kind = http.DetectContentType(s.content)
		}
		name = fmt.Sprintf(`<a download="%s" href="data:%s;base64,%s">%s</a>`, html.EscapeString(path.Base(s.Name)),
			html.EscapeString(strings.ReplaceAll(kind, " ", "")), base64.StdEncoding.EncodeToString(s.content), name)
	}
	return "<p>" + name + html.EscapeString(strings.TrimPrefix(s.String(), s.Name)) + "</p>"
}

func byteSize(n int) string {
	switch {
	case n < 1000:
		return fmt.Sprintf("%d B", n)
	case n < 1000*1000:
		return fmt.Sprintf("%.0f kB", float64(n)/1e3)
	}
	return fmt.Sprintf("%.1f MB", float64(n)/1e6)
}
