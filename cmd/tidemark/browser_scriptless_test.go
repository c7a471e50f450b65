package main

import (
	"context"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"tidemark/load"
)

// withoutScripts goes through the pages in a browser that runs no script.
func withoutScripts(t *testing.T, browser context.Context, club logbook, day load.Day) {
	scriptless := func(t *testing.T, host string) *tab {
		b := openTab(t, browser, host)
		b.size(390)
		call(b, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		return b
	}
	t.Run("pages", func(t *testing.T) {
		b := scriptless(t, club.host)
		for _, rest := range []string{"", "/load", "/load?measure=time", "/runs", "/runs/" + withCurves(t, &club).ID, "/add"} {
			if status := b.open(club.page(edda, rest)); status != http.StatusOK || b.count("h1") != 1 {
				t.Errorf("%q: status %d, %d headings", rest, status, b.count("h1"))
			}
		}
		b.open(club.page(edda, "/add"))
		if !eval[bool](b, `document.querySelector(".hint").hidden`) {
			t.Error("without scripts the page asks to drop files")
		}
		b.open(club.page(edda, ""))
		b.asks("14")
		if got := b.text(".said strong"); got != "If you run 14 km today" {
			t.Errorf("the answer is to %q", got)
		}
		b.asks("abc")
		if got := b.text(".fault"); !strings.Contains(got, "number from 0.1 to 2000") {
			t.Errorf("of abc is said %q", got)
		}
	})
	t.Run("edit", func(t *testing.T) {
		runs := club.sessions(t, hedda)
		id := runs[len(runs)-2].ID
		b := scriptless(t, club.host)
		b.open(club.page(hedda, "/runs/"+id))
		b.do(chromedp.Click(chromedp.CSS("input[name=race]")))
		b.saves("7")
		if got := b.value("#exertion"); got != "7" || b.count("input[name=race]:checked") != 1 {
			t.Errorf("7 and a race were saved, %q is there now, race ticked %d times", got, b.count("input[name=race]:checked"))
		}
		b.corrected(&club, id, "exertion", "7")
		b.corrected(&club, id, "race", "yes")
	})
	t.Run("set up", func(t *testing.T) { setUpPlainly(t, scriptless(t, club.host), &club) })
	t.Run("upload", func(t *testing.T) {
		book := serveFresh(t, day+28)
		uploadPlainly(t, scriptless(t, book.host), &book, filesToHand(t, day))
	})
}

// uploadPlainly hands files in by the form alone.
func uploadPlainly(t *testing.T, b *tab, book *logbook, h handIn) {
	odd := filepath.Join(h.folder, harmful)
	if err := os.Rename(h.whole[1], odd); err != nil {
		t.Fatal(err)
	}
	b.open(book.page(tove, "/add"))
	files := []string{h.whole[0], h.cut, h.plan, h.whole[0], odd}
	b.do(chromedp.SetUploadFiles(chromedp.CSS("#files"), files))
	b.leave(chromedp.Click(chromedp.CSS("[data-upload] button")))
	if got := b.text("h1"); got != "3 added, 1 already kept, 1 refused." {
		t.Errorf("the page says %q", got)
	}
	rows := b.results()
	added := becameOf(t, rows, h.whole[0], "added", "already kept")
	added = append(added, becameOf(t, rows, h.cut, "added")...)
	added = append(added, becameOf(t, rows, harmful, "added")...)
	becameOf(t, rows, h.plan, "refused")
	if b.count(".results img") != 0 {
		t.Error("the name of a file became an element of the page")
	}
	b.linked(book, added)

	b.leave(chromedp.Click(chromedp.CSS("[data-upload] button")))
	if got := b.text(".fault"); got != "No file was chosen." {
		t.Errorf("of no file is said %q", got)
	}
}
