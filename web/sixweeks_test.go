package web_test

import (
	"fmt"
	"html"
	"log/slog"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web"
)

// answers is what a runner types on one of the days of six weeks; minus one: nothing.
type answers struct {
	run                            float64 // km, 0: none
	during, after, next, stiffness int
}

// sixWeeks are invented: three runs a week, one day without an answer, one that is late, a
// flare after the longest run, and quiet again.
func sixWeeks(day int) answers {
	d := answers{0, -1, -1, 1, 5}
	switch {
	case day%3 == 0 && day < 24 || day > 30 && day%3 == 1:
		d.run, d.during, d.after = 3, 1, 1
	case day == 24:
		d.run, d.during, d.after = 7, 3, 4
	case day == 25:
		d.next, d.stiffness = 5, 30
	case day == 26:
		d.next = 3
	case day == 13:
		d.next, d.stiffness = -1, -1
	case day == 10:
		d.next = 2
	}
	return d
}

// TestSixWeeks plays six weeks through the pages with a clock that goes on, day by day as
// the page asks, and reads them as a clinician would: nothing that was typed is lost, every
// verdict says why, and the strips stand under their days.
func TestSixWeeks(t *testing.T) {
	s := newSite(t)
	now := noon
	clock := func() time.Time { return now }
	s.journal = s.onClock(clock)
	s.server = web.New(web.Options{Journal: s.journal, Now: clock, Limits: ingest.DefaultLimits, Log: slog.New(slog.DiscardHandler)})
	s.upload([2]string{"diary.csv", diary(map[int]float64{40: 5, 37: 5, 34: 5, 31: 5, 28: 5, 25: 5, 22: 5, 19: 5, 16: 5, 13: 5, 10: 5, 7: 5, 4: 5})})
	s.post(s.base()+"/hurts", url.Values{"site": {"ach-mid"}, "side": {"left"}, "onset": {(today - 2).String()}, "pain": {"1"}, "stiffness": {"5"}})
	s.post(s.base()+"/rehab/ach-mid-left/prescribe", url.Values{"programme": {"combined"}, "started": {today.String()}})
	typed := 0
	say := func(day load.Day, field string, value int) {
		if value < 0 {
			return
		}
		w := s.post(s.base()+"/mornings", url.Values{"complaint": {"ach-mid-left"}, "day": {day.String()}, field: {fmt.Sprint(value)}, "back": {"today"}})
		if w.Code != 303 {
			t.Fatalf("%v, %s %d: status %d\n%s", day, field, value, w.Code, w.Body)
		}
		typed++
	}
	const days = 42
	for i := range days {
		now = noon.AddDate(0, 0, i)
		day, d := today+load.Day(i), sixWeeks(i)
		if page := s.get(s.base()); d.next >= 0 && !strings.Contains(page, "how were the first steps this morning?") {
			t.Fatalf("%v: the morning is not asked about", day)
		}
		say(day, "next", d.next)
		say(day, "stiffness", d.stiffness)
		if d.run > 0 {
			s.upload([2]string{"run.csv", fmt.Sprintf("date,start,kind,distance_km,duration_min\n%v,07:30,run,%.1f,%.0f\n", day, d.run, 6*d.run)})
			wantIn(t, s.get(s.base()), "the worst during today")
			say(day+1, "during", d.during)
			say(day+1, "after", d.after)
		}
		if i%2 == 0 {
			s.post(s.base()+"/rehab/ach-mid-left/log", url.Values{"pain": {"2"}, "back": {"today"}})
		}
		if i == 25 { // after the longest run of all, which is what changed last
			wantIn(t, s.get(s.base()), "No run within your limits today", "the three days before the flare", "seated or on two legs")
			wantIn(t, s.get(s.base()+"/rehab"), "The running steps back, and the exercises stay.", "It flared")
		}
		if i == 15 {
			say(day-2, "next", 1) // the 13th day, two days late
		}
	}
	book, err := s.journal.Open(t.Context(), journal.Local, s.runner.ID)
	if err != nil {
		t.Fatal(err)
	}
	entries, err := book.Entries(t.Context())
	if err != nil || len(entries) != typed || typed < 100 {
		t.Errorf("%d entries of %d that were typed, %v", len(entries), typed, err)
	}
	sixWeeksRead(t, s)
}

// sixWeeksRead looks at the pages after the six weeks.
func sixWeeksRead(t *testing.T, s *site) {
	t.Helper()
	mornings := html.UnescapeString(s.get(s.base() + "/mornings"))
	rows := regexp.MustCompile(`(?s)<tr><th scope="row">\w+ (\d+ \w+ 2026)</th>.*?</svg> ([A-Z][a-z ]+?)(?: <span class="soft">late</span>)?</td><td>([^<]*)</td></tr>`).FindAllStringSubmatch(mornings, -1)
	if len(rows) != 42 {
		t.Errorf("%d mornings with a verdict, want 42", len(rows))
	}
	verdicts := make(map[string]string)
	for _, row := range rows {
		verdicts[row[1]] = row[2]
		if row[3] == "" {
			t.Errorf("%s: %s without a reason", row[1], row[2])
		}
	}
	for day, want := range map[string]string{"28 May 2026": "Flared", "13 May 2026": "Not settled", "16 May 2026": "Missing", "4 May 2026": "Settled", "13 Jun 2026": "Settled"} {
		if verdicts[day] != want {
			t.Errorf("%s: %q, want %q", day, verdicts[day], want)
		}
	}
	load := s.get(s.base() + "/load")
	for _, day := range []string{"2026-05-28", "2026-05-13"} {
		row := regexp.MustCompile(`(?s)<tr data-day="` + day + `">.*?</tr>`).FindString(load)
		wantIn(t, row, map[string]string{"2026-05-28": "5 of 10, Flared", "2026-05-13": "2 of 10, Not settled"}[day])
	}
	flare := regexp.MustCompile(`<svg class="mark flared" x="([0-9.]+%)"`).FindStringSubmatch(load)
	tick := regexp.MustCompile(`<svg class="tick [a-z]+" x="([0-9.]+%)"`).FindAllStringSubmatch(load, -1)
	if flare == nil || len(tick) != 41 || tick[25][1] != flare[1] {
		t.Errorf("the flare stands at %v, the rehab of its day elsewhere: %d ticks", flare, len(tick))
	}
	wantIn(t, s.get(s.base()+"/rehab"), "to phase 2, because its week has come")
}
