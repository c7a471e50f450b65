package main

import (
	"context"
	"encoding/base64"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"tidemark/cmd/tidemark/demo"
	"tidemark/load"
)

// harmful is a file name that would run a script, were it not text.
const harmful = `<img src=x onerror=alert(1)>.gpx`

// handIn is what a runner hands in: files of a folder.
type handIn struct {
	folder string
	whole  []string // recordings that can be read, each of another run
	cut    string   // one that broke off
	plan   string   // a route without times, which is refused
}

// filesToHand writes files of the club of a later day, of which no journal has
// any yet.
func filesToHand(t *testing.T, day load.Day) handIn {
	t.Helper()
	h := handIn{folder: t.TempDir()}
	var taken int
	for _, f := range demo.Club(day + 28)[0].Files {
		kind := filepath.Ext(f.Name)
		switch {
		case f.Name == "planned-route.gpx":
			h.plan = h.write(t, f.Name, f.Data)
		case kind == ".fit" && h.cut == "":
			h.cut = h.write(t, "cut-"+f.Name, f.Data[:len(f.Data)*7/10])
		case taken < 8 && (kind == ".fit" || kind == ".tcx"):
			h.whole = append(h.whole, h.write(t, f.Name, f.Data))
			taken++
		}
	}
	if h.plan == "" || h.cut == "" || len(h.whole) < 8 {
		t.Fatalf("the club has no such files: %+v", h)
	}
	return h
}

func (h *handIn) write(t *testing.T, name string, data []byte) string {
	t.Helper()
	path := filepath.Join(h.folder, name)
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// resultRow is a row of the table of what became of files.
type resultRow struct{ File, Word, Text, Link string }

// results reads that table.
func (b *tab) results() []resultRow {
	b.Helper()
	return eval[[]resultRow](b, `[...document.querySelectorAll(".results tbody tr")].map((row) => ({
		file: row.cells[0].textContent, word: row.querySelector("strong")?.textContent ?? "", text: row.cells[1].textContent,
		link: row.querySelector("a")?.href ?? "",
	}))`)
}

// becameOf wants rows of a file with these words, in this order.
func becameOf(t *testing.T, rows []resultRow, file string, words ...string) (found []resultRow) {
	t.Helper()
	var got []string
	for _, r := range rows {
		if r.File == filepath.Base(file) {
			got, found = append(got, r.Word), append(found, r)
		}
	}
	if !slices.Equal(got, words) {
		t.Errorf("%s became %q, want %q", filepath.Base(file), got, words)
	}
	return found
}

// upload hands in files by the chooser and by dropping them.
func upload(t *testing.T, browser context.Context, day load.Day) {
	book := serveFresh(t, day+28)
	h := filesToHand(t, day)
	b := openTab(t, browser, book.host)
	b.size(1280)
	b.open(book.page(tove, "/add"))

	t.Run("chosen", func(t *testing.T) {
		b := b.of(t)
		files := []string{h.whole[0], h.whole[1], h.cut, h.plan, h.whole[0]}
		b.do(chromedp.SetUploadFiles(chromedp.CSS("#files"), files), chromedp.Click(chromedp.CSS("[data-upload] button")))
		b.uploaded(5)
		rows := b.results()
		added := becameOf(t, rows, h.whole[0], "added", "already kept")
		added = append(added, becameOf(t, rows, h.whole[1], "added")...)
		added = append(added, becameOf(t, rows, h.cut, "added")...)
		if !strings.Contains(added[len(added)-1].Text, "damaged: read as far as it goes") {
			t.Errorf("of the file that broke off is said %q", added[len(added)-1].Text)
		}
		refused := becameOf(t, rows, h.plan, "refused")
		if len(refused) != 1 || len(refused[0].Text) < len("refused: because") || refused[0].Link != "" {
			t.Errorf("the route was refused so: %+v", refused)
		}
		b.tally("5 of 5 done: 3 added, 1 already kept, 1 refused.")
		b.linked(&book, added)
	})
	t.Run("dropped by a script", func(t *testing.T) {
		b := b.of(t)
		b.dropFile(h.whole[2], filepath.Base(h.whole[2]), filepath.Base(h.whole[2]))
		b.uploaded(7)
		becameOf(t, b.results(), h.whole[2], "added", "already kept")
		b.tally("7 of 7 done: 4 added, 2 already kept, 1 refused.")
	})
	t.Run("a harmful name", func(t *testing.T) {
		b := b.of(t)
		b.dropFile(h.whole[3], harmful)
		b.uploaded(8)
		becameOf(t, b.results(), harmful, "added")
		if b.count(".results img") != 0 {
			t.Error("the name of a file became an element of the page")
		}
		b.tally("8 of 8 done: 5 added, 2 already kept, 1 refused.")
		b.traffic.check(t)
	})
	t.Run("a folder dropped", func(t *testing.T) { b.of(t).dropFolder(h) })
	if got, want := len(book.sessions(t, tove)), 7; got != want {
		t.Errorf("the journal has %d sessions, want %d", got, want)
	}
	t.Run("an archive", func(t *testing.T) { b.of(t).handArchive(&book) })
}

// handArchive hands in one file with more recordings than the page lists: all are
// kept and counted, and stand in the report.
func (b *tab) handArchive(book *logbook) {
	const runs, listed = 230, 201 // the first in the row of the archive
	var files [][2]string
	for i := range runs {
		day := book.day - 400 + load.Day(i)
		files = append(files, [2]string{fmt.Sprintf("%d.csv", i), fmt.Sprintf("date,distance_km\n%v,5\n", day)})
	}
	files = append(files, [2]string{"notes.txt", "nothing"})
	path := filepath.Join(b.TempDir(), "history.zip")
	put(b.T, path, zipped(b.T, files...))
	b.open(book.page(tove, "/add"))
	b.do(chromedp.SetUploadFiles(chromedp.CSS("#files"), []string{path}), chromedp.Click(chromedp.CSS("[data-upload] button")))
	b.until(`document.querySelector("[data-results]").dataset.results === "done"`)
	b.tally("231 of 231 done: 230 added, 0 already kept, 1 refused.")
	if got := b.count(".results tbody tr"); got != listed+1 {
		b.Errorf("%d rows are listed, want %d and the one that was refused", got, listed)
	}
	if got := b.text(".unshown"); !strings.Contains(got, "and 29 more") {
		b.Errorf("of the others is said %q", got)
	}
	href := eval[string](b, `document.querySelector("a.report[download]").href`)
	if !strings.HasPrefix(href, "blob:") {
		b.Errorf("the report is at %q", href)
	}
	if got := len(book.sessions(b.T, tove)); got != 7+runs {
		b.Errorf("the journal has %d sessions, want %d", got, 7+runs)
	}
}

// of is the same tab in a part of the test.
func (b *tab) of(t *testing.T) *tab { return &tab{T: t, ctx: b.ctx, traffic: b.traffic} }

// uploaded waits until so many files have their word.
func (b *tab) uploaded(files int) {
	b.Helper()
	b.until(`document.querySelector("[data-results]").dataset.results === "done" && document.querySelectorAll(".results td strong").length === %d`, files)
	if b.count(".results progress") != 0 {
		b.Error("a bar of progress is left")
	}
}

// tally wants the sums that are told.
func (b *tab) tally(want string) {
	b.Helper()
	if got := b.text(".tally"); got != want {
		b.Errorf("the tally says %q, want %q", got, want)
	}
}

// linked follows the link of each row, and goes back.
func (b *tab) linked(book *logbook, rows []resultRow) {
	b.Helper()
	for _, r := range rows {
		id := strings.TrimPrefix(r.Link, book.page(tove, "/runs/"))
		if _, err := book.book(b.T, tove).Session(b.Context(), id); err != nil {
			b.Errorf("%s leads to %q: %v", r.File, r.Link, err)
		}
	}
	// The answer is read to its end: one that is not would be waited for in vain.
	b.until(`fetch(%s).then((answer) => answer.text().then(() => answer.ok)).catch(() => false)`, quoted(rows[0].Link))
}

// dropFile drops a file under some names, as a script in the page makes it.
func (b *tab) dropFile(path string, names ...string) {
	b.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		b.Fatal(err)
	}
	b.do(chromedp.Evaluate[chromedp.Void](fmt.Sprintf(`{
		const bytes = Uint8Array.from(atob(%q), (c) => c.charCodeAt(0)), transfer = new DataTransfer();
		for (const name of %s) transfer.items.add(new File([bytes], name));
		document.querySelector("[data-upload]").dispatchEvent(new DragEvent("drop", { dataTransfer: transfer, bubbles: true, cancelable: true }));
	}`, base64.StdEncoding.EncodeToString(data), quotedAll(names))))
}

