package main

import (
	"context"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"tidemark/load"
)

// view is a page in one of its states.
type view struct {
	name   string
	book   *logbook
	as     string // who is signed in; empty: nobody
	to     string // address
	status int64
	most   float64      // bytes that may be sent for it, 0: any
	then   func(b *tab) // what is done on the page before it is looked at
	sees   []string     // selectors of what must be there
}

// everyPage looks at every page at two widths and in two colour schemes.
func everyPage(t *testing.T, browser context.Context, club, fresh, shared logbook) {
	lookAt(t, browser, append(views(t, &club, &fresh), sharedViews(t, &shared)...))
}

// lookAt opens pages at both widths, light and dark.
func lookAt(t *testing.T, browser context.Context, views []view) {
	axe := axeSource(t)
	for _, v := range views {
		t.Run(v.name, func(t *testing.T) {
			for _, width := range []int64{390, 1280} {
				b := openTab(t, browser, v.book.host)
				b.size(width)
				b.signIn(v.book, v.as)
				call(b, network.SetCacheDisabled, network.SetCacheDisabledParams{CacheDisabled: true})
				b.visit(&v, width)
				for _, scheme := range []string{"light", "dark"} {
					b.scheme(scheme, "")
					b.fits(width)
					b.accessible(axe, fmt.Sprintf("%d px, %s", width, scheme))
					b.picture(v.name, width, scheme)
				}
			}
		})
	}
}

// visit opens a page and looks at what it loaded.
func (b *tab) visit(v *view, width int64) {
	b.Helper()
	if got := b.open(v.to); got != v.status {
		b.Errorf("status %d, want %d", got, v.status)
	}
	requests, bytes := b.traffic.take()
	b.Logf("%s at %d px: %d requests, %.0f bytes", v.name, width, requests, bytes)
	// The page, its style sheet and its script at least: less was not counted.
	if requests < 3 || bytes < 3000 {
		b.Errorf("%d requests with %.0f bytes cannot be all", requests, bytes)
	}
	if v.most > 0 && bytes > v.most {
		b.Errorf("%.0f bytes were sent, want %.0f at most", bytes, v.most)
	}
	if v.then != nil {
		v.then(b)
	}
	for _, selector := range append(v.sees, "h1", "main", "footer a") {
		if b.count(selector) == 0 {
			b.Errorf("there is no %s", selector)
		}
	}
}

