package web_test

import (
	"context"
	"fmt"
	"html"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"

	"tidemark/load/journal"
	"tidemark/load/journal/journaltest"
)

// coached is a site with a crowd that a coach sees all of.
func coached(t *testing.T, n, weeks int) (*shared, *visitor, []journal.RunnerID) {
	t.Helper()
	s := share(newSite(t))
	rafe := s.join("Rafe Tolland")
	return s, rafe, s.gather(n, weeks, func(int) []journal.Grant {
		return []journal.Grant{{Person: rafe.id, Role: journal.RoleCoach}}
	})
}

var (
	rowName = regexp.MustCompile(`<th scope="row" role="rowheader"><a href="/r/[^"]*">([^<]*)</a>`)
	weekOf  = regexp.MustCompile(`data-label="7 days"><data value="([^"]*)"`)
)

// namesIn are the names of a list's rows, in order.
func namesIn(page string) (names []string) {
	for _, m := range rowName.FindAllStringSubmatch(page, -1) {
		names = append(names, html.UnescapeString(m[1]))
	}
	return names
}

// TestSquadOrders: every head of a column orders by it and turns the order round, says so, and
// loses nobody.
func TestSquadOrders(t *testing.T) {
	_, rafe, _ := coached(t, 12, 4)
	page := rafe.sees("/squad?if=9&in=run_time")
	heads := regexp.MustCompile(`<th scope="col" role="columnheader"[^>]*><a href="([^"]*)"`).FindAllStringSubmatch(page, -1)
	if len(heads) != 10 {
		t.Fatalf("%d heads, want 10:\n%s", len(heads), page)
	}
	for _, head := range heads {
		once := rafe.sees(html.UnescapeString(head[1]))
		turn := regexp.MustCompile(`aria-sort="(ascending|descending)"><a href="([^"]*)"`).FindAllStringSubmatch(once, -1)
		if len(turn) != 1 {
			t.Fatalf("%s: %d columns say that they order", head[1], len(turn))
		}
		twice := rafe.sees(html.UnescapeString(turn[0][2]))
		if other := map[string]string{"ascending": "descending", "descending": "ascending"}[turn[0][1]]; !strings.Contains(twice, `aria-sort="`+other+`"`) {
			t.Errorf("%s: turned round it does not say %s", head[1], other)
		}
		if len(namesIn(once)) != 12 || len(namesIn(twice)) != 12 {
			t.Errorf("%s: %d and %d rows, want 12", head[1], len(namesIn(once)), len(namesIn(twice)))
		}
	}
	if names := namesIn(rafe.sees("/squad?order=name")); !slices.IsSorted(names) {
		t.Errorf("by name: %q", names)
	}
	weeks := func(order string) (km []float64) {
		for _, m := range weekOf.FindAllStringSubmatch(rafe.sees("/squad?order="+order), -1) {
			v, err := strconv.ParseFloat(m[1], 64)
			if err != nil {
				t.Fatal(err)
			}
			km = append(km, v)
		}
		return km
	}
	if km := weeks("-week"); len(km) != 12 || !slices.IsSorted(km) {
		t.Errorf("by the week, the least first: %v", km)
	}
	if km := weeks("week"); len(km) != 12 || !slices.IsSortedFunc(km, func(a, b float64) int { return int(1000 * (b - a)) }) {
		t.Errorf("by the week: %v", km)
	}
	if got := namesIn(rafe.sees("/squad?order=nothing")); !slices.Equal(got, namesIn(rafe.sees("/squad"))) {
		t.Errorf("an order that there is not: %q", got)
	}
}

