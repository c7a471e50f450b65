package main

import (
	"archive/zip"
	"bytes"
	"database/sql"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
	"tidemark/web/api/intake"
)

// carried are the tables of which a logbook's zip holds every row of its runner, and every
// column but those named: what another journal gives itself.
var carried = map[string]string{
	"runner": "id revision", "original": "", "original_content": "", "zone_decision": "", "rest": "",
	"setting": "", "edit": "", "gap": "", "race": "",
	"complaint": "", "complaint_step": "", "complaint_base": "", "morning": "", "red_flag": "", "result": "",
	"prescription": "", "exercise_log": "", "away": "", "routine": "", "routine_dose": "", "standing_order": "",
	"ramp": "", "gate": "", "note": "", "finding": "", "finding_state": "",
}

// notCarried are the others, and why.
var notCarried = map[string]string{
	"activity":  "derived from originals",
	"session":   "derived from originals and what was said of them",
	"standing":  "derived from everything",
	"stamp":     "the versions of what is derived",
	"feed":      "hashes of secrets that are this journal's own",
	"migration": "which migrations were run",

	"account": "who signs in is of this journal", "sign_in": "secrets of browsers", "token": "secrets of programs", "invitation": "secrets of links",
	"granted": "who is let in is decided anew elsewhere", "look": "who looked at it here", "removal": "when it is deleted here",
	"glance": "what somebody last saw of it here", "squad_group": "how somebody else sorts it",
	"wish": "how somebody hears of it is of their account here", "evening": "what was new to somebody here", "news": "the same", "told": "the same",
}

const nessasDay = "2026-06-01"

// fullNessa is the club's runner who follows a complaint, with rows in every table that is
// carried.
func fullNessa(t *testing.T) (db string) {
	t.Helper()
	dir := t.TempDir()
	if _, errs, code := command(t.Context(), "demo", "--on", nessasDay, "--dir", filepath.Join(dir, "club"), "--json"); code != exitDone {
		t.Fatal(errs)
	}
	db = filepath.Join(dir, "club", "tidemark.db")
	diary := filepath.Join(dir, "diary.csv")
	must(t, os.WriteFile(diary, []byte("date,kind,duration_min\n2026-05-03,rest,\n2026-05-05,walk,40\n"), 0o600))
	if _, errs, code := command(t.Context(), "import", "--db", db, "--runner", "Nessa Vale", "--on", nessasDay, diary); code != exitDone {
		t.Fatal(errs)
	}
	store, err := sqlite.Open(t.Context(), db, sqlite.Options{})
	must(t, err)
	defer store.Close()
	today := mustDay(t, nessasDay)
	now := today.Noon()
	clock := func() load.Instant {
		now = now.Add(1234 * time.Millisecond)
		return load.InstantOf(now)
	}
	j := journal.New(store, clock, versions)
	runner, err := j.Find(t.Context(), journal.Local, "Nessa Vale")
	must(t, err)
	book, err := j.Open(t.Context(), journal.Local, runner.ID)
	must(t, err)
	fill(t, book, runner, today)
	must(t, book.Refresh(t.Context(), today))
	return db
}

