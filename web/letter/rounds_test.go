package letter

import (
	"bytes"
	"context"
	"log/slog"
	"net/url"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-smtp"
	"github.com/prometheus/client_golang/prometheus"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/journal/sqlite"
)

// club is a journal with runners, a coach who wants letters, and rounds by a clock that is
// set by hand.
type club struct {
	*testing.T
	journal *journal.Journal
	now     load.Instant
	rounds  Rounds
	log     bytes.Buffer
	coach   journal.Person
	books   []*journal.Book

	registry *prometheus.Registry
}

// firstDay is the day on which it begins, and hours after its midnight are what now is set to.
var firstDay = load.Date(2026, time.March, 1)

func (c *club) at(day, hour int) {
	c.now = load.InstantOf((firstDay + load.Day(day)).Noon().Add(time.Duration(hour-12) * time.Hour))
}

func newClub(t *testing.T, server *Server, runners ...string) *club {
	t.Helper()
	return newClubAt(t, filepath.Join(t.TempDir(), "a.db"), server, runners...)
}

func newClubAt(t *testing.T, path string, server *Server, runners ...string) *club {
	t.Helper()
	store, err := sqlite.Open(t.Context(), path, sqlite.Options{})
	must(t, err)
	t.Cleanup(func() { store.Close() })
	c := &club{T: t}
	c.at(0, 12)
	clock := func() load.Instant { return c.now }
	c.journal = journal.New(store, clock, journal.Versions{Decoder: 1, Model: 1, Rules: 1})
	c.registry = prometheus.NewRegistry()
	c.rounds = Rounds{
		Journal: c.journal, Server: server, Base: &url.URL{Scheme: "https", Host: "logbook.example", Path: "/"}, Now: clock, Log: slog.New(slog.NewTextHandler(&c.log, nil)),
		Metrics: NewMetrics(c.registry),
	}
	c.coach = c.join("Rafe Tolland")
	for _, name := range runners {
		r, err := c.journal.AddRunner(t.Context(), name, "UTC", firstDay)
		must(t, err)
		b, err := c.journal.Open(t.Context(), journal.Local, r.ID)
		must(t, err)
		must(t, b.Grant(t.Context(), c.coach, journal.RoleCoach, false, false))
		c.books = append(c.books, b)
	}
	return c
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func (c *club) join(name string) journal.Person {
	c.Helper()
	secret, err := c.journal.Invite(c.Context(), journal.Invitation{Kind: journal.InviteRunner, Name: name, By: journal.Local})
	must(c.T, err)
	a, err := c.journal.Join(c.Context(), secret, journal.Newcomer{Name: name, Password: "x"})
	must(c.T, err)
	return a.ID
}

// wants begins letters, by a letter with a code and a press.
func (c *club) wants(id journal.Person, address string) {
	c.Helper()
	must(c.T, c.journal.AskAddress(c.Context(), id, address, "UTC"))
	must(c.T, c.journal.SetWish(c.Context(), id, 19, "UTC", true))
	wish, err := c.journal.Wish(c.Context(), id)
	must(c.T, err)
	must(c.T, c.journal.ConfirmAddress(c.Context(), id, wish.Code))
}

// jumps keeps that the n-th runner ran too long today.
func (c *club) jumps(n int) {
	c.Helper()
	day := load.DayOf(c.now.Time())
	b := c.books[n]
	must(c.T, b.KeepFindings(c.Context(), []load.Finding{{
		ID: "session-spike/" + day.String(), Rule: load.RuleSessionSpike, Level: load.Caution, Day: day, LastDay: day, Value: 14, Limit: 11, Unit: "km",
	}}, day))
	r, err := b.Runner(c.Context())
	must(c.T, err)
	must(c.T, b.PutStanding(c.Context(), journal.Standing{Revision: r.Revision, Day: day})) // lists need not make it anew
}

func (c *club) round(day, hour int) {
	c.Helper()
	c.at(day, hour)
	c.rounds.Round(c.Context())
}

// TestRounds: a letter with a code, then nothing, then what is new, once.
func TestRounds(t *testing.T) {
	o := &office{}
	c := newClub(t, opened(t, o, STARTTLS), "Ada Brandt", "Ümit Sarı")
	must(t, c.journal.AskAddress(t.Context(), c.coach, "rafe@example.org", "UTC"))
	c.round(0, 13)
	if got := o.got(); len(got) != 1 || !strings.Contains(got[0], "Is this your address?") {
		t.Fatalf("%q\n%s", got, c.log.String())
	}
	wish, err := c.journal.Wish(t.Context(), c.coach)
	must(t, err)
	if !strings.Contains(o.got()[0], wish.Code) {
		t.Error("the letter has no code")
	}
	must(t, c.journal.ConfirmAddress(t.Context(), c.coach, wish.Code))
	c.round(0, 19)
	if n := len(o.got()); n != 1 {
		t.Errorf("%d letters on an evening without news", n-1)
	}
	c.at(1, 12)
	c.jumps(0)
	c.jumps(1)
	for hour := 17; hour < 24; hour++ {
		c.round(1, hour)
		if want := map[bool]int{true: 2, false: 1}[hour >= 19]; len(o.got()) != want {
			t.Fatalf("at %d: %d letters, want %d\n%s", hour, len(o.got()), want, c.log.String())
		}
	}
	for _, text := range []string{"To: <rafe@example.org>", "Something to look at in 2 logbooks", "Ada Brandt", "Message-ID: <"} {
		if !strings.Contains(o.got()[1], text) {
			t.Errorf("the letter has no %q:\n%s", text, o.got()[1])
		}
	}
	if text := c.log.String(); strings.Contains(text, "rafe@") || strings.Contains(text, "Ada") || strings.Contains(text, "level=ERROR") {
		t.Errorf("log:\n%s", text)
	}
}

// TestRoundsWait: a server that is not there, refuses or hangs keeps letters waiting; each
// arrives once when it is well again, also after the program was started anew.
func TestRoundsWait(t *testing.T) {
	busy := true
	o := &office{refuse: func(string, string) error {
		if busy {
			return &smtp.SMTPError{Code: 451, Message: "later"}
		}
		return nil
	}}
	well := opened(t, o, STARTTLS)
	c := newClub(t, well, "Ada Brandt")
	c.wants(c.coach, "rafe@example.org")
	c.at(0, 13)
	c.jumps(0)
	c.rounds.Server = &Server{Host: "localhost", Port: closedPort(t), Security: Plain, From: well.From, Timeout: time.Second}
	c.round(0, 19)
	for day := 1; day < 3; day++ {
		c.round(day, 9)
	}
	wish, err := c.journal.Wish(t.Context(), c.coach)
	must(t, err)
	if wish.Letter.Fault != "the mail server could not be reached, or did not answer" || wish.Letter.Tries != 3 || wish.Address == "" {
		t.Errorf("%+v", wish)
	}
	c.rounds.Server = well
	c.round(3, 9)
	if wish, err = c.journal.Wish(t.Context(), c.coach); err != nil || wish.Letter.Fault != "the mail server did not take it yet" || wish.Letter.Tries != 4 {
		t.Errorf("%+v, %v", wish, err)
	}
	wantMetric(t, c, "tidemark_letters_waiting", 1)
	wantMetric(t, c, "tidemark_letters_waiting_seconds", (2*24+14)*3600)
	wantMetric(t, c, "tidemark_letters_total", 4) // failed
	people, since, err := c.journal.LettersWaiting(t.Context())
	if people != 1 || since.Time() != firstDay.Noon().Add(7*time.Hour) || err != nil {
		t.Errorf("%d wait since %v, %v", people, since.Time(), err)
	}
	busy = false
	c.round(4, 9)
	c.round(4, 10)
	wantMetric(t, c, "tidemark_letters_waiting", 0)
	wantMetric(t, c, "tidemark_letters_total", 5)
	if got := o.got(); len(got) != 1 || !strings.Contains(got[0], "Ada Brandt") {
		t.Fatalf("%d letters\n%s", len(got), c.log.String())
	}
	if wish, err = c.journal.Wish(t.Context(), c.coach); err != nil || wish.Letter != (journal.Delivery{}) {
		t.Errorf("%+v, %v", wish, err)
	}
}

// TestRoundsOthers: what one address is refused keeps no other from its letter, and a server
// that is not there is tried once a round.
func TestRoundsOthers(t *testing.T) {
	o := &office{refuse: func(_, to string) error {
		if strings.HasPrefix(to, "nobody") {
			return &smtp.SMTPError{Code: 550, Message: "nobody of that name"}
		}
		return nil
	}}
	c := newClub(t, opened(t, o, STARTTLS), "Ada Brandt")
	second := c.join("Signe Rask")
	must(t, c.books[0].Grant(t.Context(), second, journal.RoleCoach, false, false))
	c.wants(c.coach, "nobody@example.org")
	c.wants(second, "signe@example.org")
	c.at(0, 13)
	c.jumps(0)
	gone := &Server{Host: "localhost", Port: closedPort(t), Security: Plain, From: c.rounds.Server.From, Timeout: time.Second}
	well := c.rounds.Server
	c.rounds.Server = gone
	c.round(0, 19)
	if n := strings.Count(c.log.String(), "letter not sent"); n != 1 {
		t.Errorf("tried %d times\n%s", n, c.log.String())
	}
	c.rounds.Server = well
	c.round(0, 20)
	if got := o.got(); len(got) != 1 || o.to[0] != "signe@example.org" {
		t.Errorf("%q\n%s", o.to, c.log.String())
	}
	if text := c.log.String(); strings.Contains(text, "@example.org") || !strings.Contains(text, "550") {
		t.Errorf("log:\n%s", text)
	}
	wish, err := c.journal.Wish(t.Context(), c.coach)
	must(t, err)
	if wish.Letter.Fault != "the mail server refused it" || wish.Letter.Next != c.now.Add(24*time.Hour) {
		t.Errorf("%+v", wish)
	}
}

// TestRoundsUnsure: a server that hangs up after it has the letter may have taken it. It is
// sent again under the same ID, by which a mailbox can tell.
func TestRoundsUnsure(t *testing.T) {
	o := &office{}
	server := opened(t, o, Plain)
	c := newClub(t, server, "Ada Brandt")
	c.wants(c.coach, "rafe@example.org")
	c.at(0, 13)
	c.jumps(0)
	c.rounds.Server = scripted(t, "220 here", "250 hello", "250 ok", "250 ok", "250 ok", "354 go on", "")
	c.round(0, 19)
	_, text, ok := strings.Cut(c.log.String(), "letter not sent")
	if !ok {
		t.Fatal(c.log.String())
	}
	_, id, _ := strings.Cut(text, "letter=")
	id, _, _ = strings.Cut(id, " ")
	c.rounds.Server = server
	c.round(0, 20)
	if got := o.got(); len(got) != 1 || !strings.Contains(got[0], "Message-ID: <"+id+">") {
		t.Errorf("want ID %q in\n%q", id, got)
	}
}

// wantMetric compares the sum of a metric over its labels.
func wantMetric(t *testing.T, c *club, name string, want float64) {
	t.Helper()
	families, err := c.registry.Gather()
	must(t, err)
	got := 0.0
	for _, f := range families {
		if f.GetName() == name {
			for _, m := range f.Metric {
				got += m.GetGauge().GetValue() + m.GetCounter().GetValue()
			}
		}
	}
	if got != want {
		t.Errorf("%s is %v, want %v", name, got, want)
	}
}

// TestRoundsMeanwhile: who is let go, ends letters or is closed while a round goes on gets
// no letter any more.
func TestRoundsMeanwhile(t *testing.T) {
	for name, end := range map[string]func(*club, journal.Person) error{
		"revoked": func(c *club, id journal.Person) error { return c.books[0].Revoke(c.Context(), id) },
		"ended":   func(c *club, id journal.Person) error { return c.journal.StopLetters(c.Context(), id) },
		"closed":  func(c *club, id journal.Person) error { return c.journal.CloseAccount(c.Context(), id, true) },
	} {
		t.Run(name, func(t *testing.T) {
			o := &office{}
			c := newClub(t, opened(t, o, Plain), "Ada Brandt")
			second := c.join("Signe Rask")
			must(t, c.books[0].Grant(t.Context(), second, journal.RoleCoach, false, false))
			c.wants(c.coach, "one@example.org")
			c.wants(second, "two@example.org")
			other := map[string]journal.Person{"one@example.org": second, "two@example.org": c.coach}
			o.refuse = func(_, to string) error { return end(c, other[to]) } // while the first is handed in
			c.at(0, 13)
			c.jumps(0)
			c.round(0, 19)
			if got := o.got(); len(got) != 1 {
				t.Errorf("%d letters, to %q\n%s", len(got), o.to, c.log.String())
			}
		})
	}
}

// TestRoundsEnded: the program ends when the server has just taken a letter. It is sent.
func TestRoundsEnded(t *testing.T) {
	c := newClub(t, scripted(t, "220 here", "250 hello", "250 ok", "250 ok", "250 ok", "354 go on", "250 taken"), "Ada Brandt")
	c.wants(c.coach, "rafe@example.org")
	c.at(0, 13)
	c.jumps(0)
	c.at(0, 19)
	ctx, cancel := context.WithTimeout(t.Context(), time.Second) // while it waits for what comes after
	defer cancel()
	c.rounds.Server.Timeout = time.Minute
	c.rounds.Round(ctx)
	if ctx.Err() == nil {
		t.Fatal("the round has ended before the program")
	}
	if people, _, err := c.journal.LettersWaiting(t.Context()); people != 0 || err != nil {
		t.Errorf("for %d people a letter waits, %v\n%s", people, err, c.log.String())
	}
}

// TestRoundsReadOnly: where it cannot be kept that a letter was sent, none is.
func TestRoundsReadOnly(t *testing.T) {
	o := &office{}
	path := filepath.Join(t.TempDir(), "a.db")
	c := newClubAt(t, path, opened(t, o, Plain), "Ada Brandt")
	c.wants(c.coach, "rafe@example.org")
	c.at(0, 13)
	c.jumps(0)
	store, err := sqlite.Open(t.Context(), path, sqlite.Options{ReadOnly: true})
	must(t, err)
	defer store.Close()
	c.round(0, 18)
	well := c.rounds.Journal
	must(t, well.SetWish(t.Context(), c.coach, 17, "UTC", true))
	made, err := well.MakeEvenings(t.Context())
	if made != 1 || err != nil {
		t.Fatal(made, err)
	}
	c.rounds.Journal = journal.New(store, c.rounds.Now, journal.Versions{Decoder: 1, Model: 1, Rules: 1})
	for minute := range 5 {
		c.round(0, 19+minute/5)
	}
	if n := len(o.got()); n != 0 {
		t.Errorf("%d letters", n)
	}
	c.rounds.Journal = well
	c.round(0, 20)
	c.round(0, 21)
	if n := len(o.got()); n != 1 {
		t.Errorf("%d letters once it can be written to\n%s", n, c.log.String())
	}
}

// TestRoundsStart: it goes round at once and when it is woken, and stops when it is told to.
func TestRoundsStart(t *testing.T) {
	o := &office{}
	c := newClub(t, opened(t, o, Plain))
	wake, stop := c.rounds.Start(t.Context())
	defer stop()
	must(t, c.journal.AskAddress(t.Context(), c.coach, "rafe@example.org", "UTC"))
	for deadline := time.Now().Add(30 * time.Second); len(o.got()) == 0; time.Sleep(10 * time.Millisecond) { // an end to waiting, no measure
		if wake(); time.Now().After(deadline) {
			t.Fatal("no letter has come")
		}
	}
}
