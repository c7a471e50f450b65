//go:build linux

package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"tidemark/load"
)

// heard is what a command writes, to be read meanwhile.
type heard struct {
	mu   sync.Mutex
	text strings.Builder
}

func (h *heard) Write(p []byte) (int, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.text.Write(p)
}

func (h *heard) String() string {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.text.String()
}

// watching runs import --watch until the test stops it, and returns what it says.
func watching(t *testing.T, db, folder string, flags ...string) (out, errs *heard, stop func() int) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	out, errs = new(heard), new(heard)
	s := &streams{out: out, err: errs, now: time.Now, env: func(string) string { return "" }}
	ended := make(chan int, 1)
	args := append([]string{"import", "--watch", folder, "--every", "400ms", "--zone", "UTC", "--db", db}, flags...)
	go func() { ended <- run(ctx, args, s) }()
	var once sync.Once
	code := 0
	stop = func() int {
		once.Do(func() { cancel(); code = <-ended })
		return code
	}
	t.Cleanup(func() { stop() })
	return out, errs, stop
}

// until waits for something to be so. Only a program that never gets there waits
// for long.
func until(t *testing.T, what string, so func() bool) {
	t.Helper()
	for range 600 {
		if so() {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatalf("waited in vain until %s", what)
}

// A file that grows for a while is taken in once, when it is whole; one that is no
// recording is told once; half-written ones are left alone; and a second watch has
// nothing to do.
func TestWatch(t *testing.T) {
	folder, db := t.TempDir(), filepath.Join(t.TempDir(), "a.db")
	out, errs, stop := watching(t, db, folder)
	until(t, "it watches", func() bool { return strings.Contains(errs.String(), "watching ") })

	whole := watchFIT(0, 600)
	growing := filepath.Join(folder, "deep", "growing.fit")
	if err := os.Mkdir(filepath.Dir(growing), 0o700); err != nil {
		t.Fatal(err)
	}
	f, err := os.Create(growing)
	if err != nil {
		t.Fatal(err)
	}
	for part := range 25 { // more often than it looks
		if _, err := f.Write(whole[part*len(whole)/25 : (part+1)*len(whole)/25]); err != nil {
			t.Fatal(err)
		}
		time.Sleep(40 * time.Millisecond)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	put := func(name string, data []byte) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(folder, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	put("later.fit.part", watchFIT(1, 600))
	put(".hidden.fit", watchFIT(2, 600))
	put("photo.jpg", []byte("\xff\xd8\xff\xe0"))
	until(t, "both are told", func() bool { return strings.Count(out.String(), "\n") >= 2 })
	if err := os.Rename(filepath.Join(folder, "later.fit.part"), filepath.Join(folder, "later.fit")); err != nil {
		t.Fatal(err)
	}
	until(t, "the third is told", func() bool { return strings.Contains(out.String(), "later.fit") })
	time.Sleep(1200 * time.Millisecond) // three more looks
	if code := stop(); code != exitDone {
		t.Errorf("stopped with %d: %s", code, errs)
	}
	said := out.String()
	for _, want := range []string{
		"added    " + growing + ": running of 8 September 2021, 1.7 km\n", "refused  " + filepath.Join(folder, "photo.jpg") + ": not a recording",
		"added    " + filepath.Join(folder, "later.fit") + ": ",
	} {
		if strings.Count(said, want) != 1 {
			t.Errorf("%q is said %d times in\n%s", want, strings.Count(said, want), said)
		}
	}
	if n := strings.Count(said, "\n"); n != 3 {
		t.Errorf("%d lines:\n%s", n, said)
	}
	if got := len(sessionsIn(t, db)); got != 2 {
		t.Errorf("%d sessions are kept, want 2", got)
	}

	out, errs, stop = watching(t, db, folder)
	until(t, "the second refuses the picture", func() bool { return strings.Contains(out.String(), "photo.jpg") })
	if code := stop(); code != exitDone || strings.Contains(out.String(), "added") {
		t.Errorf("the second watch: %d %s%s", code, out, errs)
	}
}

func TestWatchWrongly(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a.fit")
	if err := os.WriteFile(file, watchFIT(0, 60), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"import", "--watch", file},
		{"import", "--watch", filepath.Dir(file), file},
		{"import"},
		{"import", "--watch", filepath.Dir(file), "--every", "1ms"},
		{"import", "--watch", filepath.Join(file, "none")},
	} {
		_, errs, code := command(t.Context(), append(args, "--db", filepath.Join(t.TempDir(), "a.db"))...)
		if code != exitUse || !strings.Contains(errs, "tidemark: error: import: ") {
			t.Errorf("%v: exit %d, %s", args, code, errs)
		}
	}
}

// sessionsIn lists what is in the only logbook of a journal.
func sessionsIn(t *testing.T, db string) []load.Session {
	t.Helper()
	a := quietApp(filepath.Dir(db), 0)
	a.DB = db
	j, err := a.open(false)
	if err != nil {
		t.Fatal(err)
	}
	defer j.Close()
	book, _, err := a.book(j, false)
	if err != nil {
		t.Fatal(err)
	}
	all, err := book.Sessions(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return all
}
