package main

import (
	"bufio"
	"context"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// process is the program as a process, which is killed when the test ends.
type process struct {
	*exec.Cmd
	address, metrics string // as it prints them
	log              *lines
}

// lines is what a process wrote, to be read while it goes on writing.
type lines struct {
	mu   sync.Mutex
	text strings.Builder
}

func (l *lines) Write(b []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(b)
}

func (l *lines) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}

var addressLine = regexp.MustCompile(`(logbook is|Metrics are) at (https?://\S+[^.\s])`)

// started runs the program until it prints the address of the logbook.
func started(t *testing.T, args ...string) *process {
	t.Helper()
	folder := t.TempDir()
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Minute) // an end to waiting, no measure
	t.Cleanup(cancel)
	p := &process{Cmd: exec.CommandContext(ctx, link(t, folder), args...), log: new(lines)}
	p.Dir = folder
	p.Env = append(os.Environ(), "TIDEMARK_DB="+filepath.Join(folder, "tidemark.db"), noSleep)
	out, err := p.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	p.Stderr = io.MultiWriter(t.Output(), p.log)
	if err := p.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = p.Process.Kill() })
	for scan := bufio.NewScanner(out); scan.Scan(); {
		switch m := addressLine.FindStringSubmatch(scan.Text()); {
		case m == nil:
		case m[1] == "Metrics are":
			p.metrics = m[2]
		default:
			p.address = m[2]
			go func() { _, _ = io.Copy(io.Discard, out) }()
			return p
		}
	}
	t.Fatal("no address was printed")
	return nil
}

func pageAt(t *testing.T, address string) string {
	t.Helper()
	r, err := http.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Body.Close()
	b, err := io.ReadAll(r.Body)
	if err != nil || r.StatusCode != http.StatusOK {
		t.Fatalf("%s: %d, %v", address, r.StatusCode, err)
	}
	return string(b)
}

// A journal that is not there is made, its first page says what to do, and a
// signal stops the program as it should.
func TestServe(t *testing.T) {
	p := started(t, "serve", "--solo", "--addr", "127.0.0.1:0")
	if got := pageAt(t, p.address); !strings.Contains(got, "No run is in the logbook yet.") {
		t.Errorf("the first page:\n%s", got)
	}
	if err := p.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if err := p.Wait(); err != nil {
		t.Errorf("stopped: %v", err)
	}
}

func TestDemoServes(t *testing.T) {
	p := started(t, "demo", "--on", "2026-06-01", "--addr", "127.0.0.1:0")
	got := pageAt(t, p.address)
	for _, want := range []string{"Monday 1 June 2026", "within your limits today", "Edda Quill", "One run much longer"} {
		if !strings.Contains(got, want) {
			t.Errorf("the first page does not say %q", want)
		}
	}
}