// TestSquadCheck: who is over with a session stands first, with by how much, worked by hand:
// after runs of 8 km on every second day the session limit is 8 km and a tenth of it, 8.8 km.
func TestSquadCheck(t *testing.T) {
	s := share(newSite(t))
	rafe := s.join("Rafe Tolland")
	for name, km := range map[string]float64{"Calm Cole": 8, "Far Finn": 12} {
		_, b := s.second(name, everySecond(km))
		if err := b.Grant(t.Context(), rafe.id, journal.RoleCoach, false, false); err != nil {
			t.Fatal(err)
		}
	}
	page := rafe.sees("/squad?if=10.5&in=distance&on=" + (today + 2).String())
	wantIn(t, page, "One of 2 runners is over with 10.5 km on Tuesday 5 May.", "over by", "1.7 km", ", 19 %", "session", "2.7 km")
	if got := namesIn(page); !slices.Equal(got, []string{"Calm Cole", "Far Finn"}) {
		t.Errorf("rows %q, want who is over first", got)
	}
	wantIn(t, rafe.sees("/squad?if=1"), "None of 2 runners is over with 1 km today.")
	wantIn(t, rafe.sees("/squad?if=100&find=finn"), "The one who is listed is over with 100 km today.")
	for _, query := range []string{"if=lots", "if=-3", "if=0", "if=1e9", "if=NaN", "if=12&on=2026-05-30", "if=12&on=soon"} {
		w := rafe.get("/squad?" + query)
		wantStatus(t, query, w, 422)
		wantIn(t, w.Body.String(), `role="alert"`, "Calm Cole", "Far Finn")
	}
}

// TestNobodysSquad: who sees no logbook is told how that changes, whatever was asked.
func TestNobodysSquad(t *testing.T) {
	s := share(newSite(t))
	nobody := s.join("Nobody's coach")
	for _, query := range []string{"", "?if=12&find=x&group=y&order=week&from=3", "?if=x"} {
		page := nobody.sees("/squad" + query)
		wantIn(t, page, "Nobody has let you into a logbook yet.", "A runner makes a link")
		wantNotIn(t, page, "<table", "<form method=\"get\"")
		wantIn(t, nobody.sees("/caseload"+query), "Nothing is followed in the logbooks that you see.")
	}
	wantStatus(t, "a note to nobody", nobody.post("/squad", form("runner", string(s.runner.ID), "text", "x")), 404)
}

// TestSquadHostileTexts: groups in any script are found by their letters, and whatever is
// looked for stays text.
func TestSquadHostileTexts(t *testing.T) {
	_, rafe, ids := coached(t, 4, 0)
	groups := []string{"Δευτέρα", "跑步組", "קבוצת ריצה", `"><script>alert(1)</script> & <b>`}
	for i, group := range groups {
		wantStatus(t, group, rafe.post("/squad", form("runner", string(ids[i]), "group", group)), 303)
		for _, query := range []string{"group=", "find="} {
			page := rafe.sees("/squad?" + query + url.QueryEscape(group))
			if got := namesIn(page); !slices.Equal(got, []string{journaltest.CrowdName(i)}) {
				t.Errorf("%s%s: %q", query, group, got)
			}
			wantNotIn(t, page, "<script>alert", "<b>")
		}
	}
	for find, want := range map[string]int{
		"δευτέρα": 1, "ΔΕΥΤΕΡΑ": 1, "ansa aarvik": 1, "aarvik  ANSA": 1, "": 4, "   ": 4, ".*": 0, "%": 0, "[": 0, "\x00": 0, "\xff\xfe": 0,
		"'; DROP TABLE runner": 0, strings.Repeat("long ", 400): 0, "\u202eansa": 0,
	} {
		page := rafe.sees("/squad?find=" + url.QueryEscape(find))
		if got := len(namesIn(page)); got != want {
			t.Errorf("%q: %d rows, want %d", find, got, want)
		}
		if want == 0 {
			wantIn(t, page, "Nobody here is called that.", "everybody again")
		}
	}
	w := rafe.post("/squad", form("runner", string(ids[0]), "group", strings.Repeat("x", 500)))
	wantStatus(t, "a long name", w, 422)
	wantIn(t, w.Body.String(), "The name of a group is too long", strings.Repeat("x", 500))
	for _, from := range []string{"-1", "99999999999999999999", "x", "5"} {
		if got := len(namesIn(rafe.sees("/squad?from=" + from))); got != 4 {
			t.Errorf("from %s: %d rows, want 4", from, got)
		}
	}
}

