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
	"syscall"
	"testing"
	"time"
)

// started runs the program as a process until the test stops it, and returns the
// address that it prints.
func started(t *testing.T, args ...string) (address string, cmd *exec.Cmd) {
	t.Helper()
	folder := t.TempDir()
	ctx, cancel := context.WithTimeout(t.Context(), 10*time.Minute) // an end to waiting, no measure
	t.Cleanup(cancel)
	cmd = exec.CommandContext(ctx, link(t, folder), args...)
	cmd.Dir = folder
	cmd.Env = append(os.Environ(), "TIDEMARK_DB="+filepath.Join(folder, "tidemark.db"), noSleep)
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	cmd.Stderr = t.Output()
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = cmd.Process.Kill() })
	for scan := bufio.NewScanner(out); scan.Scan(); {
		if m := regexp.MustCompile(`logbook is at (http://\S+)`).FindStringSubmatch(scan.Text()); m != nil {
			go func() { _, _ = io.Copy(io.Discard, out) }()
			return m[1], cmd
		}
	}
	t.Fatal("no address was printed")
	return "", nil
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
	address, cmd := started(t, "serve", "--solo", "--addr", "127.0.0.1:0")
	if got := pageAt(t, address); !strings.Contains(got, "No run is in the logbook yet.") {
		t.Errorf("the first page:\n%s", got)
	}
	if err := cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err != nil {
		t.Errorf("stopped: %v", err)
	}
}

func TestDemoServes(t *testing.T) {
	address, _ := started(t, "demo", "--on", "2026-06-01", "--addr", "127.0.0.1:0")
	got := pageAt(t, address)
	for _, want := range []string{"Monday 1 June 2026", "within your limits today", "Edda Quill", "One run much longer"} {
		if !strings.Contains(got, want) {
			t.Errorf("the first page does not say %q", want)
		}
	}
}
