package sqlite

import (
	"bytes"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
	"tidemark/load/journal"
)

// schema1 makes a journal as the first migration alone leaves it, with rows.
func schema1(t *testing.T) (path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "a.db")
	db, err := sql.Open("sqlite", writing(path))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	if err := upTo(t.Context(), db, 1); err != nil {
		t.Fatal(err)
	}
	for _, statement := range []string{
		`INSERT INTO runner VALUES ('a', 'Ada', 'UTC', 20000, 7)`,
		`INSERT INTO original VALUES (1, 'a', zeroblob(32), 'evening.fit', 'fit', 0, 99)`,
		`INSERT INTO original_content VALUES (1, x'00')`,
		`INSERT INTO zone_decision VALUES ('a', 's', zeroblob(32), 'UTC', 0, 'file', 20513)`,
		`INSERT INTO setting VALUES (1, 'a', 'novice', 20000, '1', 'local', 99)`,
		`INSERT INTO activity VALUES ('a', 's', zeroblob(32), 'running', 'trail', 'trail', 1772366400000, 1772370000000, 0,
			'UTC', 0, 'file', 'a watch', 3600, 4, 1, '[]')`,
		`INSERT INTO session VALUES ('a', 20513, 1772366400000, 's', 'running', 1, 0, 3600000000000, 0, 0, 0, 0,
			10000.5, 'device', 10000.5, 0, NULL, NULL, 150, 170, 168.5, 9000, 'cadence', 10000500, NULL, NULL, 9000)`,
		`INSERT INTO stamp VALUES ('a', 'sessions', 1, 1, 1)`,
	} {
		if _, err := db.ExecContext(t.Context(), statement); err != nil {
			t.Fatalf("%s: %v", statement, err)
		}
	}
	if version, err := pragma(t.Context(), db, "user_version"); version != 1 || err != nil {
		t.Fatalf("the journal is of schema %d, %v; want 1", version, err)
	}
	return path
}

func TestOlderSchema(t *testing.T) {
	path := schema1(t)
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if s, err := Open(t.Context(), path, Options{ReadOnly: true}); !errors.Is(err, journal.ErrOlder) {
		t.Errorf("opened to read: %v, %v; want ErrOlder", s, err)
	}
	if after, err := os.ReadFile(path); !bytes.Equal(after, before) || err != nil {
		t.Errorf("opening it to read changed it, %v", err)
	}
	for _, o := range []Options{{}, {ReadOnly: true}, {}} { // the first brings it up to date
		s, err := Open(t.Context(), path, o)
		if err != nil {
			t.Fatalf("%+v: %v", o, err)
		}
		sameRows(t, s)
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

// sameRows looks for the rows of schema1 and for what the schema adds to them.
func sameRows(t *testing.T, s *Store) {
	t.Helper()
	start := load.Instant(1_772_366_400_000)
	want := load.Session{
		ID: "s", Day: 20513, Start: start, End: start.Add(time.Hour), Zone: load.Zone{Name: "UTC", Source: load.ZoneFromFile},
		Sport: load.Running, Detail: "trail", Surface: load.Trail, Race: true, Elapsed: time.Hour,
		Distance: 10000.5, DistanceSource: load.DistanceFromDevice, DeviceDistance: 10000.5,
		HeartMean: 150, HeartMax: 170, CadenceMean: 168.5, Steps: 9000, StepsSource: load.StepsFromCadence,
		Points: 3600, Laps: 4, HasPositions: true, Device: "a watch", Excluded: false,
	}
	want.Measures.Set(load.Distance, 10_000_500)
	want.Measures.Set(load.Steps, 9000)
	err := s.View(t.Context(), func(tx journal.Tx) error {
		sessions, err := tx.Sessions("a")
		if diff := cmp.Diff([]load.Session{want}, sessions, cmp.AllowUnexported(load.Amounts{})); diff != "" || err != nil {
			t.Errorf("sessions, %v (-want +got):\n%s", err, diff)
		}
		runner, err := tx.Runner("a")
		if runner.Revision != 7 || err != nil {
			t.Errorf("runner %+v, %v", runner, err)
		}
		originals, err := tx.Originals("a")
		if len(originals) != 1 || originals[0].Path != "evening.fit" || err != nil {
			t.Errorf("originals %+v, %v", originals, err)
		}
		zones, err := tx.Zones("a")
		if len(zones) != 1 || zones[0].Day != 20513 || err != nil {
			t.Errorf("zones %+v, %v", zones, err)
		}
		settings, err := tx.Settings("a")
		if len(settings) != 1 || settings[0].Value != "1" || err != nil {
			t.Errorf("settings %+v, %v", settings, err)
		}
		edits, err := tx.Edits("a")
		if len(edits) != 0 || err != nil {
			t.Errorf("edits %+v, %v", edits, err)
		}
		lines, err := tx.Integrity()
		if len(lines) != 0 || err != nil {
			t.Errorf("integrity %v, %v", lines, err)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