// TestSquadSizes: a list of one, of those who never added anything, and of more than a page
// holds; each within its weight as it is sent.
func TestSquadSizes(t *testing.T) {
	for _, size := range []struct{ runners, weeks int }{{1, 0}, {1, 4}, {60, 4}, {100, 4}, {500, 1}} {
		t.Run(fmt.Sprint(size.runners, " runners, ", size.weeks, " weeks"), func(t *testing.T) {
			_, rafe, _ := coached(t, size.runners, size.weeks)
			for _, target := range []string{"/squad", "/squad?if=12"} {
				page := rafe.sees(target)
				if got := len(namesIn(page)); got != size.runners {
					t.Errorf("%s: %d rows, want %d", target, got, size.runners)
				}
				sent := rafe.weighs(t, target)
				t.Logf("%s: %d bytes, %d as it is sent", target, len(page), sent)
				if sent > 80_000 {
					t.Errorf("%s: %d bytes are sent, want at most 80,000", target, sent)
				}
			}
		})
	}
	_, rafe, _ := coached(t, 520, 0)
	first := rafe.sees("/squad?order=name")
	next := regexp.MustCompile(`<a href="([^"]*)">The next runners`).FindStringSubmatch(first)
	if len(namesIn(first)) != 500 || next == nil {
		t.Fatalf("%d rows, next %q", len(namesIn(first)), next)
	}
	rest := rafe.sees(html.UnescapeString(next[1]))
	all := append(namesIn(first), namesIn(rest)...)
	if len(all) != 520 || !slices.IsSorted(all) || strings.Contains(rest, "The next runners") {
		t.Errorf("%d rows on two pages", len(all))
	}
}

// TestRevokedFromTheSquad: who is let out between the list and a note is told so, with what
// was typed, and so is who never was let in.
func TestRevokedFromTheSquad(t *testing.T) {
	s, rafe, ids := coached(t, 3, 1)
	foreign, err := s.journal.AddRunner(t.Context(), "Another", "Europe/Oslo", today)
	if err != nil {
		t.Fatal(err)
	}
	rafe.sees("/squad")
	b, err := s.journal.Open(t.Context(), journal.Local, ids[1])
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Revoke(t.Context(), rafe.id); err != nil {
		t.Fatal(err)
	}
	for _, runner := range []string{string(ids[1]), string(foreign.ID), "", "../.."} {
		for _, f := range []url.Values{form("runner", runner, "text", "easy on Tuesday"), form("runner", runner, "group", "Tuesdays")} {
			w := rafe.post("/squad", f)
			wantStatus(t, runner, w, 404)
			wantIn(t, w.Body.String(), "That logbook is not open to you any more, so nothing was sent.", `role="alert"`, journaltest.CrowdName(0))
			wantIn(t, w.Body.String(), `value="`+f.Get("text")+`"`)
			wantNotIn(t, w.Body.String(), journaltest.CrowdName(1), "Another")
		}
	}
}

// halting is a store that does something before one of the readings of a request.
type halting struct {
	journal.Store
	left atomic.Int64
	do   func()
}

func (h *halting) View(ctx context.Context, f func(journal.Tx) error) error {
	if h.left.Add(-1) == 0 {
		h.do()
	}
	return h.Store.View(ctx, f)
}

