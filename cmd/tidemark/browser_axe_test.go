package main

import (
	"os"
	"testing"

	"github.com/chromedp/chromedp"
)

// axeSource returns the script that judges pages by WCAG, empty without one:
// then everything else is looked at.
func axeSource(t *testing.T) string {
	t.Helper()
	path := os.Getenv("AXE_JS")
	if path == "" {
		t.Run("axe", func(t *testing.T) { missing(t, "AXE_JS names no axe.min.js, so accessibility was not judged") })
		return ""
	}
	source, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(source)
}

// violation is a rule that a page breaks, and where.
type violation struct {
	ID      string
	Impact  string
	Help    string
	Targets []string
}

// axeRun judges the page by all rules, and fails if none of them was tried.
const axeRun = `axe.run(document).then((found) => ({
	passed: found.passes.length,
	violations: found.violations.map((v) => ({ id: v.id, impact: v.impact, help: v.help, targets: v.nodes.map((n) => n.target.join(" ")) })),
}))`

// accessible wants no violation on the page as it is.
func (b *tab) accessible(axe, how string) {
	b.Helper()
	if axe == "" {
		return
	}
	if !eval[bool](b, `"axe" in window`) {
		b.do(chromedp.Evaluate[chromedp.Void](axe))
	}
	found := eval[struct {
		Passed     int
		Violations []violation
	}](b, axeRun)
	if found.Passed < 10 {
		b.Errorf("%s: axe passed %d rules only", how, found.Passed)
	}
	for _, v := range found.Violations {
		b.Errorf("%s: %s (%s), %s: %q", how, v.ID, v.Impact, v.Help, v.Targets)
	}
}
