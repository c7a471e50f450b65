//go:build linux

package main

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"

	"tidemark/web/api/wire"
)

// TestRederive spoils derived rows, as an older program may have made them, and
// has them made anew from the originals.
func TestRederive(t *testing.T) {
	db := filepath.Join(t.TempDir(), "a.db")
	if _, errs, code := command(t.Context(), "import", "--zone", "UTC", "--db", db, exports(t, 3, 60)); code != exitDone {
		t.Fatal(errs)
	}
	want, _, _ := command(t.Context(), "load", "--json", "--on", "2021-09-12", "--db", db)
	out, errs, code := command(t.Context(), "rederive", "--on", "2021-09-12", "--db", db)
	if code != exitDone || out != "3 files read again, 3 recordings: nothing changed.\n" {
		t.Errorf("exit %d: %s%s", code, out, errs)
	}
	alter(t, db, "UPDATE session SET distance = 1234, measure_distance = 1234000, moving = 5000000000 WHERE id = (SELECT min(id) FROM session)")
	out, errs, code = command(t.Context(), "rederive", "--json", "--on", "2021-09-12", "--db", db)
	var got wire.Rederived
	if err := json.Unmarshal([]byte(out), &got); err != nil || code != exitDone {
		t.Fatalf("exit %d: %s%s", code, out, errs)
	}
	if len(got.Changed) != 1 || len(got.Added)+len(got.Gone) != 0 || got.Originals != 3 || got.Sessions != 3 {
		t.Fatalf("%+v", got)
	}
	fields := got.Changed[0].Fields
	if fields["distance_m"].Before != 1234.0 || fields["moving_s"].Before != 5.0 || fields["measures.distance"].Before != 1.234 || len(fields) != 3 {
		t.Errorf("fields %+v", fields)
	}
	if after, _, _ := command(t.Context(), "load", "--json", "--on", "2021-09-12", "--db", db); after != want {
		t.Errorf("load says\n%s\nwant\n%s", after, want)
	}
	alter(t, db, "UPDATE session SET distance = 1234 WHERE id = (SELECT min(id) FROM session)")
	out, _, _ = command(t.Context(), "rederive", "--on", "2021-09-12", "--db", db)
	if !strings.Contains(out, "1 changed, 0 new, 0 gone.\n") || !strings.Contains(out, "distance_m: ") || !strings.Contains(out, ", was 1234\n") {
		t.Errorf("said %q", out)
	}
}
