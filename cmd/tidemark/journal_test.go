//go:build linux

package main

import (
	"path/filepath"
	"testing"
)

// TestOlderSchema has a journal of the first schema brought up to date by a
// command that only reads, and the same said as before.
func TestOlderSchema(t *testing.T) {
	for _, args := range [][]string{{"load", "--json", "--on", "2021-09-12"}, {"check"}} {
		db := filepath.Join(t.TempDir(), "a.db")
		if _, errs, code := command(t.Context(), "import", "--zone", "UTC", "--db", db, exports(t, 3, 60)); code != exitDone {
			t.Fatal(errs)
		}
		args = append(args, "--db", db)
		want, _, _ := command(t.Context(), args...)
		for _, statement := range []string{
			"DROP TABLE told", "DROP TABLE news", "DROP TABLE evening", "DROP TABLE wish",
			"DROP TABLE squad_group", "DROP TABLE note", "DROP TABLE glance", "DROP TABLE removal", "DROP TABLE token", "DROP TABLE look", "DROP TABLE invitation", "DROP TABLE granted", "DROP TABLE sign_in", "DROP TABLE account",
			"DROP TABLE feed", "DROP TABLE gate", "DROP TABLE ramp", "DROP TABLE standing_order", "DROP TABLE routine_dose", "DROP TABLE routine", "DROP TABLE away", "DROP TABLE exercise_log", "DROP TABLE prescription", "DROP TABLE result", "DROP TABLE red_flag", "DROP TABLE morning", "DROP TABLE complaint_base", "DROP TABLE complaint_step", "DROP TABLE complaint", "DROP TABLE race", "ALTER TABLE session DROP COLUMN heart_peak", "ALTER TABLE session DROP COLUMN heart_times",
			"ALTER TABLE session DROP COLUMN heart_covered", "ALTER TABLE session DROP COLUMN speeds", "ALTER TABLE session DROP COLUMN measure_tendon",
			"ALTER TABLE session DROP COLUMN tendon_low", "ALTER TABLE session DROP COLUMN tendon_high",
			"DROP TABLE gap", "ALTER TABLE session DROP COLUMN double", "ALTER TABLE session DROP COLUMN shoe",
			"ALTER TABLE session DROP COLUMN note", "ALTER TABLE session DROP COLUMN run_spells", "ALTER TABLE session DROP COLUMN flat_acsm",
			"ALTER TABLE session DROP COLUMN measure_run_distance", "ALTER TABLE session DROP COLUMN measure_run_time", "ALTER TABLE session DROP COLUMN measure_flat",
			"DROP TABLE edit", "ALTER TABLE session DROP COLUMN excluded",
			"DELETE FROM migration WHERE version_id > 1", "PRAGMA user_version = 1",
		} {
			alter(t, db, statement)
		}
		got, errs, code := command(t.Context(), args...)
		if code != exitDone || got != want {
			t.Errorf("%v: exit %d, %s\n%s\nwant\n%s", args, code, errs, got, want)
		}
	}
}
