package main

import (
	"context"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"tidemark/load"
)

// answerGap says of the days without a record what was done in them: two numbers
// and one click.
func answerGap(t *testing.T, browser context.Context, club logbook) {
	b := openTab(t, browser, club.host)
	b.size(390)
	b.open(club.page(osk, ""))
	if got := b.text(".ask strong"); !strings.Contains(got, "No record from") {
		t.Fatalf("nothing is asked: %q", got)
	}
	b.fill("#runs-1", "4")
	b.fill("#longest-1", "9")
	b.leave(chromedp.Click(chromedp.CSS(`.ask button[value=ran]`)))
	if b.count(".ask") != 0 {
		t.Errorf("it is asked again: %q", b.text(".ask"))
	}
	said, err := club.book(t, osk).Gaps(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(said) != 1 || said[0].Answer != load.GapRan || said[0].Runs != 4 || said[0].Longest != load.Distance.Of(9) {
		t.Errorf("kept: %+v", said)
	}
	b.open(club.page(osk, "/gaps"))
	b.leave(chromedp.Click(chromedp.CSS(`.notes button`)))
	if b.count(".ask strong") != 1 {
		t.Error("it is not asked again after it was taken back")
	}
}

// switchDouble has the other recording of a run count, and back.
func switchDouble(t *testing.T, browser context.Context, club logbook) {
	b := openTab(t, browser, club.host)
	b.size(390)
	double := doubleOf(t, &club, edda)
	b.open(club.page(edda, "/runs/"+double))
	b.leave(chromedp.Click(chromedp.CSS(`.ask button[value=counts]`)))
	all := club.sessions(t, edda)
	if _, hidden := load.Doubles(all)[double]; hidden {
		t.Error("it was chosen, and does not count")
	}
	b.leave(chromedp.Click(chromedp.CSS(`.ask button[value=""]`)))
	if got := doubleOf(t, &club, edda); got != double {
		t.Errorf("the program chose %s before and %s now", double, got)
	}
}

// doubleOf returns a recording for which another one counts.
func doubleOf(t *testing.T, club *logbook, runner string) string {
	t.Helper()
	for id := range load.Doubles(club.sessions(t, runner)) {
		return id
	}
	t.Fatalf("%s has no run twice", runner)
	return ""
}

// treadmillOf returns a run whose distance the belt has not confirmed.
func treadmillOf(t *testing.T, club *logbook, runner string) string {
	t.Helper()
	for _, s := range club.sessions(t, runner) {
		if s.Surface == load.Treadmill && s.DistanceSource != load.DistanceTyped {
			return s.ID
		}
	}
	t.Fatalf("%s has no treadmill run", runner)
	return ""
}
