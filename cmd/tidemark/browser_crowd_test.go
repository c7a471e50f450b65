package main

import (
	"context"
	"net/http"
	"slices"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/journaltest"
)

// crowded is how many runners the lists are looked at with.
const crowded = 60

// serveCrowd serves a journal with a crowd, half a year behind each; the coach sees all, the
// clinician all that hurts. Every third is in one of two groups of the coach's.
func serveCrowd(t *testing.T, day load.Day) logbook {
	t.Helper()
	a := quietApp(t.TempDir(), day)
	j, err := a.open(true)
	if err != nil {
		t.Fatal(err)
	}
	coach, err := a.demoAccount(j, demoCoach)
	if err != nil {
		t.Fatal(err)
	}
	clinician, err := a.demoAccount(j, demoClinician)
	if err != nil {
		t.Fatal(err)
	}
	ids, err := journaltest.Crowd(a.ctx, j.store, versions, day, 0, crowded, 26, func(n int) []journal.Grant {
		grants := []journal.Grant{{Person: coach.ID, Role: journal.RoleCoach}}
		if n%3 == 0 {
			grants = append(grants, journal.Grant{Person: clinician.ID, Role: journal.RoleClinician})
		}
		return grants
	})
	if err != nil {
		t.Fatal(err)
	}
	for n, id := range ids {
		b, err := j.Open(a.ctx, coach.ID, id)
		if err != nil {
			t.Fatal(err)
		}
		if n%3 == 0 {
			if err := b.PutGroup(a.ctx, []string{"Tuesdays", "Long runs"}[n%2]); err != nil {
				t.Fatal(err)
			}
			local, err := j.Open(a.ctx, journal.Local, id)
			if err != nil {
				t.Fatal(err)
			}
			if err := journaltest.CrowdHurts(a.ctx, local, day, n); err != nil {
				t.Fatal(err)
			}
		}
		if n%8 == 5 {
			if err := b.PlanRace(a.ctx, load.PlannedRace{Day: day + load.Day(5+n), Name: "Pier mile"}, false); err != nil {
				t.Fatal(err)
			}
		}
	}
	if err := j.Close(); err != nil {
		t.Fatal(err)
	}
	return a.serveLogbook(t, "")
}

// lists looks at the lists over a crowd.
func lists(t *testing.T, browser context.Context, day load.Day) {
	l := serveCrowd(t, day)
	at := "http://" + l.host
	views := []view{
		{name: "squad-60", book: &l, as: demoCoach, to: at + "/squad", status: http.StatusOK, most: 80_000, sees: []string{"table.list tbody th a", "[aria-sort]", "#warnings li"}, then: unfolded},
		{name: "squad-check", book: &l, as: demoCoach, to: at + "/squad?if=12&in=distance", status: http.StatusOK, sees: []string{"[data-field='check.over']"}},
		{name: "squad-found", book: &l, as: demoCoach, to: at + "/squad?find=long&if=x", status: http.StatusUnprocessableEntity, sees: []string{".fault", "table.list tbody tr"}, then: unfolded},
		{name: "caseload-20", book: &l, as: demoClinician, to: at + "/caseload", status: http.StatusOK, most: 80_000, sees: []string{"table tbody th a"}},
	}
	lookAt(t, browser, views)
	for _, v := range views {
		t.Run(v.name+" at every width", func(t *testing.T) {
			b := openTab(t, browser, l.host)
			b.signIn(&l, v.as)
			for _, width := range []int64{320, 390, 720, 1024, 1216, 1217, 1280, 1600} {
				b.size(width)
				b.open(v.to)
				b.fits(width)
			}
		})
	}
	t.Run("by keys alone", func(t *testing.T) { byKeys(t, browser, &l) })
}

// byKeys narrows the squad, orders it and opens its first runner, and orders the caseload,
// without a pointer.
func byKeys(t *testing.T, browser context.Context, l *logbook) {
	b := openTab(t, browser, l.host)
	b.size(1280)
	b.signIn(l, demoCoach)
	b.open("http://" + l.host + "/squad")
	b.tabTo("[name=find]")
	b.do(chromedp.KeyEvent("tuesd"))
	const inSight = `[...document.querySelectorAll("#squad tbody tr")].filter((row) => row.getClientRects().length).length`
	for _, width := range []int64{390, 1280} {
		b.size(width)
		b.until(inSight + ` === 10`)
	}
	b.leave(chromedp.KeyEvent(kb.Enter))
	b.wantRows(`#squad tbody tr`, 10)
	b.tabTo("#squad thead a[href*=week]")
	b.leave(chromedp.KeyEvent(kb.Enter))
	b.wantSorted("descending", "[data-field=week]")
	b.tabTo("#squad thead a[href*=week]")
	b.leave(chromedp.KeyEvent(kb.Enter))
	b.wantSorted("ascending", "[data-field=week]")
	b.wantRows(`#squad tbody tr`, 10)
	first := eval[string](b, `document.querySelector("#squad tbody th a").pathname`)
	b.tabTo("#squad tbody tr:first-child th a")
	b.leave(chromedp.KeyEvent(kb.Enter))
	if at := eval[string](b, `location.pathname`); at != first {
		b.Errorf("the first runner is at %s, Enter led to %s", first, at)
	}

	b.signIn(l, demoClinician)
	b.open("http://" + l.host + "/caseload")
	b.tabTo("a[href='#cases']") // past what waits
	b.do(chromedp.KeyEvent(kb.Enter))
	b.tabTo("#case-list thead a[href*=name]")
	b.leave(chromedp.KeyEvent(kb.Enter))
	names := eval[[]string](b, `[...document.querySelectorAll("#case-list tbody th a")].map((a) => a.textContent)`)
	if !slices.IsSorted(names) || len(names) != 20 {
		b.Errorf("by name: %q", names)
	}
	if got := eval[string](b, `document.querySelector("#case-list [aria-sort]").textContent + " " + document.querySelector("#case-list [aria-sort]").ariaSort`); got != "runner ascending" {
		b.Errorf("the order is told as %q", got)
	}
}

func (b *tab) wantRows(selector string, want int) {
	b.Helper()
	if got := b.count(selector); got != want {
		b.Errorf("%d rows, want %d", got, want)
	}
}

// wantSorted holds the numbers of a column against the order that the page tells of.
func (b *tab) wantSorted(order, selector string) {
	b.Helper()
	if got := eval[string](b, `document.querySelector("#squad [aria-sort]").ariaSort`); got != order {
		b.Errorf("the order is told as %q, want %q", got, order)
	}
	numbers := eval[[]float64](b, `[...document.querySelectorAll(%s)].map((d) => Number(d.value))`, quoted("#squad tbody "+selector))
	if order == "descending" {
		slices.Reverse(numbers)
	}
	if len(numbers) == 0 || !slices.IsSorted(numbers) {
		b.Errorf("%s: %v", order, numbers)
	}
}
