package main

import (
	"bufio"
	"context"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
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
	said             []string // before that
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
		p.said = append(p.said, scan.Text())
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

// TestSetup: the first start prints a link that makes the first account, and no later one
// does.
func TestSetup(t *testing.T) {
	cmd := started(t, "serve", "--addr", "127.0.0.1:0")
	said := cmd.said
	if len(said) != 2 || !strings.Contains(said[1], "/invited/") {
		t.Fatalf("said %q, want a link", said)
	}
	browser := newBrowser(t)
	browser.take(t, said[1], url.Values{"name": {"Host"}, "password": {"four mugs under rain"}, "own": {"new"}, "home": {"Europe/Oslo"}})
	if got := browser.page(t, strings.Split(said[1], "invited/")[0]+"account"); !strings.Contains(got, "looks after the program") {
		t.Errorf("the account:\n%s", got)
	}
	if err := cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err != nil {
		t.Errorf("stopped: %v", err)
	}
}

// browser keeps its cookies.
type browser struct{ http.Client }

func newBrowser(t *testing.T) *browser {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &browser{http.Client{Jar: jar}}
}

// take posts a form and follows on.
func (b *browser) take(t *testing.T, address string, form url.Values) string {
	t.Helper()
	r, err := b.PostForm(address, form)
	if err != nil {
		t.Fatal(err)
	}
	return readPage(t, r, http.StatusOK)
}

func (b *browser) page(t *testing.T, address string) string {
	t.Helper()
	r, err := b.Get(address)
	if err != nil {
		t.Fatal(err)
	}
	return readPage(t, r, http.StatusOK)
}

func readPage(t *testing.T, r *http.Response, status int) string {
	t.Helper()
	defer r.Body.Close()
	page, err := io.ReadAll(r.Body)
	if err != nil || r.StatusCode != status {
		t.Fatalf("%s: %d, %v", r.Request.URL.Path, r.StatusCode, err)
	}
	return string(page)
}

// TestDemoServes: each of the club's people goes in by a link of their own and sees what is
// theirs to see.
func TestDemoServes(t *testing.T) {
	p := started(t, "demo", "--on", "2026-06-01", "--addr", "127.0.0.1:0")
	link := make(map[string]string)
	for _, line := range p.said {
		if m := regexp.MustCompile(`^  (.+), (?:runner|coach|clinician).*: (http://\S+)$`).FindStringSubmatch(line); m != nil {
			link[m[1]] = m[2]
		}
	}
	wants := map[string]struct{ says, hides []string }{
		"Edda Quill":   {[]string{"Monday 1 June 2026", "within your limits today", "Edda Quill", "One run much longer", "Care team and data"}, []string{"Nessa"}},
		"Nessa Vale":   {[]string{"Nessa Vale", "the way back", "Care team and data"}, []string{"Edda"}},
		"Rafe Tolland": {[]string{"need a look", "Edda Quill", "Jory Fenn", "Nessa Vale", "Hedda Brock", "Osk Tarrant"}, []string{"Achilles", "Care team and data"}},
		"Ada Brandt":   {[]string{"Nessa Vale", "Achilles", "What is followed"}, []string{"Edda", "Care team and data"}},
	}
	if len(link) != len(wants) {
		t.Fatalf("links in\n%s", strings.Join(p.said, "\n"))
	}
	for name, want := range wants {
		b := newBrowser(t)
		got := b.take(t, link[name], nil)
		for _, text := range want.says {
			if !strings.Contains(got, text) {
				t.Errorf("%s's first page does not say %q", name, text)
			}
		}
		for _, text := range want.hides {
			if strings.Contains(got, text) {
				t.Errorf("%s's first page says %q", name, text)
			}
		}
		again, err := newBrowser(t).PostForm(link[name], nil)
		if err != nil {
			t.Fatal(err)
		}
		readPage(t, again, http.StatusNotFound)
	}
	if got := pageAt(t, p.address); !strings.Contains(got, "Sign in") {
		t.Error("who has not signed in sees more than the sign-in")
	}
}
