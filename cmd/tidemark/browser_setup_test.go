package main

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/rehab"
)

// mostPresses is how many presses and fields it may take to set something up at the bench: the
// bar that was set for two minutes there. Project default.
const mostPresses = 12

// presses counts what a hand does on a page.
type presses struct {
	*tab
	clicks, fields int
}

// click presses something on the page.
func (p *presses) click(selector string) {
	p.Helper()
	p.clicks++
	p.do(chromedp.Click(chromedp.CSS(selector)))
}

// follow presses something that leads to another page.
func (p *presses) follow(selector string) {
	p.Helper()
	p.clicks++
	p.leave(chromedp.Click(chromedp.CSS(selector)))
}

// types fills a field, which takes a press to get there and some keys.
func (p *presses) types(selector, text string) {
	p.Helper()
	p.fields++
	p.fill(selector, text)
}

// setUpAtTheBench goes from the caseload to everything set of a runner of whom nothing is
// followed, counting, and finds each part where it belongs.
func setUpAtTheBench(t *testing.T, browser context.Context, day load.Day) {
	l := serveShared(t, day)
	a, err := l.journal.AccountNamed(t.Context(), demoClinician)
	if err != nil {
		t.Fatal(err)
	}
	if err := l.book(t, hedda).Grant(t.Context(), a.ID, journal.RoleClinician, false, false); err != nil {
		t.Fatal(err)
	}
	p := &presses{tab: openTab(t, browser, l.host)}
	p.size(1280)
	p.signIn(&l, demoClinician)
	faultAtTheBench(p.tab, &l)
	p.size(1280)
	p.open("http://" + l.host + "/caseload")
	onset, next := day-30, day+14

	began := time.Now()
	p.follow(`a[href="/r/` + string(l.runners[hedda].ID) + `/set-up"]`)
	p.click("input[name=side][value=left]")
	p.types("#onset", onset.Noon().Format("01022006")) // as the field takes it
	p.types("#pain", "2")
	p.types("#stiffness", "15")
	p.click("#asked")
	p.click("input[name=way][value=now]")
	p.types("#reason", "walks for 40 min")
	p.types("#phase", "2")
	p.types("#stage", "4")
	p.types("#next", next.Noon().Format("01022006"))
	p.follow("form.stack button:not([name])")
	t.Logf("from the caseload to what is set up: %d clicks and %d fields in %.1f s of a browser that does not think", p.clicks, p.fields, time.Since(began).Seconds())
	if n := p.clicks + p.fields; n > mostPresses {
		t.Errorf("%d clicks and %d fields, want %d at most", p.clicks, p.fields, mostPresses)
	}
	if got := p.text("[role=status]"); got != "All of it is kept." {
		t.Errorf("the page says %q", got)
	}
	b := p.tab
	b.shows(&l, "/hurts", "Left Achilles tendon", "usual in the morning")
	b.shows(&l, "/hurts/ach-mid-left", "up to phase 2", "up to stage 4", "now phase 1")
	b.shows(&l, "/rehab", "Combined programme", "allowed in advance until 13 July 2026")
	b.shows(&l, "/ramp", "walks for 40 min")
	b.shows(&l, "/visit", "Next visit: 15 June 2026.")
	b.open("http://" + l.host + "/caseload")
	if text := b.text("main"); !strings.Contains(text, hedda) || !strings.Contains(text, "15 Jun") {
		t.Errorf("the caseload says %q", text)
	}
	care, err := l.book(t, hedda).Care(t.Context(), day)
	if err != nil || len(care.Records) != 1 {
		t.Fatalf("kept %+v, %v", care, err)
	}
	c := care.Records[0].Complaint
	if c.Site != rehab.AchillesMid || c.Onset != onset || len(c.Bases) != 1 || *c.Bases[0].Pain != 2 || *c.Bases[0].Stiffness != 15 {
		t.Errorf("kept is %+v", c)
	}
	placesNarrow(t, p.tab, &l)
}

