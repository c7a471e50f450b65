package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/web/api/wire"
)

// TestCopiesUnderLoad backs a journal up again and again while a server takes
// writes and a command imports into it. Each copy holds what was acknowledged
// before it was begun; it is sound, and so is what is restored from it, with the
// digest that the backup told. In the end, when all are quiet, the digest of a
// copy is that of the journal.
func TestCopiesUnderLoad(t *testing.T) {
	dir := t.TempDir()
	db, exports := filepath.Join(dir, "a.db"), filepath.Join(dir, "exports")
	if err := os.Mkdir(exports, 0o700); err != nil {
		t.Fatal(err)
	}
	put(t, filepath.Join(exports, "first.csv"), []byte("date,start,distance_km,duration_min\n2026-05-01,07:30,6.2,38\n"))
	tell(t, "import", "--db", db, "--zone", "UTC", exports)
	for n := range 150 {
		put(t, filepath.Join(exports, fmt.Sprintf("%03d.fit", n)), watchFIT(n, 60))
	}
	book := openBook(t, db)
	runner, err := book.Runner(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	book.Close()

	today := load.Date(2026, time.June, 1)
	p := started(t, "serve", "--solo", "--quiet", "--on", today.String(), "--addr", "127.0.0.1:0", "--db", db)
	kept := newLedger()
	h := newHand(p.address, string(runner.ID), today, kept)
	if err := h.follow(); err != nil {
		t.Fatal(err)
	}
	var wait sync.WaitGroup
	var ended atomic.Bool
	var next atomic.Int64
	for _, write := range []func(int) error{h.race, h.morning, func(n int) error { return h.upload(n, 3) }} {
		wait.Go(func() { writeUntil(t, &ended, write, &next) })
	}
	wait.Go(func() { tell(t, "import", "--quiet", "--db", db, exports) })
	for i := range 4 {
		before := kept.snapshot()
		backUp(t, db, filepath.Join(dir, fmt.Sprintf("copy%d.db", i)), before)
	}
	ended.Store(true)
	wait.Wait()
	if n := kept.total(); n < 4 {
		t.Errorf("only %d writes were acknowledged: the journal was hardly under load", n)
	}
	last := backUp(t, db, filepath.Join(dir, "last.db"), kept)
	if got := checked(t, db); got != last {
		t.Errorf("the quiet journal has the digest %v, its copy %v", got, last)
	}
}

// backUp makes a copy, restores it elsewhere and looks at both.
func backUp(t *testing.T, db, path string, before *ledger) wire.Digest {
	t.Helper()
	var copied wire.Copied
	readJSON(t, &copied, "backup", "--json", "--db", db, path)
	if got := checked(t, path); got != copied.Digest {
		t.Errorf("%s: the copy has the digest %v, the backup told %v", path, got, copied.Digest)
	}
	restored := path + ".restored"
	tell(t, "restore", "--db", restored, path)
	if got := checked(t, restored); got != copied.Digest {
		t.Errorf("%s: what was restored has the digest %v, the backup told %v", path, got, copied.Digest)
	}
	book := openBook(t, restored)
	defer book.Close()
	if missing := before.lost(t, book.Book); len(missing) > 0 {
		t.Errorf("%s: acknowledged before the backup and not in it: %q", path, missing)
	}
	return copied.Digest
}

// checked is the digest of a journal that must be sound.
func checked(t *testing.T, db string) wire.Digest {
	t.Helper()
	var found wire.Checked
	readJSON(t, &found, "check", "--json", "--db", db)
	return found.Digest
}

// tell runs a command that must do all that it was told, and returns what it wrote.
func tell(t *testing.T, args ...string) string {
	t.Helper()
	out, errs, code := command(t.Context(), args...)
	if code != exitDone {
		t.Errorf("%q: exit %d: %s%s", args, code, out, errs)
	}
	return out
}

func readJSON(t *testing.T, into any, args ...string) {
	t.Helper()
	if err := json.Unmarshal([]byte(tell(t, args...)), into); err != nil {
		t.Fatalf("%q: %v", args, err)
	}
}
