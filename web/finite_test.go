package web_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/web/api/wire"
)

// oddDiary is a diary of runs without sense or order: none, one, forty in a day, without
// a distance, a duration or an effort, on a treadmill, in the years to come.
func oddDiary(r *rand.Rand) string {
	var b strings.Builder
	b.WriteString("date,start,kind,distance_km,duration_min,run_min,rpe,ascent_m,steps,surface,race\n")
	pick := func(texts ...string) string { return texts[r.IntN(len(texts))] }
	row := func(day load.Day, minute int) {
		km := pick("", "0.01", "0", fmt.Sprintf("%.3f", 40*r.Float64()), "299")
		lasted := pick("", "0.1", fmt.Sprintf("%.1f", 200*r.Float64()), "30")
		if (km == "" || km == "0") && lasted == "" {
			lasted = "30"
		}
		start := pick("", fmt.Sprintf("%02d:%02d", minute/60%24, minute%60))
		fmt.Fprintf(&b, "%v,%s,%s,%s,%s,,%s,%s,%s,%s,%s\n", day, start, pick("run", "run", "run", "walk", "ride"), km, lasted,
			pick("", "0", "4", "10"), pick("", "0", "900"), pick("", "0", "7000"), pick("", "road", "treadmill"), pick("", "yes"))
	}
	for range []int{0, 1, 5, 150}[r.IntN(4)] {
		row(today-load.Day(r.IntN(500)), r.IntN(1440))
	}
	if r.IntN(2) == 0 {
		for i := range 40 {
			row(today-load.Day(r.IntN(3)), 20*i)
		}
	}
	if r.IntN(3) == 0 {
		row(load.Date(2031, 5, 4), 600)
	}
	return b.String()
}

var notFinite = regexp.MustCompile(`(?i)\b(nan|[+-]?inf(inity)?)\b`)

// TestNothingIsInfinite looks for numbers that are none, over random logbooks: in the
// JSON, on the pages, in the tables.
func TestNothingIsInfinite(t *testing.T) {
	for seed := range uint64(24) {
		r := rand.New(rand.NewPCG(seed, 5))
		s := newSite(t)
		s.upload([2]string{"diary.csv", oddDiary(r)})
		b, err := s.journal.Open(t.Context(), journal.Local, s.runner.ID)
		if err != nil {
			t.Fatal(err)
		}
		choices := []journal.Choice{{Key: "heart-max", Value: "170"}, {Key: "heart-rest", Value: "60"}, {Key: "ratio-rule", Value: "1"}, {Key: "monotone-rule", Value: "1"}}
		if err := b.SetAll(t.Context(), today-600, choices); err != nil {
			t.Fatal(err)
		}
		for _, m := range load.Measures {
			p, err := b.Picture(t.Context(), today, assess.Query{Measure: m, From: today - 600, To: today})
			if err != nil {
				t.Fatal(err)
			}
			if text, err := json.Marshal(wire.FromPicture("x", &p)); err != nil || notFinite.Match(text) {
				t.Errorf("seed %d, %v: JSON %v", seed, m, err)
			}
			for _, target := range []string{"/load?measure=" + m.String(), "/load.csv?measure=" + m.String()} {
				if found := notFinite.FindString(s.get(s.base() + target)); found != "" {
					t.Errorf("seed %d: %s says %q", seed, target, found)
				}
			}
		}
		for _, target := range []string{s.base(), s.base() + "?if=12", s.base() + "/runs", s.base() + "/runs.csv", s.base() + "/settings", s.base() + "/gaps", "/runners?if=9&in=time", "/squad?if=9&in=time", "/caseload"} {
			if found := notFinite.FindString(s.get(target)); found != "" {
				t.Errorf("seed %d: %s says %q", seed, target, found)
			}
		}
	}
}