// fill says something of everything that can be said.
func fill(t *testing.T, book *journal.Book, runner journal.Runner, today load.Day) {
	t.Helper()
	ctx := t.Context()
	complaints, err := book.Complaints(ctx)
	must(t, err)
	id := complaints[0].ID
	must(t, book.SetAll(ctx, today-40, []journal.Choice{{Key: "heart-rest", Value: "51"}, {Key: "heart-max", Value: "187"}}))
	home, err := time.LoadLocation(runner.Home)
	must(t, err)
	redo := intake.Redo(intake.Options{Limits: ingest.DefaultLimits, Now: load.InstantOf(today.Noon()), Home: home})
	sessions, err := book.Sessions(ctx)
	must(t, err)
	must(t, book.Edit(ctx, sessions[2].ID, 0, map[string]string{"exertion": "6", "note": "=1+1, \"wet\"\nand back"}, redo))
	must(t, book.Edit(ctx, sessions[2].ID, 2, map[string]string{"exertion": ""}, redo))
	must(t, book.AnswerGap(ctx, load.Gap{DaySpan: load.DaySpan{First: today - 300, Last: today - 290}, Answer: load.GapRan, Runs: 3, Longest: load.Distance.Of(9.5)}))
	must(t, book.PlanRace(ctx, load.PlannedRace{Day: today + 60, Name: "Harbour mile", Distance: load.Distance.Of(1.609)}, true))

	both := []rehab.Side{rehab.Left, rehab.Right}
	calf := func(opened load.Day) rehab.Complaint {
		return rehab.Complaint{Site: rehab.Calf, Onset: opened - 2, Steps: []rehab.Step{{Day: opened, Status: rehab.Open}}}
	}
	calves, err := book.OpenComplaint(ctx, calf(today-60), both, "")
	must(t, err)
	for _, one := range calves {
		must(t, book.StepComplaint(ctx, one, rehab.Step{Day: today - 50, Status: rehab.Closed}, "quiet"))
	}
	_, err = book.OpenComplaint(ctx, calf(today-40), both, "again")
	must(t, err)
	for _, one := range calves {
		must(t, book.StepComplaint(ctx, one, rehab.Step{Day: today - 35, Status: rehab.Closed}, "quiet again"))
	}
	pain, stiff := 1.5, 12.0
	must(t, book.SetBase(ctx, id, rehab.Base{From: today - 20, Pain: &pain, Stiffness: &stiff}))
	score, minutes, limp := uint8(3), 25, true
	morning := rehab.Morning{Complaint: id, Day: today - 30, Before: &score, During: &score, After: &score, Next: &score, Stiffness: &minutes, Limp: &limp}
	_, err = book.AddMornings(ctx, []journal.Morning{{Morning: morning}})
	must(t, err)
	must(t, book.RaiseFlag(ctx, "night", today-3, "woke up twice"))
	must(t, book.LiftFlag(ctx, "night", today-2, "seen by a doctor"))
	left, right, total := 12.0, 20.0, 78.0
	must(t, book.AddResult(ctx, rehab.Result{Test: rehab.Outcomes[indexOf(t, true)].ID, Day: today - 4, Left: &left, Right: &right, Note: "after work"}))
	must(t, book.AddResult(ctx, rehab.Result{Test: rehab.Outcomes[indexOf(t, false)].ID, Day: today - 4, Total: &total}))

	dose := rehab.Dose{Exercise: "stand_raise_2", Sets: 3, Reps: 12, Hold: 2, Minutes: 1, Weight: 2.5, PerDay: 1, DaysPerWeek: 7, MinHours: 20, Side: "both", Note: "slow"}
	own, err := book.BuildRoutine(ctx, "At home", complaints[0].Site, 4, []rehab.Dose{dose, {Exercise: "ankle_pumps", Sets: 1, Reps: 60, PerDay: 2, DaysPerWeek: 7}})
	must(t, err)
	must(t, book.Prescribe(ctx, rehab.Prescription{Complaint: id, Programme: own, Started: today - 6, Phase: 1, State: rehab.Paused, From: today - 5}, "a week off"))
	must(t, book.LogDone(ctx, []rehab.Done{{Complaint: id, Day: today - 7, Exercise: "hold_raise_1", Sets: 5, Reps: 1, Hold: 45, Minutes: 2, Weight: 7.5, Pain: &score, Note: "slow"}}))
	must(t, book.GiveOrder(ctx, rehab.Order{Complaint: id, Phase: 1, Stage: 6, Until: today + 50}))
	must(t, book.SayAway(ctx, load.DaySpan{First: today - 12, Last: today - 10}, journal.Ill))
	gateWalk, raises, hops := 30, 12, 10
	must(t, book.PutNote(ctx, journal.Note{Kind: journal.NoteVisit, Day: today - 1, Next: today + 20, HasNext: true, Text: "calm"}))
	must(t, book.AddGate(ctx, ramp.Gate{Day: today - 1, DailyPain: &score, Walk: &gateWalk, WalkSettled: true, Raises: &raises, Hops: &hops, LoadPain: &score}))
	terms := ramp.Terms{
		Start: today, Weeks: 8, Free: [7]bool{true, false, true, false, true}, Goal: ramp.Goal{Km: 10, Pace: 6.5, By: today + 120, IsBy: true},
		BMI: 24.5, Novice: true, Own: []ramp.Stage{{Stage: 1, Reps: 10, Run: 1, Walk: 1}, {Stage: 2, Reps: 5, Run: 2.5, Walk: 1}}, First: 2, Confirm: true, Roof: 2, State: ramp.Held, Until: today + 3,
	}
	must(t, book.SetRamp(ctx, terms, "wait for the visit"))
	terms.Own, terms.Table, terms.First, terms.State, terms.Until = nil, "two-by-two", 0, ramp.Running, 0
	must(t, book.SetRamp(ctx, terms, "go on"))

	shin := rehab.Complaint{Site: rehab.Shin, Onset: today - 200, Bone: true, Steps: []rehab.Step{{Day: today - 180, Status: rehab.Open}}}
	shins, err := book.OpenComplaint(ctx, shin, []rehab.Side{rehab.Left, rehab.Right}, "both shins")
	must(t, err)
	for _, one := range shins {
		must(t, book.StepComplaint(ctx, one, rehab.Step{Day: today - 150, Status: rehab.Closed}, "gone"))
	}
	findings, err := book.Findings(ctx)
	must(t, err)
	for _, f := range findings {
		if f.State != journal.Withdrawn {
			must(t, book.Answer(ctx, f.ID, journal.SetAside, "a race"))
			must(t, book.Answer(ctx, f.ID, journal.Open, ""))
			break
		}
	}
	if _, err := book.OpenFeed(ctx); err != nil {
		t.Fatal(err)
	}
}

