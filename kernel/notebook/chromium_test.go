package notebook

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// browserDOM loads a page in Chromium and returns what it became.
func browserDOM(t *testing.T, page string) string {
	t.Helper()
	browser, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("PATTERNKIT_FULL") != "" {
			t.Fatalf("PATTERNKIT_FULL is set and chromium is absent: %v", err)
		}
		t.Skip("chromium is absent; with it the page is loaded in a real browser")
	}
	file := filepath.Join(t.TempDir(), "page.html")
	if err := os.WriteFile(file, []byte(page), 0o644); err != nil {
		t.Fatal(err)
	}
	cmd := exec.CommandContext(t.Context(), browser, "--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--no-first-run", "--user-data-dir="+t.TempDir(), "--dump-dom", "file://"+file)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	dom, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, stderr.Bytes())
	}
	return string(dom)
}

// No attack runs in a real browser. The control shows that they would have,
// and a second page that the content security policy alone stops them too.
func TestNothingRunsInABrowser(t *testing.T) {
	var attacks string
	var cells []Cell
	for _, a := range hostile {
		a = strings.ReplaceAll(a, "alert(1)", "document.title='it ran'")
		if !strings.Contains(a, "https:") { // those of the rest would leave the page
			attacks += a + "\n"
		}
		cells = append(cells, shown(result("text/html", a)), prose(a))
	}
	const ran = "<title>it ran</title>"
	control := "<!DOCTYPE html><html><head><title>control</title></head><body>" + attacks + "</body></html>"
	if !strings.Contains(browserDOM(t, control), ran) {
		t.Error("the attacks do nothing in a page without protection, so this test shows nothing")
	}
	page := pageOf(t, cells...)
	if dom := browserDOM(t, page); strings.Contains(dom, ran) || !strings.Contains(dom, "<title>Notebook</title>") {
		t.Errorf("a script ran in the page: %s", dom[:strings.Index(dom, "<style>")])
	}
	unreduced := strings.Replace(page, "</main>", attacks+"</main>", 1)
	if dom := browserDOM(t, unreduced); strings.Contains(dom, ran) {
		t.Error("the content security policy lets a script run")
	}
}
