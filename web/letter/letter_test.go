package letter

import (
	"net/url"
	"strings"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
)

// written is what a coach is to hear of on two evenings; the names and runs are invented.
func written(detail bool) *journal.Letter {
	day := load.Date(2026, time.March, 3)
	spike := journal.News{Runner: "ada", Key: "finding:1", Kind: journal.NewsFinding, Day: day, Text: "One run much longer than the runs before it: 14.0 km is 27 % over 11.0 km"}
	flare := journal.News{Runner: "ada", Key: "flare:1", Kind: "flare", Day: day, Medical: true, Text: "the morning of 3 March 2026 flared"}
	held := journal.News{Runner: "ümit", Key: "held:1", Kind: journal.NewsHeld, Day: day + 1, Text: "not to run until 9 March 2026"}
	return &journal.Letter{
		To: "rafe@example.org", Detail: detail, Stop: "STOP", Name: "Rafe Tolland",
		Evenings: []journal.Evening{{ID: "a", Day: day, News: []journal.News{spike, flare}}, {ID: "b", Day: day + 1, News: []journal.News{held, spike}}},
		Runners:  map[journal.RunnerID]string{"ada": "Ada Brandt", "ümit": "Ümit Sarı"},
	}
}

func TestCompose(t *testing.T) {
	base := &url.URL{Scheme: "https", Host: "logbook.example", Path: "/"}
	m := Compose(written(true), base, 1)
	want := `Hello Rafe Tolland,

there is something new to look at:

Ada Brandt
- One run much longer than the runs before it: 14.0 km is 27 % over 11.0 km (3 Mar).
- The morning of 3 March 2026 flared (3 Mar).
https://logbook.example/r/ada

Ümit Sarı
- Not to run until 9 March 2026 (4 Mar).
https://logbook.example/r/%C3%BCmit

These limits follow rules that your clinician can change. If your clinician's plan differs, follow your clinician.

What letters say, when they come, and whether:
https://logbook.example/letters
To end them without signing in:
https://logbook.example/letters/stop/STOP
`
	if m.Text != want {
		t.Errorf("got:\n%s\nwant:\n%s", m.Text, want)
	}
	if m.To != "rafe@example.org" || m.Subject != "Something to look at in 2 logbooks" || m.Stop != "https://logbook.example/letters/stop/STOP" || m.At != 1 {
		t.Errorf("%+v", m)
	}
	if again := Compose(written(true), base, 2); again.ID != m.ID || !strings.HasSuffix(m.ID, "@logbook.example") {
		t.Errorf("a second try is %q, the first was %q", again.ID, m.ID)
	}
	other := written(true)
	other.Evenings = other.Evenings[1:]
	if Compose(other, base, 1).ID == m.ID {
		t.Error("a letter about another evening has the same ID")
	}
}

// TestComposeBare: without detail a letter says of whom, and nothing of what.
func TestComposeBare(t *testing.T) {
	m := Compose(written(false), &url.URL{Scheme: "https", Host: "logbook.example", Path: "/"}, 1)
	for _, telling := range []string{"km", "flared", "run until", "Mar"} {
		if strings.Contains(m.Text+m.Subject, telling) {
			t.Errorf("it says %q:\n%s", telling, m.Text)
		}
	}
	for _, name := range []string{"Ada Brandt", "Ümit Sarı"} {
		if !strings.Contains(m.Text, name) || strings.Contains(m.Subject, name) {
			t.Errorf("%q is not in the text, or in the subject:\n%s", name, m.Text)
		}
	}
}

// TestComposeCode: the letter with a code may come to a stranger, and says nothing that
// anybody could have typed.
func TestComposeCode(t *testing.T) {
	l := written(true)
	l.Code = "CODE7"
	m := Compose(l, &url.URL{Scheme: "https", Host: "logbook.example", Path: "/"}, 1)
	if !strings.Contains(m.Text, "https://logbook.example/letters?code=CODE7") || strings.Contains(m.Text, "Ada") || strings.Contains(m.Text, "Rafe") || m.Stop != "" {
		t.Errorf("%+v", m)
	}
}