func indexOf(t *testing.T, sides bool) int {
	t.Helper()
	return slices.IndexFunc(rehab.Outcomes, func(o rehab.Outcome) bool { return o.Sides == sides })
}

func mustDay(t *testing.T, text string) load.Day {
	t.Helper()
	day, err := load.ParseDay(text)
	must(t, err)
	return day
}

// tidemark runs a command that must do all that it was asked for.
func tidemark(t *testing.T, args ...string) string {
	t.Helper()
	out, errs, code := command(t.Context(), args...)
	if code != exitDone {
		t.Fatalf("tidemark %s: exit %d\n%s%s", strings.Join(args, " "), code, out, errs)
	}
	return out
}

// TestWholeLogbook takes a logbook over into an empty journal, and back, and finds every
// row of every kept table there, by somebody elsewhere.
func TestWholeLogbook(t *testing.T) {
	from := fullNessa(t)
	dir := t.TempDir()
	there, first, second := filepath.Join(dir, "there.db"), filepath.Join(dir, "first.zip"), filepath.Join(dir, "second.zip")
	tidemark(t, "export", "--db", from, "--runner", "Nessa Vale", "--on", nessasDay, "-o", first)
	out := tidemark(t, "import", "--db", there, "--on", nessasDay, first)
	if !strings.Contains(out, "New for Nessa Vale: 36 runs, 1 other, ") || !strings.Contains(out, " entries of the logbook.") {
		t.Errorf("said %q", out)
	}
	compareTables(t, from, there)

	again := tidemark(t, "import", "--db", there, "--on", nessasDay, first)
	if want := []string{"0", "added", "38", "already", "kept", "0", "refused"}; !slices.Equal(strings.Fields(again), want) {
		t.Errorf("the second time it said\n%s", again)
	}
	tidemark(t, "export", "--db", there, "--on", nessasDay, "-o", second)
	old, now := members(t, first), members(t, second)
	if names := slices.Sorted(maps.Keys(old)); !slices.Equal(names, slices.Sorted(maps.Keys(now))) || len(names) != 7+37 {
		t.Errorf("members %v", names)
	}
	for name, want := range old {
		if got := strings.ReplaceAll(now[name], "elsewhere:local", "local"); got != want {
			t.Errorf("%s differs:\n%s", name, cmp.Diff(want, got))
		}
	}
	if !strings.Contains(now["logbook.json"], `"elsewhere:local"`) || strings.Contains(now["logbook.json"], `"local"`) || !strings.Contains(now["logbook.json"], `"rules"`) {
		t.Error("who said it is not somebody from elsewhere, or the rules are")
	}
	here := tidemark(t, "load", "--json", "--db", from, "--runner", "Nessa Vale", "--on", nessasDay)
	if got := strings.ReplaceAll(tidemark(t, "load", "--json", "--db", there, "--on", nessasDay), "elsewhere:", ""); got != here {
		t.Errorf("load differs:\n%s", cmp.Diff(here, got))
	}
	tidemark(t, "check", "--db", there)

	// Home again it is nothing new, although everybody is from elsewhere by now.
	if back := tidemark(t, "import", "--db", from, "--on", nessasDay, second); strings.Fields(back)[0] != "0" {
		t.Errorf("home again it said\n%s", back)
	}
}

// TestLoadElsewhere holds the club's logbook as it is, in which no person answered a
// finding, to the same byte.
func TestLoadElsewhere(t *testing.T) {
	dir := t.TempDir()
	tidemark(t, "demo", "--on", nessasDay, "--dir", filepath.Join(dir, "club"), "--json")
	from, there, packed := filepath.Join(dir, "club", "tidemark.db"), filepath.Join(dir, "there.db"), filepath.Join(dir, "a.zip")
	tidemark(t, "export", "--db", from, "--runner", "Nessa Vale", "--on", nessasDay, "-o", packed)
	tidemark(t, "import", "--db", there, "--on", nessasDay, packed)
	for _, on := range []string{nessasDay, "2026-04-25"} {
		want := tidemark(t, "load", "--json", "--db", from, "--runner", "Nessa Vale", "--on", on)
		if got := tidemark(t, "load", "--json", "--db", there, "--on", on); got != want {
			t.Errorf("on %s:\n%s", on, cmp.Diff(want, got))
		}
	}
}

