//go:build unix

package web_test

import (
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"tidemark/ingest"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
	"tidemark/web"
)

// BenchmarkLists renders the lists of a journal on disk with 5,000 runners of four runs a week
// for two years, as a browser asks for them: a coach's squad of 60, a clinician's caseload of
// 100, and the squad of somebody who sees everybody. Filling it takes minutes, so it runs only
// where TIDEMARK_LISTS names a folder for the journal, which is filled once and then used again:
//
//	TIDEMARK_LISTS=FOLDER go test ./web -run '^$' -bench Lists -benchtime 50x -timeout 30m
//
// "night" is the first request of a day: every row of the list is of yesterday, and nobody made
// them anew before. "begun anew" is the first one after the program began: nothing is in memory.
func BenchmarkLists(b *testing.B) {
	folder := os.Getenv("TIDEMARK_LISTS")
	if folder == "" {
		b.Skip("TIDEMARK_LISTS names no folder for a journal of 5,000 runners")
	}
	s := openCrowd(b, folder)
	for _, bench := range []struct {
		name, as, target string
		when             int
	}{
		{"squad of 60", "Coach of 60", "/squad", warm},
		{"check of 60", "Coach of 60", "/squad?if=12&in=distance", warm},
		{"check of 60/begun anew", "Coach of 60", "/squad?if=12&in=distance", begun},
		{"caseload of 100", "Clinician of 100", "/caseload", warm},
		{"warnings of 60", "Coach of 60", "/api/v1/findings", warm},
		{"squad of 5,000", "Head of all", "/squad", warm},
		{"one of 5,000", "Head of all", "/squad?find=ansa+aarvik", warm},
		{"warnings of 5,000", "Head of all", "/api/v1/findings", warm},
		{"squad of 60/night", "Coach of 60", "/squad", night},
		{"check of 60/night", "Coach of 60", "/squad?if=12&in=distance", night},
		{"caseload of 100/night", "Clinician of 100", "/caseload", night},
	} {
		b.Run(bench.name, func(b *testing.B) {
			v := s.enter(b, bench.as)
			v.time(b, bench.target)
			var took []time.Duration
			sent := 0
			before := processorTime(b)
			for b.Loop() {
				switch bench.when {
				case night:
					s.now = s.now.AddDate(0, 0, 1)
				case begun:
					s.begin()
				}
				one, bytes := v.time(b, bench.target)
				took, sent = append(took, one), bytes
			}
			b.ReportMetric(float64((processorTime(b)-before).Microseconds())/1000/float64(len(took)), "cpu-ms")
			slices.Sort(took)
			b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "ms-median")
			b.ReportMetric(float64(sent), "bytes-sent")
		})
	}
}

// What is before a request.
const (
	warm  = iota // the same request
	night        // a night: what lists show is of yesterday
	begun        // the start of the program: nothing is held in memory
)

// begin starts the program.
func (s *shared) begin() {
	clock := func() time.Time { return s.now }
	s.journal = s.onClock(clock)
	s.server = web.New(web.Options{
		Journal: s.journal, Now: clock, Limits: ingest.DefaultLimits, Accounts: true, Log: slog.New(slog.DiscardHandler),
	})
}

// openCrowd opens the journal of a folder, and fills it if it is empty.
func openCrowd(b *testing.B, folder string) *shared {
	path := filepath.Join(b.TempDir(), "lists.db")
	kept := filepath.Join(folder, "lists.db")
	err := copyFile(path, kept)
	store, failed := sqlite.Open(b.Context(), path, sqlite.Options{})
	if failed != nil {
		b.Fatal(failed)
	}
	b.Cleanup(func() { store.Close() })
	s := &shared{site: &site{t: b, store: store}, now: noon}
	s.begin()
	if err != nil {
		s.fill(b)
		if err := store.Backup(b.Context(), kept); err != nil {
			b.Fatal(err)
		}
	}
	return s
}

// copyFile copies a journal that nobody has open.
func copyFile(to, from string) error {
	r, err := os.Open(from)
	if err != nil {
		return err
	}
	defer r.Close()
	w, err := os.Create(to)
	if err != nil {
		return err
	}
	_, err = io.Copy(w, r)
	return errors.Join(err, w.Close())
}

func (s *shared) fill(b *testing.B) {
	coach, clinician, head := s.join("Coach of 60").id, s.join("Clinician of 100").id, s.join("Head of all").id
	ids := s.gather(5000, 104, func(n int) []journal.Grant {
		grants := []journal.Grant{{Person: head, Role: journal.RoleClinician}}
		if n < 60 {
			grants = append(grants, journal.Grant{Person: coach, Role: journal.RoleCoach})
		}
		if n >= 1000 && n < 1100 {
			grants = append(grants, journal.Grant{Person: clinician, Role: journal.RoleClinician})
		}
		return grants
	})
	for n := 1000; n < 1100; n++ {
		s.hurt(ids[n], n)
	}
	if _, err := s.journal.Rows(b.Context(), head, journal.ListSquad); err != nil {
		b.Fatal(err)
	}
}

// enter signs somebody in without a password.
func (s *shared) enter(b *testing.B, name string) *looker {
	a, err := s.journal.AccountNamed(b.Context(), name)
	if err != nil {
		b.Fatal(err)
	}
	secret, _, err := s.journal.SignIn(b.Context(), a.ID)
	if err != nil {
		b.Fatal(err)
	}
	token, err := s.journal.MakeToken(b.Context(), a.ID, "lists", journal.ScopeRead, 90*24*time.Hour)
	if err != nil {
		b.Fatal(err)
	}
	return &looker{visitor{shared: s, name: name, id: a.ID, cookie: &http.Cookie{Name: "tidemark", Value: secret}}, token}
}

// processorTime is what the process has taken of all processors: on a machine that others use
// too it says more than the clock.
func processorTime(b *testing.B) time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// looker is somebody who asks with a browser, and of the API with a token.
type looker struct {
	visitor
	token string
}

// time is how long an answer takes, and how many bytes it has.
func (v *looker) time(b *testing.B, target string) (took time.Duration, sent int) {
	r, w := compressed(target), httptest.NewRecorder()
	if strings.HasPrefix(target, "/api/") {
		r.Header.Set("Authorization", "Bearer "+v.token)
	} else {
		r.AddCookie(v.cookie)
	}
	began := time.Now()
	v.server.ServeHTTP(w, r)
	took = time.Since(began)
	if w.Code != http.StatusOK {
		b.Fatalf("%s: %d\n%s", target, w.Code, w.Body)
	}
	return took, w.Body.Len()
}
