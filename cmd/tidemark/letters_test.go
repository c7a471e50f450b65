package main

import (
	"io"
	"net"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/emersion/go-smtp"
)

// mailbox is a mail server of this machine; what it took comes out of letters.
type mailbox struct{ letters chan string }

func (m mailbox) NewSession(*smtp.Conn) (smtp.Session, error) { return m, nil }

func (mailbox) Mail(string, *smtp.MailOptions) error { return nil }
func (mailbox) Rcpt(string, *smtp.RcptOptions) error { return nil }
func (mailbox) Reset()                               {}
func (mailbox) Logout() error                        { return nil }

func (m mailbox) Data(r io.Reader) error {
	text, err := io.ReadAll(r)
	m.letters <- string(text)
	return err
}

// openMailbox serves it, and returns its address.
func openMailbox(t *testing.T) (m mailbox, address string) {
	t.Helper()
	m = mailbox{make(chan string, 8)}
	server := smtp.NewServer(m)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	must(t, err)
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		_ = server.Serve(l) // until Close
	}()
	t.Cleanup(func() {
		_ = server.Close()
		_ = l.Close()
		<-ended
	})
	return m, l.Addr().String()
}

// letter waits for one.
func (m mailbox) letter(t *testing.T) string {
	t.Helper()
	select {
	case text := <-m.letters:
		return text
	case <-time.After(2 * time.Minute): // an end to waiting, no measure
		t.Fatal("no letter has come")
		return ""
	}
}

// TestServeLetters: somebody wants letters, a server of this machine takes the one with the
// code, and its link leads to the press that begins them.
func TestServeLetters(t *testing.T) {
	m, address := openMailbox(t)
	if _, errs, code := command(t.Context(), "letters", "--test", "me@example.org", "--mail-server", address, "--mail-security", "none", "--mail-from", "logbook@example.org"); code != exitDone {
		t.Fatal(errs)
	}
	if text := m.letter(t); !strings.Contains(text, "Letters arrive") || !strings.Contains(text, "To: <me@example.org>") {
		t.Errorf("the test letter:\n%s", text)
	}
	p := started(t, "serve", "--addr", "127.0.0.1:0", "--mail-server", address, "--mail-security", "none", "--mail-from", "Logbook <logbook@example.org>")
	base := strings.TrimSuffix(p.address, "/")
	b := newBrowser(t)
	const password = "four mugs under rain"
	b.take(t, p.said[1], url.Values{"name": {"Edda Quill"}, "password": {password}, "own": {"new"}, "home": {"Europe/Oslo"}})
	if page := b.take(t, base+"/letters/address", url.Values{"address": {"edda@example.org"}, "password": {password}}); !strings.Contains(page, "on its way") {
		t.Errorf("after asking:\n%s", page)
	}
	text := m.letter(t)
	link := regexp.MustCompile(`http://127\.0\.0\.1:\d+/letters\?code=[A-Z2-7=\r\n3D]+`).FindString(text)
	code := regexp.MustCompile(`it is ([A-Z2-7]{26})\.`).FindStringSubmatch(text)
	if code == nil || !strings.HasPrefix(link, base) || !strings.Contains(text, `From: "Logbook" <logbook@example.org>`) {
		t.Fatalf("link %q in\n%s", link, text)
	}
	if page := b.page(t, base+"/letters?code="+code[1]); !strings.Contains(page, `value="`+code[1]+`"`) {
		t.Errorf("the link leads to\n%s", page)
	}
	if page := b.take(t, base+"/letters/address", url.Values{"do": {"confirm"}, "shown": {code[1]}}); !strings.Contains(page, "Letters go to <strong>edda@example.org</strong>") {
		t.Errorf("after the press:\n%s", page)
	}
}
