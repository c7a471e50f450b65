package web_test

import (
	"bytes"
	"encoding/binary"
	"html"
	"strings"
	"testing"
	"unicode/utf16"

	"tidemark/load"
	"tidemark/load/journal"
)

// visited is a logbook with a programme, a standing order, a way back and results of tests,
// a week after they were set.
func visited(t *testing.T) (s *shared, owner, ada *visitor) {
	t.Helper()
	s = share(climbing(t))
	owner, ada = s.join("Owner"), s.join("Ada Brandt")
	s.let(owner, journal.RoleRunner, false, false)
	s.let(ada, journal.RoleClinician, false, false)
	base := s.base()
	wantStatus(t, "a programme", ada.post(base+"/rehab/ach-mid-left/prescribe", form("programme", "combined", "started", today.String())), 303)
	wantStatus(t, "an order", ada.post(base+"/rehab/ach-mid-left/order", form("phase", "2", "stage", "4", "until", "2026-06-30")), 303)
	wantStatus(t, "a way back", ada.post(base+"/ramp", everyDay()), 303)
	result := func(test string, day load.Day, left, right string) {
		t.Helper()
		wantStatus(t, test, ada.post(base+"/tests", form("test", test, "day", day.String(), "left", left, "right", right)), 303)
	}
	result("heel-rise", today, "15", "25")
	result("knee-to-wall", today, "8", "10")
	for _, back := range []int{0, 2} {
		s.now = noon.AddDate(0, 0, back)
		wantStatus(t, "the programme done", owner.post(base+"/rehab/ach-mid-left/log", form("pain", "2")), 303)
	}
	s.now = noon.AddDate(0, 0, 7)
	result("heel-rise", today+7, "18", "25")
	result("knee-to-wall", today+7, "10.5", "10")
	wantStatus(t, "a late morning", owner.post(base+"/mornings", form("complaint", "ach-mid-left", "day", (today+4).String(), "next", "1")), 303)
	wantStatus(t, "a morning", owner.post(base+"/mornings", form("complaint", "ach-mid-left", "day", (today+7).String(), "next", "1")), 303)
	wantStatus(t, "a visit", ada.post(base+"/visit", form("day", (today+7).String(), "next", (today+21).String(), "text", "Calmer. נועה also came.")), 303)
	return s, owner, ada
}

// TestVisit: what was set and done, tests with the band that repeats differ by, and what
// comes, on the page and in the text to copy.
func TestVisit(t *testing.T) {
	s, _, ada := visited(t)
	page := html.UnescapeString(ada.sees(s.base() + "/visit"))
	text := page[strings.Index(page, "<pre"):strings.Index(page, "</pre>")]
	for _, where := range []string{page, text} {
		wantIn(
			t, where,
			"ongest run that the limits count", "ongest run in 30 days", "12 min", // 2 km of 6 min each
			// Twice in seven days: 120 of 7 x 60 pumps, and 90 of 7 x 3 x 15 raises.
			"120 of 420", "90 of 315", "Ankle pumps without load", "60, every day",
			"29 % of what was set for seven days was done", // 2 of 7
			"1 of 2 scores of mornings were typed after their day (50 %).",
			// 18 of 25 are 72 %; 3 raises are less than 6.2, 2.5 cm more than 1.9.
			"left 18, right 25 reps; left against right: 72 %", "left +3: within what repeats differ by", "repeats differ by up to 6.2",
			"left +2.5: more than repeats differ by", "repeats differ by up to 1.9", "right +0: the same", "left 15, right 25 reps on 3 May 2026",
			"Phase 1 of 4", "Next: phase 2, weeks 2 to 5, at this status: pain with exercise", "quick rebound raises",
			"allowed in advance until 30 June 2026: the programme up to phase 2, the way back to running up to stage 4",
			"Run 6 × 2 min, 1 min walk between (stage 2)", "of 13",
			"Sunday 24 May 2026", // the next visit
		)
		wantNotIn(t, where, "tidemark</dt>", "Tidemark:")
	}
	wantIn(t, page, "29 %</td>", "Calmer. נועה also came.", "/visit.pdf", "/take-home", "follow your clinician")
	if n := strings.Count(text, "(stage 2)"); n == 0 || n > 7 {
		t.Errorf("%d runs of stage 2 in two weeks", n)
	}
}

// TestVisitGoneBy: a next visit that has gone by is none.
func TestVisitGoneBy(t *testing.T) {
	s, _, ada := visited(t)
	for _, test := range []struct {
		day  int
		next bool
	}{{21, true}, {22, false}} {
		s.now = noon.AddDate(0, 0, test.day)
		for _, page := range []string{"/visit", "/take-home"} {
			if got := strings.Contains(ada.sees(s.base()+page), "Next visit: Sunday 24 May 2026."); got != test.next {
				t.Errorf("%s on day %d: the next visit is told: %t", page, test.day, got)
			}
		}
	}
}

// TestVisitPDF: the same as a file with the name in its title, made at the time of the
// request.
func TestVisitPDF(t *testing.T) {
	s, owner, ada := visited(t)
	w := ada.get(s.base() + "/visit.pdf")
	file := w.Body.Bytes()
	if w.Code != 200 || w.Header().Get("Content-Type") != "application/pdf" || w.Header().Get("Content-Disposition") != `attachment; filename="visit-2026-05-10.pdf"` {
		t.Errorf("%d, %v", w.Code, w.Header())
	}
	var title []byte
	for _, u := range utf16.Encode([]rune("Nell Ashby")) {
		title = binary.BigEndian.AppendUint16(title, u)
	}
	for _, want := range []string{"%PDF-", string(title), "/CreationDate (D:20260510", "/Lang (en)"} {
		if !bytes.Contains(file, []byte(want)) {
			t.Errorf("the file does not hold %q", want)
		}
	}
	if n := bytes.Count(file, []byte("/Type /Page\n")); n != 1 || len(file) > 100_000 {
		t.Errorf("%d pages, %d bytes", n, len(file))
	}
	if again := owner.get(s.base() + "/visit.pdf"); !bytes.Equal(again.Body.Bytes()[:200], file[:200]) {
		t.Error("the runner gets another file")
	}
	t.Logf("%d bytes", len(file))
}

// TestVisitOfLittle: without a file, without a complaint and with one that has ended there is
// a page and a file all the same.
func TestVisitOfLittle(t *testing.T) {
	empty := newSite(t)
	ran := newSite(t)
	ran.upload([2]string{"diary.csv", diary(map[int]float64{5: 8, 1: 5})})
	closed := followed(t)
	closed.redirected(closed.post(closed.base()+"/hurts/ach-mid-left", form("status", "closed")), closed.base()+"/hurts/ach-mid-left?said=closed")
	for name, s := range map[string]*site{"no file": empty, "no complaint": ran, "an ended complaint": closed} {
		t.Run(name, func(t *testing.T) {
			page := s.get(s.base() + "/visit")
			wantIn(t, page, "Nothing is followed.", "Something hurts")
			wantNotIn(t, page, "<h2 id=\"plan\">", "NaN")
			if file := s.get(s.base() + "/visit.pdf"); !strings.HasPrefix(file, "%PDF-") || strings.Count(file, "/Type /Page\n") != 1 {
				t.Errorf("no file of one page: %d bytes", len(file))
			}
		})
	}
}
