package journal_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
	"tidemark/load/journal"
)

// Days of an invented autumn: the program is first used on day 100.
const firstUse load.Day = 100

func said(level load.Level, day, last load.Day) load.Finding {
	return load.Finding{ID: "week-jump/1", Rule: "week-jump", Level: level, Day: day, LastDay: last}
}

func stands(f load.Finding, state journal.State, by journal.Person, why string, reopened load.Day) journal.Finding {
	return journal.Finding{Finding: f, State: state, By: by, Why: why, Reopened: reopened}
}

// TestReconcile walks through one finding. The expected states follow from the
// rules in words: open until answered, closed before the first use or after 14
// quiet days, open again by a level that rises, withdrawn without a cause.
func TestReconcile(t *testing.T) {
	const (
		history = "before the first use"
		quiet   = "quiet for 14 days"
		gone    = "its cause is gone"
		rose    = "level rose from note to caution"
	)
	note := said(load.Remark, 110, 110)
	caution := said(load.Caution, 110, 110)
	cases := []struct {
		name   string
		before []journal.Finding
		now    []load.Finding
		today  load.Day
		want   []journal.Finding
	}{
		{"nothing", nil, nil, 110, []journal.Finding{}},
		{"new", nil, one(note), 110, some(stands(note, journal.Open, journal.Rules, "", 0))},
		{"new, the 13th day after", nil, one(note), 123, some(stands(note, journal.Open, journal.Rules, "", 0))},
		{"new, the 14th day after", nil, one(note), 124, some(stands(note, journal.Closed, journal.Rules, quiet, 0))},
		{
			"new, the day before the first use", nil, one(said(load.Stop, 90, 99)), 100,
			some(stands(said(load.Stop, 90, 99), journal.Closed, journal.Rules, history, 0)),
		},
		{
			"new, the episode goes on into the first day", nil, one(said(load.Stop, 90, 100)), 100,
			some(stands(said(load.Stop, 90, 100), journal.Open, journal.Rules, "", 0)),
		},
		{
			"another value", some(stands(caution, journal.SetAside, "local", "a race", 0)), one(note), 111,
			some(stands(note, journal.SetAside, "local", "a race", 0)),
		},
		{
			"level rises, open", some(stands(note, journal.Open, journal.Rules, "", 0)), one(caution), 111,
			some(stands(caution, journal.Open, journal.Rules, rose, 111)),
		},
		{
			"level rises, set aside", some(stands(note, journal.SetAside, "local", "a race", 0)), one(caution), 111,
			some(stands(caution, journal.Open, journal.Rules, rose, 111)),
		},
		{
			"level rises long after", some(stands(note, journal.Closed, journal.Rules, quiet, 0)), one(caution), 150,
			some(stands(caution, journal.Open, journal.Rules, rose, 150)),
		},
		{
			"opened again, quiet since", some(stands(caution, journal.Open, journal.Rules, rose, 150)), one(caution), 164,
			some(stands(caution, journal.Closed, journal.Rules, quiet, 150)),
		},
		{
			"level rises in history", some(stands(said(load.Remark, 90, 90), journal.Closed, journal.Rules, history, 0)),
			one(said(load.Stop, 90, 90)), 111, some(stands(said(load.Stop, 90, 90), journal.Closed, journal.Rules, history, 0)),
		},
		{
			"history that somebody set aside", some(stands(said(load.Remark, 90, 90), journal.SetAside, "local", "ill", 0)),
			one(said(load.Remark, 90, 90)), 111, some(stands(said(load.Remark, 90, 90), journal.SetAside, "local", "ill", 0)),
		},
		{
			"seen and quiet", some(stands(note, journal.Seen, "local", "", 0)), one(note), 124,
			some(stands(note, journal.Closed, journal.Rules, quiet, 0)),
		},
		{
			"set aside and quiet", some(stands(note, journal.SetAside, "local", "a race", 0)), one(note), 124,
			some(stands(note, journal.SetAside, "local", "a race", 0)),
		},
		{
			"closed as quiet, no longer quiet", some(stands(note, journal.Closed, journal.Rules, quiet, 0)),
			one(said(load.Remark, 110, 120)), 124, some(stands(said(load.Remark, 110, 120), journal.Open, journal.Rules, "", 0)),
		},
		{
			"closed by a person, more evidence", some(stands(note, journal.Closed, "local", "rested", 0)),
			one(said(load.Remark, 110, 112)), 112, some(stands(said(load.Remark, 110, 112), journal.Closed, "local", "rested", 0)),
		},
		{
			"gone", some(stands(note, journal.SetAside, "local", "a race", 0)), nil, 111,
			some(stands(note, journal.Withdrawn, journal.Rules, gone, 0)),
		},
		{
			"still gone", some(stands(note, journal.Withdrawn, journal.Rules, gone, 0)), nil, 150,
			some(stands(note, journal.Withdrawn, journal.Rules, gone, 0)),
		},
		{
			"back after it was withdrawn", some(stands(note, journal.Withdrawn, journal.Rules, gone, 0)), one(note), 112,
			some(stands(note, journal.Open, journal.Rules, "", 0)),
		},
		{
			"back and quiet", some(stands(note, journal.Withdrawn, journal.Rules, gone, 0)), one(note), 124,
			some(stands(note, journal.Closed, journal.Rules, quiet, 0)),
		},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got := journal.Reconcile(c.before, c.now, c.today, firstUse)
			if d := cmp.Diff(c.want, got); d != "" {
				t.Errorf("(-want +got):\n%s", d)
			}
			again := journal.Reconcile(got, c.now, c.today, firstUse)
			if d := cmp.Diff(got, again); d != "" {
				t.Errorf("a second time it differs (-first +second):\n%s", d)
			}
		})
	}
}

func one(f load.Finding) []load.Finding           { return []load.Finding{f} }
func some(f ...journal.Finding) []journal.Finding { return f }

func TestReconcileOrder(t *testing.T) {
	at := func(id string, day load.Day) load.Finding { return load.Finding{ID: id, Day: day, LastDay: day} }
	before := some(stands(at("gone", 111), journal.Open, journal.Rules, "", 0))
	got := journal.Reconcile(before, []load.Finding{at("b", 112), at("z", 111), at("a", 112)}, 112, firstUse)
	var ids []string
	for _, f := range got {
		ids = append(ids, f.ID)
	}
	if d := cmp.Diff([]string{"gone", "z", "a", "b"}, ids); d != "" {
		t.Error(d)
	}
	defer func() {
		if recover() == nil {
			t.Error("an ID that appears twice was taken")
		}
	}()
	journal.Reconcile(nil, []load.Finding{at("a", 1), at("a", 2)}, 112, firstUse)
}
