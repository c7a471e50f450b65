//go:build linux

package main

import (
	"bytes"
	"context"
	"database/sql"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	_ "modernc.org/sqlite"
)

// exports writes n short runs to a folder.
func exports(t *testing.T, n, seconds int) string {
	t.Helper()
	folder := t.TempDir()
	for i := range n {
		if err := os.WriteFile(filepath.Join(folder, string(rune('a'+i/26))+string(rune('a'+i%26))+".fit"), watchFIT(i, seconds), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

// stopper cancels when the first line is written to it.
type stopper struct {
	bytes.Buffer
	cancel context.CancelFunc
}

func (s *stopper) Write(p []byte) (int, error) {
	s.cancel()
	return s.Buffer.Write(p)
}

func TestInterruptedImport(t *testing.T) {
	folder, db := exports(t, 150, 60), filepath.Join(t.TempDir(), "a.db")
	ctx, cancel := context.WithCancel(t.Context())
	out := &stopper{cancel: cancel}
	var errs bytes.Buffer
	s := &streams{out: out, err: &errs, now: time.Now, env: func(string) string { return "" }}
	if code := run(ctx, []string{"import", "--json", "--zone", "UTC", "--db", db, folder}, s); code != exitInterrupted {
		t.Errorf("exit %d, want %d: %s", code, exitInterrupted, errs.String())
	}
	told := strings.Count(out.String(), `"outcome":"added"`)
	if told == 0 || told >= 150 || !strings.Contains(errs.String(), "interrupted") {
		t.Errorf("%d reported, %q", told, errs.String())
	}
	if _, errs, code := command(t.Context(), "check", "--db", db); code != exitDone {
		t.Errorf("check: exit %d, %s", code, errs)
	}
	again, errs2, code := command(t.Context(), "import", "--db", db, folder)
	if code != exitDone || !strings.Contains(again, "New for me") {
		t.Errorf("again: exit %d, %s%s", code, again, errs2)
	}
}

func TestNewerJournal(t *testing.T) {
	db := filepath.Join(t.TempDir(), "a.db")
	if _, errs, code := command(t.Context(), "import", "--zone", "UTC", "--db", db, exports(t, 1, 60)); code != exitDone {
		t.Fatal(errs)
	}
	alter(t, db, "PRAGMA user_version = 99")
	for _, args := range [][]string{{"load"}, {"check"}, {"import", "."}, {"backup", db + ".copy"}} {
		_, errs, code := command(t.Context(), append(args, "--db", db)...)
		if code != exitJournal || !strings.Contains(errs, "newer version") || !strings.Contains(errs, "hint: it was written by a newer tidemark") {
			t.Errorf("%v: exit %d, %s", args, code, errs)
		}
	}
}

func TestCheckFindsDamage(t *testing.T) {
	db := filepath.Join(t.TempDir(), "a.db")
	if _, errs, code := command(t.Context(), "import", "--zone", "UTC", "--db", db, exports(t, 2, 60)); code != exitDone {
		t.Fatal(errs)
	}
	alter(t, db, "DELETE FROM session WHERE id = (SELECT min(id) FROM session)")
	out, errs, code := command(t.Context(), "check", "--db", db)
	if code != exitRefused || out == "" || !strings.Contains(errs, "things are wrong") {
		t.Errorf("exit %d, %s%s", code, out, errs)
	}
}

func alter(t *testing.T, path, statement string) {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec(statement); err != nil {
		t.Fatal(err)
	}
}

// TestOlderVersion has the rows of another version derived anew before anything
// is said.
func TestOlderVersion(t *testing.T) {
	db := filepath.Join(t.TempDir(), "a.db")
	if _, errs, code := command(t.Context(), "import", "--zone", "UTC", "--db", db, exports(t, 3, 60)); code != exitDone {
		t.Fatal(errs)
	}
	want, _, _ := command(t.Context(), "load", "--json", "--on", "2021-09-12", "--db", db)
	alter(t, db, "UPDATE stamp SET model = 0")
	alter(t, db, "UPDATE session SET distance = 1")
	got, errs, code := command(t.Context(), "load", "--json", "--on", "2021-09-12", "--db", db)
	if code != exitDone || !strings.Contains(errs, "of another version") {
		t.Fatalf("exit %d, %s", code, errs)
	}
	if got != want {
		t.Errorf("after reading again:\n%s\nwant\n%s", got, want)
	}
}

// TestFullDisk imports onto a disk of 3 MB, and then without that limit.
func TestFullDisk(t *testing.T) {
	disk := t.TempDir()
	if err := syscall.Mount("tidemark", disk, "tmpfs", 0, "size=3m"); err != nil {
		t.Skipf("NOT TESTED: a small disk cannot be mounted here: %v", err)
	}
	t.Cleanup(func() { _ = syscall.Unmount(disk, 0) })
	fillUp(t, filepath.Join(disk, "a.db"), func(cmd []string) *exec.Cmd { return exec.Command(cmd[0], cmd[1:]...) },
		"the disk is full", "make room and run the same command again")
}

// TestNoMoreBytes does the same with a limit on the size of files.
func TestNoMoreBytes(t *testing.T) {
	fillUp(t, filepath.Join(t.TempDir(), "a.db"), func(cmd []string) *exec.Cmd {
		return exec.Command("sh", append([]string{"-c", `ulimit -f 3000; exec "$0" "$@"`}, cmd...)...)
	}, "keep recordings", "nothing is half kept")
}

// fillUp imports more than there is room for. What was reported must be there,
// the rest must not be half there, and elsewhere the work can be finished.
func fillUp(t *testing.T, db string, narrow func([]string) *exec.Cmd, said, hint string) {
	t.Helper()
	binary, folder := link(t, t.TempDir()), exports(t, 120, 1200)
	cmd := narrow([]string{binary, "import", "--json", "--zone", "UTC", "--db", db, folder})
	cmd.Env = append(os.Environ(), noSleep)
	var out, errs bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &errs
	err := cmd.Run()
	if code := cmd.ProcessState.ExitCode(); code != exitJournal {
		t.Fatalf("exit %d (%v): %s", code, err, errs.String())
	}
	for _, want := range []string{"tidemark: error: ", said, "tidemark: hint: ", hint} {
		if !strings.Contains(errs.String(), want) {
			t.Errorf("said %q, without %q", errs.String(), want)
		}
	}
	if _, errs, code := command(t.Context(), "check", "--db", db); code != exitDone {
		t.Errorf("check: exit %d, %s", code, errs)
	}
	roomy := filepath.Join(t.TempDir(), "b.db")
	if _, errs, code := command(t.Context(), "restore", "--db", roomy, db); code != exitDone {
		t.Fatalf("restore elsewhere: exit %d, %s", code, errs)
	}
	told := strings.Count(out.String(), `"outcome":"added"`)
	again, errs2, code := command(t.Context(), "import", "--json", "--db", roomy, folder)
	if code != exitDone || strings.Count(again, `"outcome":"kept"`) < told || strings.Count(again, `"outcome":`) != 120 {
		t.Errorf("with room: exit %d, %d kept of %d reported: %s", code, strings.Count(again, `"outcome":"kept"`), told, errs2)
	}
}

// TestNoPermission runs as somebody who may read neither the file nor write the
// journal.
func TestNoPermission(t *testing.T) {
	dir, err := os.MkdirTemp("", "tidemark")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	folder, db := filepath.Join(dir, "exports"), filepath.Join(dir, "a.db")
	for path, content := range map[string][]byte{"one.fit": watchFIT(0, 60), "two.fit": watchFIT(1, 60)} {
		if err := os.MkdirAll(folder, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(folder, path), content, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if _, errs, code := command(t.Context(), "import", "--zone", "UTC", "--db", db, folder); code != exitDone {
		t.Fatal(errs)
	}
	for path, mode := range map[string]os.FileMode{filepath.Join(folder, "two.fit"): 0, db: 0o444, dir: 0o555} {
		if err := os.Chmod(path, mode); err != nil {
			t.Fatal(err)
		}
	}
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	binary := filepath.Join(os.TempDir(), filepath.Base(dir)+"-bin", "tidemark")
	copyFile(t, self, binary)
	as := func(args ...string) (string, int) {
		cmd := exec.Command(binary, args...)
		cmd.Env = append(os.Environ(), noSleep, "HOME=/")
		cmd.Dir = "/"
		if os.Getuid() == 0 {
			cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
		}
		out, _ := cmd.CombinedOutput()
		return string(out), cmd.ProcessState.ExitCode()
	}
	said, code := as("import", "--db", db, folder)
	if code != exitJournal || !strings.Contains(said, "cannot be written to") || !strings.Contains(said, "hint: look at the permissions") {
		t.Errorf("import into a read-only journal: exit %d, %s", code, said)
	}
	if said, code := as("load", "--db", db, "--on", "2021-09-12"); code != exitDone || !strings.Contains(said, "within your limits today") {
		t.Errorf("load of a read-only journal: exit %d, %s", code, said)
	}
	if said, code := as("inspect", filepath.Join(folder, "two.fit")); code != exitUse || !strings.Contains(said, "permission denied") {
		t.Errorf("inspect of a file that may not be read: exit %d, %s", code, said)
	}
}

func copyFile(t *testing.T, from, to string) {
	t.Helper()
	content, err := os.ReadFile(from)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(filepath.Dir(to)) })
	if err := os.WriteFile(to, content, 0o755); err != nil {
		t.Fatal(err)
	}
}
