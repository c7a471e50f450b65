package main

import (
	"archive/zip"
	"bufio"
	"bytes"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
	"tidemark/web/api/wire"
)

const (
	kills     = 200
	killFiles = 80 // a full group and a part of one
)

// noSleep keeps the race detector from waiting a second at the end of every
// program that the tests run.
const noSleep = "GORACE=atexit_sleep_ms=0"

// TestKilledImport kills the import 200 times at chance moments, each time with
// a signal that no program can catch. After each, the journal must be sound and
// hold all that was reported; run again, the import finishes the work; and what
// comes out in the end is what an import that nobody killed makes. A quarter of the
// files lie in the folder, the others in an archive, half of them one deeper.
func TestKilledImport(t *testing.T) {
	dir := t.TempDir()
	binary := link(t, dir)
	exports := filepath.Join(dir, "exports")
	if err := os.Mkdir(exports, 0o700); err != nil {
		t.Fatal(err)
	}
	var outer, inner [][2]string
	for n := range killFiles {
		file := [2]string{fmt.Sprintf("runs/%03d.fit", n), string(watchFIT(n, 60))}
		switch {
		case n >= killFiles*5/8:
			inner = append(inner, file)
		case n >= killFiles/4:
			outer = append(outer, file)
		default:
			put(t, filepath.Join(exports, fmt.Sprintf("%03d.fit", n)), []byte(file[1]))
		}
	}
	outer = append(outer, [2]string{"older.zip", string(zipped(t, inner...))})
	put(t, filepath.Join(exports, "history.zip"), zipped(t, outer...))
	whole := filepath.Join(dir, "whole.db")
	start := time.Now()
	if reported, killed := importUntil(t, binary, whole, exports, time.Hour); killed || len(reported) != killFiles {
		t.Fatalf("undisturbed: %d reported, killed %v", len(reported), killed)
	}
	within := time.Since(start) // the shortest whole import so far

	rng := rand.New(rand.NewPCG(1, 2))
	killed, finished := 0, 0
	for killed < kills {
		db := filepath.Join(dir, fmt.Sprintf("%d.db", finished))
		reported := make(map[string]bool)
		for {
			delay := time.Duration(rng.Int64N(int64(within * 5 / 4)))
			if killed >= kills {
				delay = time.Hour
			}
			start := time.Now()
			more, dead := importUntil(t, binary, db, exports, delay)
			for _, sum := range more {
				reported[sum] = true
			}
			took := time.Since(start)
			checkJournal(t, db, reported, !dead)
			if !dead {
				within = min(within, took)
				break
			}
			killed++
		}
		finished++
		sameSessions(t, db, whole)
	}
	t.Logf("%d kills in %d imports that were run until they were done", killed, finished)
}

func put(t testing.TB, path string, data []byte) {
	t.Helper()
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
}

// zipped packs files, by name and content.
func zipped(t testing.TB, files ...[2]string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, f := range files {
		member, err := w.Create(f[0])
		if err == nil {
			_, err = io.WriteString(member, f[1])
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// link gives the test binary the name under which it is the program.
func link(t *testing.T, dir string) string {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	binary := filepath.Join(dir, "tidemark")
	if err := os.Symlink(self, binary); err != nil {
		t.Fatal(err)
	}
	return binary
}

// importUntil runs the import and kills it after a while. It returns the sums of
// the files that were reported to be in the journal.
func importUntil(t *testing.T, binary, db, exports string, after time.Duration) (sums []string, killed bool) {
	t.Helper()
	cmd := exec.Command(binary, "import", "--json", "--zone", "UTC", "--db", db, exports)
	cmd.Env = append(os.Environ(), noSleep)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	timer := time.AfterFunc(after, func() { _ = cmd.Process.Kill() })
	defer timer.Stop()
	lines := bufio.NewReader(out)
	for {
		line, err := lines.ReadBytes('\n')
		if err != nil { // the last line may be cut: it was not reported
			break
		}
		var told wire.Imported
		if err := json.Unmarshal(line, &told); err != nil {
			t.Fatalf("%v in %q", err, line)
		}
		if told.SHA256 != nil {
			sums = append(sums, *told.SHA256)
		}
	}
	_, _ = io.Copy(io.Discard, lines)
	err = cmd.Wait()
	return sums, err != nil
}

// checkJournal wants a sound journal that holds all that was reported, and every
// file if the import came to its end.
func checkJournal(t *testing.T, db string, reported map[string]bool, done bool) {
	t.Helper()
	if _, err := os.Stat(db); err != nil {
		if len(reported) > 0 {
			t.Fatalf("%d reported, and no journal: %v", len(reported), err)
		}
		return
	}
	book := openBook(t, db)
	if book.Book == nil {
		if len(reported) > 0 {
			t.Fatalf("%d reported, and no runner", len(reported))
		}
		return
	}
	defer book.Close()
	originals, err := book.Originals(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	kept := make(map[string]bool)
	for _, o := range originals {
		kept[hex.EncodeToString(o.Sum[:])] = true
	}
	for sum := range reported {
		if !kept[sum] {
			t.Fatalf("%s was reported and is not kept", sum)
		}
	}
	sessions, err := book.Sessions(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if len(sessions) != len(originals) {
		t.Fatalf("%d sessions of %d recordings: something is half kept", len(sessions), len(originals))
	}
	if done && len(originals) != killFiles {
		t.Fatalf("%d recordings after the end, want %d", len(originals), killFiles)
	}
}

// soundBook is the only runner's book of a sound journal, to be closed. It is nil
// if there is no runner yet.
type soundBook struct {
	*journal.Book
	*sqlite.Store
}

func openBook(t *testing.T, db string) soundBook {
	t.Helper()
	store, err := sqlite.Open(t.Context(), db, sqlite.Options{})
	if err != nil {
		t.Fatal(err)
	}
	j := journal.New(store, func() load.Instant { return 0 }, versions)
	problems, err := j.Check(t.Context())
	if err != nil || len(problems) > 0 {
		t.Fatalf("after a kill: %v, %v", problems, err)
	}
	runners, err := j.Runners(t.Context(), journal.Local)
	if err != nil {
		t.Fatal(err)
	}
	if len(runners) == 0 {
		store.Close()
		return soundBook{}
	}
	book, err := j.Open(t.Context(), journal.Local, runners[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	return soundBook{book, store}
}

func sameSessions(t *testing.T, db, whole string) {
	t.Helper()
	killed, undisturbed := openBook(t, db), openBook(t, whole)
	defer killed.Close()
	defer undisturbed.Close()
	got, err := killed.Sessions(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	want, err := undisturbed.Sessions(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for i := range want {
		if got[i].ID != want[i].ID || got[i].Measures != want[i].Measures {
			t.Fatalf("session %d is %+v, want %+v", i, got[i], want[i])
		}
	}
}