// TestRevokedMeanwhile takes a runner from a coach before each of the readings that a list is
// made of: the list is there, with the runner or without.
func TestRevokedMeanwhile(t *testing.T) {
	for at := 1; ; at++ {
		site := newSite(t)
		h := &halting{Store: site.store}
		site.store = h
		s := share(site)
		rafe := s.join("Rafe Tolland")
		ids := s.gather(3, 2, func(int) []journal.Grant { return []journal.Grant{{Person: rafe.id, Role: journal.RoleCoach}} })
		done := false
		h.left.Store(int64(at))
		h.do = func() {
			done = true
			b, err := s.journal.Open(t.Context(), journal.Local, ids[2])
			if err == nil {
				err = b.Revoke(t.Context(), rafe.id)
			}
			if err != nil {
				t.Error(err)
			}
		}
		page := rafe.sees("/squad?if=12")
		if got := len(namesIn(page)); got != 2 && got != 3 {
			t.Errorf("at reading %d: %d rows", at, got)
		}
		if !done {
			if at < 4 {
				t.Errorf("the list is made of %d readings: nothing was taken in between", at)
			}
			return
		}
		if got := namesIn(rafe.sees("/squad?if=12")); len(got) != 2 {
			t.Errorf("after reading %d: %q", at, got)
		}
	}
}

// medicalWords are words that a list may say of those with leave for medical detail alone.
var medicalWords = regexp.MustCompile(`(?i)achilles|calf|heel|shin|flare|morning|stage|sore|spacing|way back|programme|phase|hurts`)

// TestTwoClinics: of 200 runners whose something hurts, half with leave for medical detail
// and half without, nothing medical is said of the half without.
func TestTwoClinics(t *testing.T) {
	s := share(newSite(t))
	ada := s.join("Ada Brandt")
	bare := make(map[string]bool)
	ids := s.gather(200, 7, func(n int) []journal.Grant {
		if n%2 == 1 {
			bare[journaltest.CrowdName(n)] = true
			return []journal.Grant{{Person: ada.id, Role: journal.RoleCoach, Plan: true}}
		}
		return []journal.Grant{{Person: ada.id, Role: journal.RoleClinician}}
	})
	for n, id := range ids {
		s.hurt(id, n)
	}
	medical := 0
	for _, target := range []string{"/squad", "/squad?if=12", "/squad?if=40&in=run_time"} {
		page := rest(t, ada.sees(target), `<tbody role="rowgroup">`)
		rows := strings.Split(page, `<tr role="row">`)[1:]
		if len(rows) != 200 {
			t.Fatalf("%s: %d rows, want 200", target, len(rows))
		}
		for _, row := range rows {
			row, _, _ = strings.Cut(row, "</tr>")
			said := medicalWords.FindString(tags.ReplaceAllString(row, " "))
			name := namesIn(row)[0]
			if said != "" && bare[name] {
				t.Errorf("%s says %q of %s: %s", target, said, name, row)
			}
			if said != "" {
				medical++
			}
		}
		for _, line := range regexp.MustCompile(`(?s)<li>.*?</li>`).FindAllString(page, -1) {
			text := tags.ReplaceAllString(line, "")
			if name, _, _ := strings.Cut(text, ","); bare[html.UnescapeString(name)] && medicalWords.MatchString(text) {
				t.Errorf("%s: %s", target, text)
			}
		}
	}
	if medical == 0 {
		t.Error("nothing medical was said of anybody: the test looks at nothing")
	}
	caseload := ada.sees("/caseload")
	if got := len(namesIn(caseload)); got != 100 {
		t.Errorf("%d rows in the caseload, want 100", got)
	}
	for name := range bare {
		if strings.Contains(caseload, html.EscapeString(name)) {
			t.Errorf("%s is in the caseload", name)
		}
	}
	if sent := ada.weighs(t, "/caseload"); sent > 80_000 {
		t.Errorf("the caseload of 100 is sent as %d bytes", sent)
	}
}

var tags = regexp.MustCompile(`<[^>]*>`)

// rest is what comes behind a text, which must be there.
func rest(t *testing.T, page, behind string) string {
	t.Helper()
	_, after, ok := strings.Cut(page, behind)
	if !ok {
		t.Fatalf("no %q on the page", behind)
	}
	return after
}
