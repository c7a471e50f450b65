package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// printed looks at the load page, a visit and the sheet to take home as they are printed, asked
// for in a dark room.
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
	pdf := b.paper("load")
	t.Logf("load page as PDF: %d bytes, %d pages", len(pdf), pagesOf(pdf))
	for _, page := range []string{"visit", "take-home"} {
		b.open(club.page(nessa, "/"+page))
		unfolded(b) // who looked at the text to copy prints no second page for it
		pdf := b.paper(page)
		if n := pagesOf(pdf); n != 1 {
			t.Errorf("%s: %d pages, want one", page, n)
		}
		b.scheme("dark", "print")
		if got := eval[int](b, "%s", shown); got != 0 {
			t.Errorf("%s: %d parts are printed that nobody can use on paper", page, got)
		}
		if got := eval[string](b, `document.querySelector(".cautions").innerText`); !strings.Contains(got, "follow your clinician") {
			t.Errorf("%s: the cautions are printed as %q", page, got)
		}
		b.picture("print-"+page, 1280, "dark")
		b.scheme("dark", "")
	}
}

// paper prints what is open on A4, tagged, and keeps it beside the pictures.
func (b *tab) paper(name string) []byte {
	b.Helper()
	pdf := perform(b, chromedp.PrintToPDF(chromedp.PDFPaper(chromedp.PaperA4), chromedp.PDFOutlineAndTagged()))
	if !bytes.HasPrefix(pdf, []byte("%PDF-")) || !bytes.Contains(pdf, []byte("/Marked true")) {
		b.Errorf("%s: %d bytes are no tagged PDF", name, len(pdf))
	}
	if folder := os.Getenv(picturesVariable); folder != "" {
		if err := os.WriteFile(filepath.Join(folder, name+".pdf"), pdf, 0o644); err != nil {
			b.Error(err)
		}
	}
	return pdf
}

func pagesOf(pdf []byte) int { return bytes.Count(pdf, []byte("/Type /Page\n")) }
