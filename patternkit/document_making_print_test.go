package patternkit

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// printedPages prints a web page with Chromium and reads each sheet with
// poppler, both outside references.
func printedPages(t *testing.T, file []byte) (pages []string, info string) {
	t.Helper()
	for _, tool := range []string{"chromium", "pdftotext", "pdfinfo"} {
		if _, err := exec.LookPath(tool); err != nil {
			if os.Getenv("PATTERNKIT_FULL") != "" {
				t.Fatalf("%s is not installed, and PATTERNKIT_FULL asks for it", tool)
			}
			t.Skipf("%s is not installed: the sheet is not printed", tool)
		}
	}
	dir := t.TempDir()
	page, pdf := filepath.Join(dir, "sheet.html"), filepath.Join(dir, "sheet.pdf")
	if err := os.WriteFile(page, file, 0o600); err != nil {
		t.Fatal(err)
	}
	print := exec.Command("chromium", "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer", "--user-data-dir="+filepath.Join(dir, "profile"), "--print-to-pdf="+pdf, "file://"+page)
	if out, err := print.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	text, err := exec.Command("pdftotext", "-layout", pdf, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	about, err := exec.Command("pdfinfo", pdf).Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range strings.Split(strings.TrimSuffix(string(text), "\f"), "\f") {
		pages = append(pages, strings.Join(strings.Fields(p), " "))
	}
	return pages, string(about)
}

// The sheet prints on A4 upright, and each step is whole on one page.
func TestMakingSheetPrinted(t *testing.T) {
	p, o := gatheredForSheet(t)
	pages, info := printedPages(t, styleMust[Document](t)(p.MakingSheet(o)).File())
	if !strings.Contains(info, "(A4)") {
		t.Errorf("not on A4:\n%s", info)
	}
	if len(pages) < 5 || len(pages) > 12 {
		t.Errorf("%d pages, want 5 to 12", len(pages))
	}
	for i, s := range styleMust[Making](t)(p.Making(o)).Steps() {
		title, words := fmt.Sprintf("%d. %s", i+1, s.Title), strings.Join(strings.Fields(s.Words), " ")
		whole := false
		for _, page := range pages {
			whole = whole || strings.Contains(page, title+" "+words)
		}
		if !whole {
			t.Errorf("step %q is not whole on one page", title)
		}
	}
}