func members(t *testing.T, path string) map[string]string {
	t.Helper()
	r, err := zip.OpenReader(path)
	must(t, err)
	defer r.Close()
	out := make(map[string]string)
	for _, f := range r.File {
		in, err := f.Open()
		must(t, err)
		data, err := io.ReadAll(in)
		must(t, err)
		out[f.Name] = string(data)
	}
	return out
}

// compareTables holds the rows of one runner against those of the only one elsewhere.
func compareTables(t *testing.T, from, there string) {
	t.Helper()
	a, b := openSQL(t, from), openSQL(t, there)
	tables := texts(t, a, `SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name`)
	listed := slices.Concat(slices.Collect(maps.Keys(carried)), slices.Collect(maps.Keys(notCarried)))
	for _, table := range listed {
		if !slices.Contains(tables, table) {
			t.Errorf("%s is listed here, and there is no such table", table)
		}
	}
	for _, table := range tables {
		except, ok := carried[table]
		if !ok {
			if notCarried[table] == "" {
				t.Errorf("table %s: a logbook's zip must carry it, or the list say why not", table)
			}
			continue
		}
		compareTable(t, a, b, table, strings.Fields(except))
	}
}

func compareTable(t *testing.T, a, b *sql.DB, table string, except []string) {
	t.Helper()
	columns := texts(t, a, `SELECT name FROM pragma_table_info('`+table+`')`)
	columns = slices.DeleteFunc(columns, func(c string) bool { return c == "seq" || c == "runner" || slices.Contains(except, c) })
	query := `SELECT ` + strings.Join(columns, ", ") + ` FROM ` + table + ` ORDER BY ` + strings.Join(columns, ", ")
	of := ` WHERE runner = (SELECT id FROM runner WHERE name = 'Nessa Vale')`
	switch table {
	case "runner":
		of = ` WHERE name = 'Nessa Vale'`
	case "original_content":
		of = ` WHERE seq IN (SELECT seq FROM original` + of + `)`
	}
	if slices.Contains(texts(t, a, `SELECT name FROM pragma_table_info('`+table+`')`), "seq") {
		query = strings.Split(query, " ORDER BY ")[0] + ` ORDER BY seq`
	}
	query = strings.Replace(query, " ORDER BY ", of+" ORDER BY ", 1)
	want, got := sqlRows(t, a, query), sqlRows(t, b, query)
	full := make(map[string]bool)
	for _, row := range want {
		for i, c := range columns {
			full[c] = full[c] || row[i] != "<nil>" && row[i] != "0" && row[i] != "" && row[i] != "[]"
			if c == "who" && row[i] != "rules" {
				row[i] = "elsewhere:" + row[i]
			}
		}
	}
	for _, c := range columns {
		if !full[c] {
			t.Errorf("%s.%s is empty in every row, so that it proves nothing: set it", table, c)
		}
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("table %s (-want +got):\n%.2000s", table, d)
	}
}

func openSQL(t *testing.T, path string) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	must(t, err)
	t.Cleanup(func() { db.Close() })
	return db
}

func texts(t *testing.T, db *sql.DB, query string) (out []string) {
	t.Helper()
	for _, row := range sqlRows(t, db, query) {
		out = append(out, row[0])
	}
	return out
}

func sqlRows(t *testing.T, db *sql.DB, query string) (out [][]string) {
	t.Helper()
	rows, err := db.QueryContext(t.Context(), query)
	if err != nil {
		t.Fatalf("%s: %v", query, err)
	}
	defer rows.Close()
	columns, err := rows.Columns()
	must(t, err)
	for rows.Next() {
		values, into := make([]any, len(columns)), make([]any, len(columns))
		for i := range values {
			into[i] = &values[i]
		}
		must(t, rows.Scan(into...))
		texts := make([]string, len(values))
		for i, v := range values {
			texts[i] = fmt.Sprint(v)
			if b, ok := v.([]byte); ok {
				texts[i] = fmt.Sprintf("%d bytes %x", len(b), bytes.Clone(b[:min(len(b), 40)]))
			}
		}
		out = append(out, texts)
	}
	must(t, rows.Err())
	return out
}
