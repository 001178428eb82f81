package main

import (
	"errors"
	"strings"
	"testing"
)

func TestDataDir(t *testing.T) {
	home := func() (string, error) { return "/home/nell", nil }
	homeless := func() (string, error) { return "", errors.New("no home") }
	for _, c := range []struct {
		name, xdg, want string
		home            func() (string, error)
	}{
		{"named", "/xdg", "/xdg/patternkit", homeless},
		{"named by a relative path", "xdg", "", homeless},
		{"by home", "", "/home/nell/", home},
		{"without a home", "", "", homeless},
	} {
		got, err := dataDir(func(string) string { return c.xdg }, c.home)
		if !strings.HasPrefix(got, c.want) || (err == nil) != (c.want != "") || c.want == "" && got != "" {
			t.Errorf("%s: %q, %v, want %q", c.name, got, err, c.want)
		}
	}
}

func TestSIGINTStopsTheCellAndHistoryStays(t *testing.T) {
	env := append(inJupyter(t, "jupyter_client"), "XDG_DATA_HOME="+t.TempDir())
	r := runIn(t, t.TempDir(), env, python, script(t, "signalled.py")).ok(t)
	if want := `[['for {\n}', None], ['6*7', '42']]`; !strings.HasSuffix(strings.TrimSpace(r.stdout), want) {
		t.Errorf("printed %s, want the history %s\n%s", r.stdout, want, r.stderr)
	}
}
