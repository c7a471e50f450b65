package journal_test

import (
	"crypto/sha256"
	"errors"
	"path/filepath"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
)

var monday = load.Date(2026, time.March, 2)

// season opens a book with twelve weeks of 14, 8, 8 and 8 km and one run of 18
// km on the day after, which is 29 % over the longest of 30 days.
func season(t *testing.T) *journal.Book {
	t.Helper()
	store, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "a.db"), sqlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close() })
	j := journal.New(store, func() load.Instant { return load.InstantOf(monday.Noon()) }, journal.Versions{Decoder: 1, Model: 1, Rules: 1})
	r, err := j.AddRunner(t.Context(), "Edda", "UTC", monday)
	if err != nil {
		t.Fatal(err)
	}
	book, err := j.Open(t.Context(), journal.Local, r.ID)
	if err != nil {
		t.Fatal(err)
	}
	rec := journal.Recording{Sum: sha256.Sum256([]byte("season")), Path: "season", Format: "fit", Packed: journal.Pack([]byte("season")), Size: 6}
	for i := range 85 {
		km := []float64{14, 0, 8, 0, 8, 0, 8}[i%7]
		if i == 84 {
			km = 18
		}
		if km == 0 {
			continue
		}
		day := monday + load.Day(i)
		s := load.Session{Day: day, Start: load.InstantOf(day.Noon()), Sport: load.Running, Zone: load.Zone{Name: "UTC", Source: load.ZoneFromHome}}
		s.End = s.Start.Add(time.Hour)
		s.Measures.Set(load.Distance, load.Distance.Of(km))
		rec.Sessions = append(rec.Sessions, s)
	}
	if _, err := book.Add(t.Context(), []journal.Recording{rec}); err != nil {
		t.Fatal(err)
	}
	return book
}

func picture(t *testing.T, book *journal.Book, on load.Day) journal.Picture {
	t.Helper()
	p, err := book.Picture(t.Context(), on, assess.Query{Measure: load.Distance, From: on, To: on})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func TestPictureWritesNothing(t *testing.T) {
	book := season(t)
	before, err := book.Runner(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	p := picture(t, book, monday+84)
	if len(p.Findings) != 1 || p.Findings[0].State != journal.Open {
		t.Errorf("findings %+v, want one that is open", p.Findings)
	}
	after, err := book.Runner(t.Context())
	if err != nil || after.Revision != before.Revision {
		t.Errorf("revision %d after %d, %v", after.Revision, before.Revision, err)
	}
	if kept, err := book.Findings(t.Context()); err != nil || len(kept) != 0 {
		t.Errorf("kept %+v, %v", kept, err)
	}
}

func TestRefresh(t *testing.T) {
	book := season(t)
	today := monday + 84
	if err := book.Refresh(t.Context(), today); err != nil {
		t.Fatal(err)
	}
	kept, err := book.Findings(t.Context())
	if err != nil || len(kept) != 1 || kept[0].Rule != load.RuleSessionSpike || kept[0].State != journal.Open {
		t.Fatalf("kept %+v, %v; want the spike, open", kept, err)
	}
	s, err := book.Standing(t.Context(), today)
	if err != nil {
		t.Fatal(err)
	}
	// 18 + 3 x 8 km in seven days; 14 km the longest of the 30 days before.
	if s.WeekDistance != load.Distance.Of(42) || s.Tidemark != load.Distance.Of(14) || s.Whole.OpenFindings != 1 ||
		s.LastRecord != today || s.Whole.Amount != 0 || s.Whole.Decides != load.LimitDay {
		t.Errorf("standing %+v", s)
	}
	if _, err := book.Standing(t.Context(), today+1); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("standing of another day: %v, want ErrNotFound", err)
	}
	if err := book.Set(t.Context(), "novice", today, "1"); err != nil {
		t.Fatal(err)
	}
	if _, err := book.Standing(t.Context(), today); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("standing of an older revision: %v, want ErrNotFound", err)
	}
}

func TestRefreshAsOfThePast(t *testing.T) {
	book := season(t)
	for _, day := range []load.Day{monday + 84, monday + 50} {
		if err := book.Refresh(t.Context(), day); err != nil {
			t.Fatal(err)
		}
	}
	kept, err := book.Findings(t.Context())
	if err != nil || len(kept) != 1 || kept[0].State != journal.Open {
		t.Errorf("kept %+v, %v; want the spike still open", kept, err)
	}
}

// A picture of the past knows nothing of what was found since.
func TestPictureOfThePast(t *testing.T) {
	book := season(t)
	if err := book.Refresh(t.Context(), monday+84); err != nil {
		t.Fatal(err)
	}
	if p := picture(t, book, monday+80); len(p.Findings) != 0 || p.Day != monday+80 {
		t.Errorf("findings of %v: %+v, want none", p.Day, p.Findings)
	}
	// Nothing was recorded since, which is a finding of its own.
	if p := picture(t, book, monday+84+14); len(p.Findings) != 2 || p.Findings[0].State != journal.Closed || p.Findings[1].Rule != load.RuleData {
		t.Errorf("two quiet weeks later: %+v, want it closed", p.Findings)
	}
}

func TestSettingsReachThePicture(t *testing.T) {
	book := season(t)
	if err := book.Set(t.Context(), "session-share", monday+83, "0.3"); err != nil {
		t.Fatal(err)
	}
	// The longest held run 7 to 30 days old is 14 km, and 30 % of it 4.2.
	for _, l := range picture(t, book, monday+83).Headroom.Limits {
		if l.Rule == load.LimitSession && l.Limit != load.Distance.Of(18.2) {
			t.Errorf("session at most %d mm, want 18.2 km", l.Limit)
		}
	}
	for _, bad := range []string{"much", "3", "-0.1", "NaN"} {
		if err := book.Set(t.Context(), "session-share", monday+84, bad); err == nil {
			t.Errorf("a session-share of %s was kept", bad)
		}
	}
}
