package patternkit

import (
	"slices"
	"strings"
	"testing"
)

// Bust and waist of four quarters grow as ASTM D5585-11e1 says the body does,
// and the cap grows with the armhole.
func TestBalance(t *testing.T) {
	chart, g := gradedMisses(t)
	balance := g.Balance()
	verdict := map[string]string{}
	for _, row := range balance.Rows {
		if len(row) != len(balance.Columns) {
			t.Errorf("row %q has %d cells, want %d", row[0], len(row), len(balance.Columns))
		}
		name, _, _ := strings.Cut(row[0], ":")
		verdict[name] = row[len(row)-1]
	}
	for _, name := range []string{"bust", "waist", "armhole", "shoulder", "side seam", "underarm"} {
		if verdict[name] != "balanced" {
			t.Errorf("%s: %q\n%s", name, verdict[name], balance)
		}
	}
	// One width for all wrists is told.
	if !strings.HasPrefix(verdict["wrist"], "ease differs") {
		t.Errorf("wrist: %q", verdict["wrist"])
	}
	// A size whose bust was let out by 3 mm on a quarter is told.
	wide, err := Grade(chart, "10", func(b Body) (Pattern, error) {
		if full, _ := chart.Size("12"); b.BustGirth == full.BustGirth {
			b.BustGirth += 1.2 * CM
		}
		return gradeDraft(b)
	})
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(wide.Balance().Rows, func(r []string) bool { return strings.HasPrefix(r[0], "bust") })
	if row := wide.Balance().Rows[at]; !strings.HasSuffix(row[len(row)-1], "10 to 12, 12 to 14") {
		t.Errorf("a bust let out in size 12: %q", row)
	}
}

func TestBalanceOfRules(t *testing.T) {
	_, drafted := gradedMisses(t)
	rules, err := drafted.Rules()
	if err != nil {
		t.Fatal(err)
	}
	p, err := drafted.Size("10")
	if err != nil {
		t.Fatal(err)
	}
	g, err := p.GradedBy(rules)
	if err != nil {
		t.Fatal(err)
	}
	balance := g.Balance()
	if len(balance.Rows) != len(p.Seams()) || strings.Contains(balance.String(), "!") {
		t.Errorf("the seams of sizes made by rules:\n%s", balance)
	}
}
