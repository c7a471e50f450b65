package main

import (
	"encoding/json"
	"log/slog"
	"net/http/httptest"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
	"tidemark/web"
	"tidemark/web/api/wire"
)

// clubPages serves the club's journal as it is on a day.
func clubPages(t *testing.T) (db string, server *web.Server, runners []journal.Runner) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "club")
	if _, errs, code := command(t.Context(), "demo", "--on", "2026-06-01", "--dir", dir, "--json"); code != exitDone {
		t.Fatal(errs)
	}
	db = filepath.Join(dir, "tidemark.db")
	store, err := sqlite.Open(t.Context(), db, sqlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close() })
	day, err := load.ParseDay("2026-06-01")
	if err != nil {
		t.Fatal(err)
	}
	j := journal.New(store, func() load.Instant { return load.InstantOf(day.Noon()) }, versions)
	if runners, err = j.Runners(t.Context(), journal.Local); err != nil || len(runners) != 5 {
		t.Fatalf("%d runners, %v", len(runners), err)
	}
	return db, web.New(web.Options{Journal: j, Now: day.Noon, Log: slog.New(slog.DiscardHandler), Limits: ingest.DefaultLimits}), runners
}

// pageOf answers an address, which must be there.
func pageOf(t *testing.T, server *web.Server, address string) string {
	t.Helper()
	w := httptest.NewRecorder()
	server.ServeHTTP(w, httptest.NewRequest("GET", "http://localhost"+address, nil))
	if w.Code != 200 {
		t.Fatalf("%s: %d\n%s", address, w.Code, w.Body)
	}
	return w.Body.String()
}

var (
	tag      = regexp.MustCompile(`<[^>]*>`)
	notWords = regexp.MustCompile(`(?i)\b(uncoupled|ewma|AU|adherence|insertion|mid-portion|irritability|complaint|safe|safely|cleared|healed|diagnosis|injury risk)\b`)
)

// TestWords looks for words on every page of the club that a runner's screen
// avoids, and those that nobody may say (job, Words and Tone).
func TestWords(t *testing.T) {
	_, server, runners := clubPages(t)
	addresses := []string{"/", "/runners", "/rests-on"}
	for _, r := range runners {
		base := "/r/" + string(r.ID)
		addresses = append(addresses, base, base+"?if=14", base+"/add", base+"/load", base+"/load?measure=exertion", base+"/load?measure=steps",
			base+"/load?measure=heart", base+"/load?measure=tendon", base+"/races", base+"/settings", base+"/gaps", base+"/hurts", base+"/set-up", base+"/mornings", base+"/rehab", base+"/ramp", base+"/happened", base+"/tests", base+"/runs")
		for _, m := range regexp.MustCompile(`"(`+base+`/rehab/[^"]+/routine)"`).FindAllStringSubmatch(pageOf(t, server, base+"/rehab"), -1) {
			addresses = append(addresses, m[1])
		}
		for _, m := range regexp.MustCompile(`"(`+base+`/hurts/[^"]+)"`).FindAllStringSubmatch(pageOf(t, server, base+"/hurts"), -1) {
			addresses = append(addresses, m[1])
		}
		for _, m := range regexp.MustCompile(`"(`+base+`/runs/[^"]+)"`).FindAllStringSubmatch(pageOf(t, server, base+"/runs"), -1) {
			addresses = append(addresses, m[1])
		}
	}
	for _, address := range addresses {
		text := tag.ReplaceAllString(pageOf(t, server, address), " ")
		if got := notWords.FindAllString(text, -1); len(got) > 0 {
			t.Errorf("%s says %q", address, got)
		}
	}
	if len(addresses) < 100 {
		t.Errorf("only %d pages were looked at", len(addresses))
	}
}

// TestPageAgreesWithJSON holds every number of the load page against what
// load --json says of the same journal, measure and days.
func TestPageAgreesWithJSON(t *testing.T) {
	db, server, runners := clubPages(t)
	for _, r := range runners {
		for _, span := range [][]string{nil, {"--measure", "time"}, {"--measure", "exertion"}, {"--measure", "steps"}, {"--measure", "tendon"}, {"--measure", "heart"}, {"--measure", "flat"}, {"--from", "2026-03-01", "--to", "2026-04-30"}} {
			t.Run(r.Name+" "+strings.Join(span, " "), func(t *testing.T) {
				args := append([]string{"load", "--json", "--db", db, "--on", "2026-06-01", "--runner", r.Name}, span...)
				out, errs, code := command(t.Context(), args...)
				if code != exitDone {
					t.Fatal(errs)
				}
				var want wire.Load
				if err := json.Unmarshal([]byte(out), &want); err != nil {
					t.Fatal(err)
				}
				query := make([]string, 0, 2)
				for i := 0; i < len(span); i += 2 {
					query = append(query, strings.TrimPrefix(span[i], "--")+"="+span[i+1])
				}
				comparePage(t, pageOf(t, server, "/r/"+string(r.ID)+"/load?"+strings.Join(query, "&")), &want)
			})
		}
	}
}