// dropFolder drops a folder in a folder as a person does, with files that the
// page has not had.
func (b *tab) dropFolder(h handIn) {
	b.Helper()
	folder := filepath.Join(h.folder, "export")
	inner := filepath.Join(folder, "2026")
	if err := os.MkdirAll(inner, 0o700); err != nil {
		b.Fatal(err)
	}
	for i, to := range []string{folder, inner} {
		if err := os.Rename(h.whole[4+i], filepath.Join(to, filepath.Base(h.whole[4+i]))); err != nil {
			b.Fatal(err)
		}
	}
	at := eval[struct{ Left, Top float64 }](b, `document.querySelector("[data-upload]").getBoundingClientRect().toJSON()`)
	drag := input.DispatchDragEventParams{X: at.Left + 20, Y: at.Top + 20, Data: &input.DragData{
		Items: []*input.DragDataItem{}, Files: []string{folder}, DragOperationsMask: 1,
	}}
	for _, drag.Type = range []input.DispatchDragEventType{input.DispatchDragEventTypeDragEnter, input.DispatchDragEventTypeDragOver} {
		call(b, input.DispatchDragEvent, drag)
	}
	b.until(`document.querySelector("[data-upload]").classList.contains("over")`)
	drag.Type = input.DispatchDragEventTypeDrop
	call(b, input.DispatchDragEvent, drag)
	b.uploaded(10)
	for _, path := range h.whole[4:6] {
		becameOf(b.T, b.results(), path, "added")
	}
	b.tally("10 of 10 done: 7 added, 2 already kept, 1 refused.")
	if b.count("[data-upload].over") != 0 {
		b.Error("the form still looks as if something were held over it")
	}
}
