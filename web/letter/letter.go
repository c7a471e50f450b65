// Package letter tells people in the evening what is new: it writes the letters, hands
// them to a mail server, and goes round by the clock.
//
// What is new, and to whom, is the journal's business; how a server is spoken to, that of
// a library. A letter is plain text, so that nothing is loaded from anywhere when it is
// read.
package letter

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/url"
	"strings"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/words"
)

// Message is a letter as it is sent.
type Message struct {
	To      string // an address
	Subject string
	Text    string
	ID      string // the same for each try, so that whoever gets it twice can tell
	Stop    string // an address of this server that ends letters; empty: none is needed
	At      load.Instant
}

// Line is what there is to look at of a runner.
type Line struct {
	Runner journal.RunnerID
	Name   string
	News   []string // what it is, where that is to be said
}

// Lines says of whom there is something to look at, each once, and what it is if detail is
// wanted.
func Lines(evenings []journal.Evening, names map[journal.RunnerID]string, detail bool) (out []Line) {
	at := make(map[journal.RunnerID]int)
	said := make(map[string]bool) // what two evenings have
	for _, e := range evenings {
		for _, n := range e.News {
			i, there := at[n.Runner]
			if !there {
				i = len(out)
				at[n.Runner] = i
				out = append(out, Line{Runner: n.Runner, Name: names[n.Runner]})
			}
			if key := string(n.Runner) + n.Key; detail && !said[key] {
				said[key] = true
				out[i].News = append(out[i].News, words.Sentenced(n.Text+" ("+words.ShortDay(n.Day)+")"))
			}
		}
	}
	return out
}

// Compose writes a letter with addresses under base, which ends in a slash.
func Compose(l *journal.Letter, base *url.URL, at load.Instant) Message {
	if l.Code != "" {
		return ask(l, base, at)
	}
	lines := Lines(l.Evenings, l.Runners, l.Detail)
	m := Message{To: l.To, Subject: subject(len(lines)), ID: messageID(l.Evenings, base), At: at, Stop: base.JoinPath("letters", "stop", l.Stop).String()}
	var b strings.Builder
	fmt.Fprintf(&b, "Hello %s,\n\nthere is something new to look at:\n", l.Name)
	for _, line := range lines {
		fmt.Fprintf(&b, "\n%s\n", line.Name)
		for _, news := range line.News {
			fmt.Fprintf(&b, "- %s\n", news)
		}
		fmt.Fprintf(&b, "%s\n", base.JoinPath("r", string(line.Runner)))
	}
	if l.Detail {
		fmt.Fprintf(&b, "\n%s\n", words.FollowClinician)
	} else {
		b.WriteString("\nThis letter says no more, because others may read it on its way.\n")
	}
	fmt.Fprintf(&b, "\nWhat letters say, when they come, and whether:\n%s\nTo end them without signing in:\n%s\n", base.JoinPath("letters"), m.Stop)
	m.Text = b.String()
	return m
}

// subject stands on locked screens, and names nobody.
func subject(runners int) string {
	if runners == 1 {
		return "Something to look at"
	}
	return fmt.Sprintf("Something to look at in %d logbooks", runners)
}

// ask is the letter with a code, which shows that the address is the person's.
func ask(l *journal.Letter, base *url.URL, at load.Instant) Message {
	page := base.JoinPath("letters")
	page.RawQuery = url.Values{"code": {l.Code}}.Encode()
	text := fmt.Sprintf(`Hello,

somebody wants letters of a running logbook sent to this address, in the
evening, when there is something new to look at. If that is you, open this
page and confirm it, within a week:

%s

If it asks for a code, it is %s.

If it is not you, do nothing.
`, page, l.Code)
	sum := sha256.Sum256([]byte("code " + l.Code))
	return Message{To: l.To, Subject: "Is this your address?", Text: text, ID: hex.EncodeToString(sum[:12]) + "@" + base.Hostname(), At: at}
}

// messageID is the same as long as a letter is about the same evenings (RFC 5322, 3.6.4).
func messageID(evenings []journal.Evening, base *url.URL) string {
	sum := sha256.New()
	for _, e := range evenings {
		sum.Write([]byte(e.ID))
	}
	return hex.EncodeToString(sum.Sum(nil)[:12]) + "@" + base.Hostname()
}
