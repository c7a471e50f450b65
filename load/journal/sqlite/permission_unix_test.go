//go:build unix

package sqlite_test

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
)

// TestPermissionChild tells what can be done with a journal, one word a line.
func TestPermissionChild(t *testing.T) {
	path := os.Getenv(childEnv)
	if path == "" {
		t.Skip("a part of TestPermissions")
	}
	s, err := sqlite.Open(context.Background(), path, sqlite.Options{})
	fmt.Println("write:", word(err), err)
	if err == nil {
		s.Close()
	}
	s, err = sqlite.Open(context.Background(), path, sqlite.Options{ReadOnly: true})
	fmt.Println("read:", word(err), err)
	if err == nil {
		defer s.Close()
		fmt.Println("runners:", countRunners(t, s))
		fmt.Println("backup:", word(s.Backup(context.Background(), filepath.Join(t.TempDir(), "copy.db"))))
	}
}

func word(err error) string {
	switch {
	case err == nil:
		return "yes"
	case errors.Is(err, journal.ErrReadOnly):
		return "read-only"
	case errors.Is(err, fs.ErrPermission):
		return "forbidden"
	}
	return "other"
}

// TestPermissions asks a process that is bound by permissions, which the
// superuser is not: as the superuser it becomes nobody (65534).
func TestPermissions(t *testing.T) {
	if os.Getenv(childEnv) != "" {
		t.Skip("in a child")
	}
	const (
		closed  = iota
		killed  // a log and its index were left
		noIndex // a log was left
	)
	cases := []struct {
		name         string
		file, folder fs.FileMode
		left         int
		want         []string
	}{
		{"all", 0o666, 0o777, closed, []string{"write: yes", "read: yes", "runners: 1", "backup: yes"}},
		{"file not to be written", 0o444, 0o777, closed, []string{"write: read-only", "read: yes", "runners: 1", "backup: yes"}},
		{"folder not to be written", 0o666, 0o555, closed, []string{"write: read-only", "read: yes", "runners: 1", "backup: yes"}},
		{"neither", 0o444, 0o555, closed, []string{"write: read-only", "read: yes", "runners: 1", "backup: yes"}},
		{"neither, log left", 0o444, 0o555, killed, []string{"write: read-only", "read: yes", "runners: 2", "backup: yes"}},
		{"neither, log left without its index", 0o444, 0o555, noIndex, []string{"write: read-only", "read: read-only", "was not folded in"}},
		{"file not to be read", 0o000, 0o777, closed, []string{"write: forbidden", "read: forbidden"}},
		{"folder not to be entered", 0o666, 0o000, closed, []string{"write: forbidden", "read: forbidden"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "in")
			must(t, os.Mkdir(dir, 0o700))
			path := filepath.Join(dir, "a.db")
			s := open(t, path)
			addRunner(t, s, "a")
			if c.left != closed {
				leaveLog(t, s, path)
			}
			must(t, s.Close())
			if c.left == noIndex {
				must(t, os.Remove(path+"-shm"))
			}
			for _, suffix := range []string{"", "-wal", "-shm"} {
				if err := os.Chmod(path+suffix, c.file); err != nil && !errors.Is(err, fs.ErrNotExist) {
					t.Fatal(err)
				}
			}
			must(t, os.Chmod(dir, c.folder))
			t.Cleanup(func() { os.Chmod(dir, 0o700) })
			said := bound(t, path)
			for _, want := range c.want {
				if !strings.Contains(said, want) {
					t.Errorf("wanted %q in:\n%s", want, said)
				}
			}
		})
	}
}

// leaveLog puts a journal in the state in which a killed writer leaves it: one
// more runner, which is only in the log.
func leaveLog(t *testing.T, s *sqlite.Store, path string) {
	t.Helper()
	must(t, s.Close())
	s = open(t, path)
	addRunner(t, s, "b")
	saved := make(map[string][]byte)
	for _, suffix := range []string{"", "-wal", "-shm"} {
		b, err := os.ReadFile(path + suffix)
		must(t, err)
		saved[suffix] = b
	}
	must(t, s.Close())
	for suffix, b := range saved {
		must(t, os.WriteFile(path+suffix, b, 0o600))
	}
}

// bound runs the child where permissions bind it and returns what it says.
func bound(t *testing.T, path string) string {
	t.Helper()
	cmd := child(t, "TestPermissionChild", path)
	if os.Geteuid() == 0 {
		cmd = asNobody(t, cmd, path)
	}
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	return string(out)
}

// asNobody gives the child a binary and folders that everybody can reach.
func asNobody(t *testing.T, cmd *exec.Cmd, path string) *exec.Cmd {
	t.Helper()
	dir := t.TempDir()
	for _, d := range []string{dir, filepath.Dir(dir), filepath.Dir(filepath.Dir(path)), filepath.Dir(filepath.Dir(filepath.Dir(path)))} {
		must(t, os.Chmod(d, 0o755))
	}
	binary, err := os.ReadFile(cmd.Path)
	must(t, err)
	cmd.Path = filepath.Join(dir, "test")
	must(t, os.WriteFile(cmd.Path, binary, 0o755))
	temp := filepath.Join(dir, "temp")
	must(t, os.Mkdir(temp, 0o777))
	must(t, os.Chmod(temp, 0o777))
	cmd.Dir = temp
	cmd.Env = append(cmd.Env, "TMPDIR="+temp)
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
	return cmd
}
