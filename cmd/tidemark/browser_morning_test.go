package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"tidemark/load"
)

// leastTarget is the side of what a thumb hits, in CSS pixels.
const leastTarget = 44

// tapMorning opens a complaint and answers its first morning on a phone: two taps, on
// targets that a thumb hits, and the verdict stands under its date.
func tapMorning(t *testing.T, browser context.Context, club logbook) {
	b := openTab(t, browser, club.host)
	b.size(390)
	b.open(club.page(hedda, "/hurts"))
	b.fill("#pain", "1")
	b.fill("#stiffness", "5")
	b.leave(chromedp.Click(chromedp.CSS(`form.stack button`)))
	if got := b.text("h1"); !strings.Contains(got, "Something happened") {
		t.Errorf("after opening it, %q stands first; want the signs that a doctor must see", got)
	}
	b.open(club.page(hedda, ""))
	for _, field := range []string{"next", "stiffness"} {
		b.thumbs(fmt.Sprintf(`.taps button[name=%s]`, field))
		b.leave(chromedp.Click(chromedp.CSS(fmt.Sprintf(`.taps button[name=%s][value="0"]`, field))))
	}
	if n := b.count(".taps button[name=next], .taps button[name=stiffness]"); n != 0 {
		t.Errorf("after two taps %d buttons ask for the morning still", n)
	}
	if b.count(".strip .mark.settled") != 1 {
		t.Error("the morning does not stand under its date")
	}
	tapRun(t, b, club)
	care, err := club.book(t, hedda).Care(t.Context(), club.day)
	if err != nil || len(care.Records) != 1 {
		t.Fatalf("%+v, %v", care, err)
	}
	if m, ok := care.Records[0].On(club.day); !ok || m.Judgement.Verdict != load.Settled {
		t.Errorf("kept %+v, want a settled morning", m)
	}
	tapRehab(t, b, club)
	axe := axeSource(t)
	for _, page := range []string{"", "/mornings", "/hurts", "/rehab", "/load"} {
		b.open(club.page(hedda, page))
		for _, scheme := range []string{"light", "dark"} {
			b.scheme(scheme, "")
			b.fits(390)
			b.accessible(axe, "morning, "+scheme)
			b.picture("morning"+strings.ReplaceAll(page, "/", "-"), 390, scheme)
		}
	}
}

// tapRun hands in a run of today and answers it: two taps more.
func tapRun(t *testing.T, b *tab, club logbook) {
	file := filepath.Join(t.TempDir(), "diary.csv")
	row := fmt.Sprintf("date,start,kind,distance_km,duration_min\n%v,06:30,run,4,26\n", club.day)
	if err := os.WriteFile(file, []byte(row), 0o600); err != nil {
		t.Fatal(err)
	}
	b.open(club.page(hedda, "/add"))
	b.do(chromedp.SetUploadFiles(chromedp.CSS("#files"), []string{file}))
	b.leave(chromedp.Evaluate[chromedp.Void](`document.querySelector("[data-upload]").submit()`))
	b.open(club.page(hedda, ""))
	for _, field := range []string{"during", "after"} {
		b.thumbs(fmt.Sprintf(`.taps button[name=%s]`, field))
		b.leave(chromedp.Click(chromedp.CSS(fmt.Sprintf(`.taps button[name=%s][value="1"]`, field))))
	}
	if n := b.count(".taps button[name=during], .taps button[name=after]"); n != 0 {
		t.Errorf("after two taps %d buttons ask for the run still", n)
	}
	said, err := club.book(t, hedda).Entries(t.Context())
	if err != nil || len(said) != 4 {
		t.Errorf("%d entries, %v; want the four taps", len(said), err)
	}
}

// tapRehab sets a programme and ticks today's list off: one tap when all went as planned.
func tapRehab(t *testing.T, b *tab, club logbook) {
	b.open(club.page(hedda, "/rehab"))
	b.do(chromedp.Click(chromedp.CSS(`input[name=programme][value=combined]`)))
	b.leave(chromedp.Click(chromedp.CSS(`form.stack:has(input[name=programme]) button`)))
	b.open(club.page(hedda, ""))
	b.thumbs(`.taps button[name=pain]`)
	b.leave(chromedp.Click(chromedp.CSS(`.taps button[name=pain][value="2"]`)))
	if n := b.count(".taps button[name=pain]"); n != 0 || b.count(".strip .tick.done") != 1 {
		t.Errorf("after one tap %d buttons ask for the exercises still", n)
	}
	plan, err := club.book(t, hedda).Plan(t.Context())
	if err != nil || len(plan.Done) != 5 {
		t.Errorf("kept %+v, %v; want the five exercises of the first phase", plan.Done, err)
	}
}

// thumbs looks at the size of buttons, and at how far they are apart.
func (b *tab) thumbs(selector string) {
	b.Helper()
	small := eval[float64](b, `[...document.querySelectorAll(%q)].filter((e) => {
		const box = e.getBoundingClientRect();
		return box.width < %d || box.height < %d;
	}).length`, selector, leastTarget, leastTarget)
	if n := b.count(selector); n < 8 || small > 0 {
		b.Errorf("%s: %d buttons, %v of them under %d px", selector, n, small, leastTarget)
	}
}
