package main

import (
	"context"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"

	"tidemark/cmd/tidemark/demo"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/rehab"
)

// queueLater is how many days after the club's day its list is looked at, so that something of
// everything waits: Nessa has been followed for more than twelve weeks and adds nothing.
const queueLater = 45

// serveLater serves the club with accounts on a later day, with a flare of that day and a visit
// that is due.
func serveLater(t *testing.T, day load.Day) logbook {
	t.Helper()
	a := quietApp(t.TempDir(), day)
	club := demo.Club(day)
	folder := filepath.Dir(a.DB)
	for i := range club {
		if err := a.joinClub(folder, &club[i], day); err != nil {
			t.Fatal(err)
		}
	}
	if err := a.joinPeople(folder, club, day); err != nil {
		t.Fatal(err)
	}
	later := day + queueLater
	l := a.as(folder, "", later).serveLogbook(t, "")
	book, next := l.book(t, nessa), uint8(7)
	if _, err := book.AddMornings(t.Context(), []journal.Morning{{Morning: rehab.Morning{Complaint: "ach-mid-left", Day: later, Next: &next}}}); err != nil {
		t.Fatal(err)
	}
	if err := book.PutNote(t.Context(), journal.Note{Kind: journal.NoteVisit, Day: later - 20, Next: later - 2, HasNext: true, Text: "calm"}); err != nil {
		t.Fatal(err)
	}
	return l
}

// answerQueue looks at a list on which something of everything waits, and answers one after
// the other in place.
func answerQueue(t *testing.T, browser context.Context, day load.Day) {
	l := serveLater(t, day)
	axe := axeSource(t)
	b := openTab(t, browser, l.host)
	b.signIn(&l, demoClinician)
	list := "http://" + l.host + "/caseload"
	for _, width := range []int64{390, 1280} {
		b.size(width)
		for _, scheme := range []string{"light", "dark"} {
			b.open(list)
			unfolded(b)
			b.scheme(scheme, "")
			b.fits(width)
			b.accessible(axe, "queue, "+scheme)
			b.picture("queue", width, scheme)
		}
	}
	b.open(list)
	before := b.count("#queue ~ ul > li")
	for _, one := range []struct{ kind, says string }{{"flare", "The flare is marked as seen."}, {"quiet", "The note is sent: it stands on the runner's first page."}} {
		b.open(list)
		b.leave(chromedp.Click(chromedp.CSS(`form:has(input[name=what][value*="-` + one.kind + `-"]) button:not([name])`)))
		if got := b.text("[role=status]"); got != one.says || b.count(`input[name=what][value*="-`+one.kind+`-"]`) != 0 {
			t.Errorf("%s: the page says %q, and %d of it wait on", one.kind, got, b.count(`input[name=what][value*="-`+one.kind+`-"]`))
		}
	}
	const review = `form:has(input[name=what][value*="-review-"]) `
	b.fill(review+"input[name=text]", "twelve weeks, going well")
	b.leave(chromedp.Click(chromedp.CSS(review + "button")))
	if got := b.text("[role=status]"); got != "The notes are kept." {
		t.Errorf("the page says %q", got)
	}
	// Notes of today answer the review and the visit that was due.
	if after := b.count("#queue ~ ul > li"); before-after != 4 {
		t.Errorf("%d lines were there, %d are left, want four fewer", before, after)
	}
}