// views lists the pages. The two after an upload come last: they fill the fresh
// logbook.
func views(t *testing.T, club, fresh *logbook) []view {
	run := "/runs/" + withCurves(t, club).ID
	year := fmt.Sprintf("/load?from=%v", club.day-363)
	file := filepath.Join(t.TempDir(), "walk.csv")
	if err := os.WriteFile(file, []byte("date,distance_km\n2026-05-30,7.5\n2026-05-28,5\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	hand := func(b *tab) { b.do(chromedp.SetUploadFiles(chromedp.CSS("#files"), []string{file})) }
	byScript := func(b *tab) {
		hand(b)
		b.do(chromedp.Click(chromedp.CSS("[data-upload] button")))
		b.until(`document.querySelector("[data-results]").dataset.results === "done"`)
	}
	byForm := func(b *tab) {
		hand(b)
		b.leave(chromedp.Evaluate[chromedp.Void](`document.querySelector("[data-upload]").submit()`))
	}
	return []view{
		{name: "home", book: club, to: "http://" + club.host + "/", status: http.StatusOK, sees: []string{".tideline .plot"}},
		{name: "today", book: club, to: club.page(edda, ""), status: http.StatusOK, sees: []string{".limits", ".finding"}},
		{name: "load", book: club, to: club.page(edda, "/load"), status: http.StatusOK, most: 60_000, sees: []string{".blocks", ".finding"}},
		{name: "load-exertion", book: club, to: club.page(edda, "/load?measure=exertion"), status: http.StatusOK, sees: []string{".tideline"}},
		{name: "load-year", book: club, to: club.page(edda, year), status: http.StatusOK, sees: []string{".tideline"}},
		{name: "runs", book: club, to: club.page(edda, "/runs"), status: http.StatusOK, sees: []string{"table.runs"}},
		{name: "run", book: club, to: club.page(edda, run), status: http.StatusOK, sees: []string{".profile .curve", "#exertion"}},
		{name: "run-double", book: club, to: club.page(edda, "/runs/"+doubleOf(t, club, edda)), status: http.StatusOK, sees: []string{".ask button[value=counts]"}},
		{name: "run-belt", book: club, to: club.page(edda, "/runs/"+treadmillOf(t, club, edda)), status: http.StatusOK, sees: []string{"#belt"}},
		{name: "today-gap", book: club, to: club.page(osk, ""), status: http.StatusOK, sees: []string{".ask #runs-1"}},
		{name: "gaps", book: club, to: club.page(osk, "/gaps"), status: http.StatusOK, sees: []string{".ask #runs-1", ".ask #runs-free"}},
		{name: "load-flat", book: club, to: club.page(edda, "/load?measure=flat"), status: http.StatusOK, sees: []string{".tideline"}},
		{name: "load-heart", book: club, to: club.page(edda, "/load?measure=heart"), status: http.StatusOK, sees: []string{".tideline", ".method a"}},
		{name: "load-tendon", book: club, to: club.page(edda, "/load?measure=tendon"), status: http.StatusOK, sees: []string{".tideline", ".blocks"}},
		{name: "settings", book: club, to: club.page(edda, "/settings"), status: http.StatusOK, sees: []string{"#heart-max", "#session-share"}, then: unfolded},
		{name: "hurts", book: club, to: club.page(edda, "/hurts"), status: http.StatusOK, sees: []string{"#site", "#onset"}},
		{name: "happened", book: club, to: club.page(edda, "/happened"), status: http.StatusOK, sees: []string{"button[value=raise]"}},
		{name: "tests", book: club, to: club.page(edda, "/tests"), status: http.StatusOK, sees: []string{"#test", "#left"}},
		{name: "mornings-none", book: club, to: club.page(edda, "/mornings"), status: http.StatusOK},
		{name: "today-hurts", book: club, to: club.page(nessa, ""), status: http.StatusOK, most: 60_000, sees: []string{".taps button[name=next]", ".taps button[name=pain]", ".strip .mark.flared", ".strip .tick.done"}},
		{name: "mornings", book: club, to: club.page(nessa, "/mornings"), status: http.StatusOK, most: 60_000, sees: []string{"table.days .mark.flared"}},
		{name: "rehab", book: club, to: club.page(nessa, "/rehab"), status: http.StatusOK, most: 60_000, sees: []string{".doses li", ".said", "table.days"}, then: unfolded},
		{name: "ramp", book: club, to: club.page(nessa, "/ramp"), status: http.StatusOK, most: 60_000, sees: []string{"table.days .word", "a[href$='.fit']", "input[name=free]"}, then: unfolded},
		{name: "ramp-none", book: club, to: club.page(edda, "/ramp"), status: http.StatusOK},
		{name: "routine", book: club, to: club.page(nessa, "/rehab/ach-mid-left/routine"), status: http.StatusOK, most: 60_000, sees: []string{"details.dose[open]"}},
		{name: "hurts-one", book: club, to: club.page(nessa, "/hurts"), status: http.StatusOK, sees: []string{"main li a[href$='/hurts/ach-mid-left']"}},
		{name: "hurt-own", book: club, to: club.page(nessa, "/hurts/ach-mid-left"), status: http.StatusOK, sees: []string{"button[value=closed]"}},
		{name: "load-hurts", book: club, to: club.page(nessa, "/load"), status: http.StatusOK, most: 60_000, sees: []string{".strip .mark.flared", ".finding"}},
		{name: "races", book: club, to: club.page(edda, "/races"), status: http.StatusOK, sees: []string{"#day", "#name"}},
		{name: "session-check", book: club, to: "http://" + club.host + "/runners?if=12&in=distance", status: http.StatusOK, sees: []string{"details.finding .compared"}},
		{name: "session-check-wrong", book: club, to: "http://" + club.host + "/runners?if=x", status: http.StatusUnprocessableEntity, sees: []string{".fault"}},
		{name: "add", book: club, to: club.page(edda, "/add"), status: http.StatusOK, sees: []string{"#files"}},
		{name: "rests-on", book: club, to: "http://" + club.host + "/rests-on", status: http.StatusOK, sees: []string{".rule"}},
		{name: "runners", book: club, to: "http://" + club.host + "/runners", status: http.StatusOK, sees: []string{"main li a"}},
		{name: "no-page", book: club, to: "http://" + club.host + "/nothing/here", status: http.StatusNotFound},
		{name: "what-if", book: club, to: club.page(edda, "?if=14"), status: http.StatusOK, sees: []string{".said"}},
		{name: "what-if-wrong", book: club, to: club.page(edda, "?if=abc"), status: http.StatusUnprocessableEntity, sees: []string{".fault"}},
		{name: "first-run", book: fresh, to: "http://" + fresh.host + "/", status: http.StatusOK, sees: []string{".steps", "#longest"}},
		{name: "load-empty", book: fresh, to: fresh.page(tove, "/load"), status: http.StatusOK},
		{name: "runs-empty", book: fresh, to: fresh.page(tove, "/runs"), status: http.StatusOK},
		{name: "added", book: fresh, to: fresh.page(tove, "/add"), status: http.StatusOK, then: byScript, sees: []string{".results td strong"}},
		{name: "added-plainly", book: fresh, to: fresh.page(tove, "/add"), status: http.StatusOK, then: byForm, sees: []string{".results td strong"}},
	}
}

// withCurves returns the latest run with heart rate, climb and notes of its own.
func withCurves(t *testing.T, club *logbook) load.Session {
	t.Helper()
	all := club.sessions(t, edda)
	for i := len(all) - 1; i >= 0; i-- {
		if s := all[i]; s.Sport == load.Running && s.HeartMean > 0 && s.HasAscent && len(s.Notes) > 0 {
			return s
		}
	}
	t.Fatal("no run has all curves and a note")
	return load.Session{}
}

// fits looks that nothing makes the page wider than the screen.
func (b *tab) fits(width int64) {
	b.Helper()
	wide := eval[int64](b, `document.documentElement.scrollWidth`)
	screen := eval[int64](b, `window.innerWidth`)
	if wide > screen || screen != width {
		b.Errorf("the page is %d px wide on a screen of %d px, meant to have %d px", wide, screen, width)
	}
}

// unfolded opens everything that is folded.
func unfolded(b *tab) {
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelectorAll("details").forEach((d) => { d.open = true; })`))
}