var (
	dataOf = regexp.MustCompile(`<data[^>]* value="([^"]+)" data-field="([^"]+)">|<data value="([^"]+)" data-field="([^"]+)">`)
	rowOf  = regexp.MustCompile(`(?s)<tr data-day="([^"]+)">(.*?)</tr>`)
)

// numbers reads the values of a part of the page, by field, in order.
func numbers(t *testing.T, html string) map[string][]float64 {
	t.Helper()
	out := make(map[string][]float64)
	for _, m := range dataOf.FindAllStringSubmatch(html, -1) {
		v, err := strconv.ParseFloat(m[1]+m[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		out[m[2]+m[4]] = append(out[m[2]+m[4]], v)
	}
	return out
}

func comparePage(t *testing.T, page string, want *wire.Load) {
	t.Helper()
	rows := rowOf.FindAllStringSubmatch(page, -1)
	if len(rows) != len(want.Days) || len(rows) == 0 {
		t.Fatalf("the page has %d days, the JSON %d", len(rows), len(want.Days))
	}
	for i := range want.Days {
		day, row := &want.Days[i], rows[len(rows)-1-i]
		if row[1] != day.Date.String() {
			t.Fatalf("row %d is of %s, want %v", i, row[1], day.Date)
		}
		compare(t, day.Date.String(), numbers(t, row[2]), map[string]*float64{
			"load": &day.Load, "acute": &day.Acute, "tidemark": day.Tidemark, "held_tidemark": day.HeldTidemark, "spike": day.Spike,
		})
	}
	last := &want.Days[len(want.Days)-1]
	_, rest, _ := strings.Cut(page, `id="weeks"`)
	windows, rest, _ := strings.Cut(rest, `</section>`)
	_, rest, _ = strings.Cut(rest, `id="ratios"`)
	ratios, _, _ := strings.Cut(rest, `</section>`)
	windows += ratios
	got := numbers(t, windows)
	if n := len(got["acute"]); n < 1 || n > 4 || got["acute"][0] != last.Acute {
		t.Errorf("blocks %v, want the last to be %v", got["acute"], last.Acute)
	}
	for k, sum := range got["acute"] {
		if i := len(want.Days) - 1 - 7*k; i >= 0 && sum != want.Days[i].Acute {
			t.Errorf("block %d is %v, want %v", k, sum, want.Days[i].Acute)
		}
	}
	delete(got, "acute")
	compare(t, "windows", got, map[string]*float64{
		"chronic_uncoupled": last.ChronicUncoupled, "ratio_uncoupled": last.RatioUncoupled, "ratio_coupled": last.RatioCoupled,
		"ratio_ewma": last.RatioEWMA, "tidemark": last.Tidemark,
		"held_tidemark": last.HeldTidemark, "monotony": last.Monotony, "strain": last.Strain,
		"week_change": last.WeekChange, "week_change_share": last.WeekChangeShare,
	})
	compareHeadroom(t, page, want.Headroom)
}

// compare wants each field with its value, and without one where the JSON says
// null.
func compare(t *testing.T, where string, got map[string][]float64, want map[string]*float64) {
	t.Helper()
	for field, v := range want {
		values := got[field]
		switch {
		case v == nil && len(values) > 0:
			t.Errorf("%s: %s is %v, the JSON says null", where, field, values)
		case v != nil && (len(values) != 1 || values[0] != *v):
			t.Errorf("%s: %s is %v, the JSON says %v", where, field, values, *v)
		}
		delete(got, field)
	}
	for field := range got {
		t.Errorf("%s: %s is on the page and not compared", where, field)
	}
}

func compareHeadroom(t *testing.T, page string, want *wire.Headroom) {
	t.Helper()
	_, rest, ok := strings.Cut(page, `class="lines limits"`)
	if want == nil {
		if ok {
			t.Error("the page has limits, the JSON no headroom")
		}
		return
	}
	list, _, _ := strings.Cut(rest, "</dl>")
	got := numbers(t, list)
	for i, l := range want.Limits {
		if got["amount"][i] != l.Amount || got["limit"][i] != l.Limit {
			t.Errorf("limit %s: %v of %v, the JSON says %v of %v", l.Rule, got["amount"][i], got["limit"][i], l.Amount, l.Limit)
		}
	}
	if n := len(got["amount"]); n != len(want.Limits) {
		t.Errorf("%d limits, the JSON has %d", n, len(want.Limits))
	}
	if amount := numbers(t, page)["headroom.amount"]; want.Amount == nil && len(amount) > 0 ||
		want.Amount != nil && (len(amount) == 1 && amount[0] != *want.Amount || len(amount) == 0 && *want.Amount >= 0.1) {
		t.Errorf("headroom %v, the JSON says %v", amount, want.Amount)
	}
}
