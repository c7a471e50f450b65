package main

import (
	"context"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"tidemark/load/journal"
)

// whatIf asks about a run that was not run.
func whatIf(t *testing.T, browser context.Context, club logbook) {
	b := openTab(t, browser, club.host)
	b.size(390)
	b.open(club.page(edda, ""))
	b.asks("14")
	if got := b.text(".said strong"); got != "If you run 14 km today" {
		t.Errorf("the answer is to %q", got)
	}
	if b.count(".said li") < 2 {
		t.Errorf("the answer is %q", b.text(".said"))
	}
	if b.count("#if[aria-invalid]") != 0 {
		t.Error("14 is called wrong")
	}
	b.asks("abc")
	if got := b.text(".fault"); !strings.Contains(got, "number from 0.1 to 2000") {
		t.Errorf("of abc is said %q", got)
	}
	if b.count("#if[aria-invalid][aria-describedby=if-fault]") != 1 || b.count(".said") != 0 {
		t.Error("abc is not marked as wrong, or answered")
	}
}

// asks types a question and sends it, and wants what was typed to stay.
func (b *tab) asks(text string) {
	b.Helper()
	b.fill("#if", text)
	b.leave(chromedp.Click(chromedp.CSS("#if ~ button")))
	if got := b.value("#if"); got != text {
		b.Errorf("%q was typed, %q is there now", text, got)
	}
}

// editRun corrects a run: first wrongly, then rightly.
func editRun(t *testing.T, browser context.Context, club logbook) {
	run := club.latestRun(t, hedda)
	b := openTab(t, browser, club.host)
	b.size(390)
	b.open(club.page(hedda, "/runs/"+run.ID))
	before := len(club.edits(t, hedda, run.ID))

	b.saves("11")
	if got := b.value("#exertion"); got != "11" {
		t.Errorf("11 was typed, %q is there now", got)
	}
	if got := b.text("#fault"); !strings.Contains(got, "0 to 10") {
		t.Errorf("of 11 is said %q", got)
	}
	if b.count("#exertion[aria-invalid][aria-describedby=fault]") != 1 {
		t.Error("11 is not marked as wrong")
	}
	if got := len(club.edits(t, hedda, run.ID)); got != before {
		t.Errorf("%d corrections are kept after a wrong one, want %d", got, before)
	}

	b.saves("7")
	if got := b.value("#exertion"); got != "7" || b.count("#fault") != 0 {
		t.Errorf("7 was typed, %q is there now, and %q", got, b.text("#fault"))
	}
	b.corrected(&club, run.ID, "exertion", "7")
}

// saves types how hard the run was, and saves.
func (b *tab) saves(exertion string) {
	b.Helper()
	b.fill("#exertion", exertion)
	b.leave(chromedp.Click(chromedp.CSS("form.stack button")))
}

// corrected wants the page to list the correction, and the journal to keep it.
func (b *tab) corrected(club *logbook, id, field, value string) {
	b.Helper()
	shown := map[string]string{"exertion": "effort", "race": "race"}[field] + ": " + value
	if list := eval[[]string](b, `[...document.querySelectorAll("#correct ~ .notes li")].map((e) => e.textContent)`); !strings.Contains(strings.Join(list, "\n"), shown) {
		b.Errorf("the corrections are %q, want one that says %q", list, shown)
	}
	for _, e := range club.edits(b.T, hedda, id) {
		if e.Field == field && e.Value == value {
			return
		}
	}
	b.Errorf("the journal does not keep %s %s", field, value)
}

// edits returns what the journal keeps of corrections of a run.
func (l *logbook) edits(t *testing.T, runner, id string) []journal.Edit {
	t.Helper()
	edits, err := l.book(t, runner).Edits(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	return edits
}