// faultAtTheBench looks at the whole form with something wrong in it.
func faultAtTheBench(b *tab, l *logbook) {
	axe := axeSource(b.T)
	b.open(l.page(hedda, "/set-up"))
	b.do(chromedp.Click(chromedp.CSS("input[name=side][value=left]")), chromedp.Click(chromedp.CSS("#asked")), chromedp.Click(chromedp.CSS("input[name=way][value=now]")))
	b.leave(chromedp.Click(chromedp.CSS("form.stack button:not([name])")))
	if got := b.text("#fault"); !strings.Contains(got, "Say why the way back begins") || b.count("#reason[aria-invalid][aria-describedby=fault]") != 1 {
		b.Errorf("the page says %q, and the field is not marked", got)
	}
	for _, width := range []int64{390, 1280} {
		b.size(width)
		for _, scheme := range []string{"light", "dark"} {
			b.scheme(scheme, "")
			b.fits(width)
			b.accessible(axe, "set-up-fault, "+scheme)
			b.picture("set-up-fault", width, scheme)
		}
	}
}

// shows wants texts on a page of the runner who was set up.
func (b *tab) shows(l *logbook, page string, texts ...string) {
	b.Helper()
	b.open(l.page(hedda, page))
	for _, text := range texts {
		if got := b.text("main"); !strings.Contains(got, text) {
			b.Errorf("%s does not say %q: %.400q", page, text, got)
		}
	}
}

// placesNarrow: with scripts the programmes of the chosen place stand alone, the usual chosen.
func placesNarrow(t *testing.T, b *tab, l *logbook) {
	b.open(l.page(hedda, "/set-up"))
	for place, want := range map[string]string{"plantar": "plantar/plantar-heavy", "shin": "", "calf": "calf/combined", "ach-ins": "ach-ins/combined-floor"} {
		b.do(chromedp.Evaluate[chromedp.Void](`(() => { const s = document.querySelector("#site"); s.value = "` + place + `"; s.dispatchEvent(new Event("change")); })()`))
		if got := eval[string](b, `document.querySelector("input[name=programme]:checked").value`); got != want {
			t.Errorf("%s: %q is chosen, want %q", place, got, want)
		}
		if n := b.count("[data-place]:not([hidden])"); n != 1 {
			t.Errorf("%s: the programmes of %d places are shown", place, n)
		}
	}
}

// setUpPlainly sets something up without scripts: every place's programmes are listed, and one
// of another place than the chosen is said to be so, with all else as it was.
func setUpPlainly(t *testing.T, b *tab, club *logbook) {
	b.open(club.page(osk, "/set-up"))
	if n := b.count("[data-place]:not([hidden])"); n != len(rehab.Sites) {
		t.Errorf("the programmes of %d places are shown, want all", n)
	}
	b.do(chromedp.SetValue(chromedp.CSS("#site"), "plantar"), chromedp.Click(chromedp.CSS("input[name=side][value=both]")), chromedp.Click(chromedp.CSS("#asked")))
	b.fill("#note", "since the pier")
	b.leave(chromedp.Click(chromedp.CSS("form.stack button:not([name])")))
	if got := b.text("#fault"); !strings.Contains(got, "of another place") || b.value("#note") != "since the pier" || b.value("#site") != "plantar" || b.count("#asked:checked") != 1 {
		t.Errorf("the page says %q, with %q at %q", got, b.value("#note"), b.value("#site"))
	}
	b.do(chromedp.Click(chromedp.CSS(`input[name=programme][value="plantar/plantar-heavy"]`)))
	b.leave(chromedp.Click(chromedp.CSS("form.stack button:not([name])")))
	if got := b.text("[role=status]"); got != "All of it is kept." {
		t.Errorf("the page says %q", got)
	}
	if care, err := club.book(t, osk).Care(t.Context(), club.day); err != nil || len(care.Open(club.day)) != 2 || len(care.Plan.Prescriptions) != 2 {
		t.Errorf("kept %+v, %v", care, err)
	}
}
