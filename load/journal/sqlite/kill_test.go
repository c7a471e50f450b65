package sqlite_test

import (
	"bufio"
	"crypto/sha256"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
)

const childEnv = "TIDEMARK_TEST_JOURNAL"

// child runs one test of this binary in a process of its own, which finds the
// journal's path in its environment.
func child(t *testing.T, test, path string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	must(t, err)
	cmd := exec.Command(self, "-test.run=^"+test+"$", "-test.v")
	cmd.Env = append(os.Environ(), childEnv+"="+path)
	return cmd
}

// TestKilledChild adds a recording, says so, and then writes another in a
// transaction that never ends.
func TestKilledChild(t *testing.T) {
	path := os.Getenv(childEnv)
	if path == "" {
		t.Skip("a part of TestOpenAfterKill")
	}
	s := open(t, path)
	b := book(t, s)
	n := len(sessions(t, b))
	_, err := b.Add(t.Context(), []journal.Recording{bulky(2 * n)})
	must(t, err)
	must(t, s.Update(t.Context(), func(tx journal.Tx) error {
		r := bulky(2*n + 1)
		id := runnerID(t, b)
		must(t, tx.PutOriginal(id, journal.Original{Sum: r.Sum, Size: r.Size}, r.Packed))
		must(t, tx.AddSession(id, r.Sum, load.Session{ID: fmt.Sprint("half ", n), Start: load.Unix(int64(n))}))
		fmt.Println("ready to be killed")
		select {}
	}))
}

func TestOpenAfterKill(t *testing.T) {
	if os.Getenv(childEnv) != "" {
		t.Skip("in a child")
	}
	path := filepath.Join(t.TempDir(), "a.db")
	s := open(t, path)
	_, err := newJournal(s).AddRunner(t.Context(), "Ada", "UTC", 0)
	must(t, err)
	must(t, s.Close())
	for round := 1; round <= 4; round++ {
		kill(t, child(t, "TestKilledChild", path))
		s := open(t, path)
		b := book(t, s)
		if got := len(sessions(t, b)); got != round {
			t.Errorf("%d sessions after %d reported ones", got, round)
		}
		originals, err := b.Originals(t.Context())
		if err != nil || len(originals) != round {
			t.Errorf("%d originals, %v", len(originals), err)
		}
		problems, err := newJournal(s).Check(t.Context())
		if err != nil || len(problems) > 0 {
			t.Errorf("Check: %v, %v", problems, err)
		}
		must(t, s.Close())
	}
}

// kill waits until the child says that it is ready and ends it at once.
func kill(t *testing.T, cmd *exec.Cmd) {
	t.Helper()
	out, err := cmd.StdoutPipe()
	must(t, err)
	must(t, cmd.Start())
	var said strings.Builder
	for lines := bufio.NewScanner(out); lines.Scan(); {
		fmt.Fprintln(&said, lines.Text())
		if strings.HasPrefix(lines.Text(), "ready") {
			must(t, cmd.Process.Kill())
			cmd.Wait() // says that it was killed
			return
		}
	}
	cmd.Wait()
	t.Fatalf("the child ended by itself:\n%s", &said)
}

func newJournal(s journal.Store) *journal.Journal {
	return journal.New(s, func() load.Instant { return 0 }, journal.Versions{Decoder: 1, Model: 1, Rules: 1})
}

// book opens the book of the only runner.
func book(t *testing.T, s journal.Store) *journal.Book {
	t.Helper()
	j := newJournal(s)
	r, err := j.Find(t.Context(), journal.Local, "Ada")
	must(t, err)
	b, err := j.Open(t.Context(), journal.Local, r.ID)
	must(t, err)
	return b
}

func runnerID(t *testing.T, b *journal.Book) journal.RunnerID {
	t.Helper()
	r, err := b.Runner(t.Context())
	must(t, err)
	return r.ID
}

func sessions(t *testing.T, b *journal.Book) []load.Session {
	t.Helper()
	out, err := b.Sessions(t.Context())
	must(t, err)
	return out
}

// bulky returns a recording that does not compress and outgrows the writer's
// cache, so that half of it is in the log before the commit.
func bulky(n int) journal.Recording {
	b := make([]byte, 0, 12<<20)
	for block := sha256.Sum256([]byte(fmt.Sprint(n))); len(b) < cap(b); block = sha256.Sum256(block[:]) {
		b = append(b, block[:]...)
	}
	s := load.Session{Start: load.Unix(int64(n)), End: load.Unix(int64(n))}
	return journal.Recording{
		Sum: sha256.Sum256(b), Path: "bulky.fit", Format: "fit", Size: int64(len(b)), Packed: journal.Pack(b),
		Sessions: []load.Session{s},
	}
}
