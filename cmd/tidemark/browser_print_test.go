package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
)

// printed looks at the load page as it is printed, asked for in a dark room.
func printed(t *testing.T, browser context.Context, club logbook) {
	b := openTab(t, browser, club.host)
	b.size(1280)
	b.scheme("dark", "")
	b.open(club.page(edda, "/load"))
	shown := `[...document.querySelectorAll("header nav, form, .choices, footer")].filter((e) => e.checkVisibility()).length`
	if eval[int](b, "%s", shown) < 4 {
		t.Error("on the screen there is too little of what is not to be printed")
	}
	b.scheme("dark", "print")
	if got := eval[int](b, "%s", shown); got != 0 {
		t.Errorf("%d parts are printed that nobody can use on paper", got)
	}
	colour := func(selector, property string) string {
		return eval[string](b, `getComputedStyle(document.querySelector(%s))[%s]`, quoted(selector), quoted(property))
	}
	if got := colour("html", "backgroundColor"); got != "rgb(255, 255, 255)" {
		t.Errorf("the paper is %s", got)
	}
	if got := colour("h1", "color"); got != "rgb(0, 0, 0)" {
		t.Errorf("the words are %s", got)
	}
	if got := eval[float64](b, `(() => { const e = document.querySelector(".tall"); return e.scrollHeight - e.clientHeight; })()`); got > 1 {
		t.Errorf("%.0f px of the table are cut off", got)
	}
	b.picture("print", 1280, "dark")

	b.scheme("dark", "")
	pdf := perform(b, chromedp.PrintToPDF(chromedp.PDFPaper(chromedp.PaperA4), chromedp.PDFOutlineAndTagged()))
	if !bytes.HasPrefix(pdf, []byte("%PDF-")) || !bytes.Contains(pdf, []byte("/Marked true")) {
		t.Errorf("%d bytes are no tagged PDF", len(pdf))
	}
	t.Logf("load page as PDF: %d bytes, %d pages", len(pdf), bytes.Count(pdf, []byte("/Type /Page\n")))
	if folder := os.Getenv(picturesVariable); folder != "" {
		if err := os.WriteFile(filepath.Join(folder, "load.pdf"), pdf, 0o644); err != nil {
			t.Error(err)
		}
	}
}
