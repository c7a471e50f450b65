package web_test

import (
	"encoding/xml"
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
)

// codeOf is the code that a letter to somebody would hold.
func (v *visitor) codeOf() string {
	v.t.Helper()
	wish, err := v.journal.Wish(v.t.Context(), v.id)
	if err != nil {
		v.t.Fatal(err)
	}
	return wish.Code
}

// TestLetters: an address is asked for with the password, shown to be somebody's by a code,
// and given up again; each form that is wrong keeps what was typed.
func TestLetters(t *testing.T) {
	s := share(newSite(t))
	v := s.join("Rafe Tolland")
	s.let(v, journal.RoleCoach, false, false)
	page := v.sees("/letters")
	wantIn(t, page, "No letters come in the evening.", `value="Europe/Oslo"`, `<option value="19" selected>19:00`)
	for _, from := range []string{"/account", "/squad", "/caseload"} {
		wantIn(t, v.sees(from), `href="/letters"`)
	}

	w := v.post("/letters", form("hour", "21", "zone", "Europe/Nowhere", "detail", "yes"))
	wantStatus(t, "a zone that is none", w, 422)
	wantIn(t, w.Body.String(), `value="Europe/Nowhere"`, "The hour is one of the day", `<option value="21" selected>`, `value="yes" checked`)
	wantNotIn(t, w.Body.String(), `<option value="19" selected>`)
	wantStatus(t, "hour and zone", v.post("/letters", form("hour", "20", "zone", "Europe/London", "detail", "yes")), 303)
	wantIn(t, v.sees("/letters?saved=wish"), "It is kept.", `<option value="20" selected>`, `value="Europe/London"`, `value="yes" checked`)

	w = v.post("/letters/address", form("address", "rafe@example.org", "password", "not this one"))
	wantStatus(t, "without the password", w, 422)
	wantIn(t, w.Body.String(), `value="rafe@example.org"`, "your password")
	for _, bad := range []string{"rafe", "rafe@example.org, x@example.org", "Rafe <rafe@example.org>"} {
		w = v.post("/letters/address", form("address", bad, "password", goodPassword))
		wantStatus(t, bad, w, 422)
		wantIn(t, w.Body.String(), "no address")
	}
	wantStatus(t, "an address", v.post("/letters/address", form("address", "rafe@example.org", "password", goodPassword)), 303)
	if s.woken != 1 {
		t.Errorf("who sends letters was woken %d times", s.woken)
	}
	wantIn(t, v.sees("/letters?saved=asked"), "One step is missing", "rafe@example.org")
	wantStatus(t, "another at once", v.post("/letters/address", form("address", "x@example.org", "password", goodPassword)), 422)
	w = v.post("/letters/address", form("do", "confirm", "shown", "ABC"))
	wantStatus(t, "another code", w, 422)
	wantIn(t, w.Body.String(), `value="ABC"`, "not the code")
	code := v.codeOf()
	wantIn(t, v.sees("/letters?code="+code), `value="`+code+`"`)
	wantStatus(t, "the code", v.post("/letters/address", form("do", "confirm", "shown", code)), 303)
	wantIn(t, v.sees("/letters"), "At 20:00 a letter comes", "Letters go to <strong>rafe@example.org</strong>")
	wantStatus(t, "the end", v.post("/letters/address", form("do", "end")), 303)
	wantIn(t, v.sees("/letters"), "No letters come in the evening.")
}

// TestLettersStop: the address in a letter ends letters without a sign-in, by a press and
// never by a look, as programs for mail do it (RFC 8058).
func TestLettersStop(t *testing.T) {
	s := share(newSite(t))
	v := s.join("Rafe Tolland")
	wantStatus(t, "an address", v.post("/letters/address", form("address", "rafe@example.org", "password", goodPassword)), 303)
	wantStatus(t, "the code", v.post("/letters/address", form("do", "confirm", "shown", v.codeOf())), 303)
	wish, err := s.journal.Wish(t.Context(), v.id)
	if err != nil {
		t.Fatal(err)
	}
	stranger := &visitor{shared: s}
	target := "/letters/stop/" + wish.Stop
	wantIn(t, stranger.sees(target), "End the evening letters?")
	if got := stranger.get(target).Header().Get("Referrer-Policy"); got != "no-referrer" {
		t.Errorf("Referrer-Policy %q", got)
	}
	wantIn(t, v.sees("/letters"), "Letters go to")
	w := stranger.post(target, form("List-Unsubscribe", "One-Click"))
	wantStatus(t, "one click", w, 200)
	wantIn(t, w.Body.String(), "No more letters are sent.")
	wantIn(t, v.sees("/letters"), "No letters come")
	wantStatus(t, "again", stranger.post(target, form()), 200)
	wantStatus(t, "a look at what has ended", stranger.get(target), 404)
	if strings.Contains(s.log.String(), wish.Stop) {
		t.Error("the log has the secret")
	}
}

// TestLettersWithout: a server that sends no letters says so, and has feeds all the same.
func TestLettersWithout(t *testing.T) {
	s := share(newSite(t))
	s.server.Letters = nil
	v := s.join("Rafe Tolland")
	page := v.sees("/letters")
	wantIn(t, page, "This server sends no letters.", "Make it")
	wantNotIn(t, page, `name="address"`)
	wantStatus(t, "an address", v.post("/letters/address", form("address", "rafe@example.org", "password", goodPassword)), 404)
	wants(t, v, "rafe@example.org") // when it did
	page = v.sees("/letters")
	wantIn(t, page, "No letters come in the evening.", "rafe@example.org</strong> once it does")
	wantStatus(t, "the end", v.post("/letters/address", form("do", "end")), 303)
	wantNotIn(t, v.sees("/letters"), "rafe@example.org")
}

// wants begins letters to somebody.
func wants(t *testing.T, v *visitor, address string) {
	t.Helper()
	if err := v.journal.AskAddress(t.Context(), v.id, address, "Europe/Oslo"); err != nil {
		t.Fatal(err)
	}
	if err := v.journal.ConfirmAddress(t.Context(), v.id, v.codeOf()); err != nil {
		t.Fatal(err)
	}
}

// TestLettersTrouble: the page says which letter did not go, why, and what becomes of it.
func TestLettersTrouble(t *testing.T) {
	s := share(newSite(t))
	v := s.join("Rafe Tolland")
	s.let(v, journal.RoleCoach, false, false)
	try := func() journal.Letter {
		t.Helper()
		l, is, err := s.journal.TakeLetter(t.Context(), v.id)
		if err != nil || !is {
			t.Fatalf("%v, %v", is, err)
		}
		return l
	}
	fail := func(refused bool, why string) {
		t.Helper()
		l := try()
		if err := s.journal.LetterFailed(t.Context(), &l, why, refused); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.journal.AskAddress(t.Context(), v.id, "rafe@example.org", "Europe/Oslo"); err != nil {
		t.Fatal(err)
	}
	fail(true, "the mail server refused it")
	page := v.sees("/letters")
	wantIn(t, page, "The letter with the code did not go: the mail server refused it.", "1 time so far", "Is the address right?")
	wantNotIn(t, page, "The last letter")
	if err := s.journal.ConfirmAddress(t.Context(), v.id, v.codeOf()); err != nil {
		t.Fatal(err)
	}
	s.hasJumped()
	fail(false, "the mail server could not be reached")
	page = v.sees("/letters")
	wantIn(t, page, "The last letter did not go: the mail server could not be reached.")
	wantNotIn(t, page, "with the code did not go", "sent no more")
	s.now = s.now.Add(7 * 24 * time.Hour)
	fail(true, "the mail server refused it")
	page = v.sees("/letters")
	wantIn(t, page, "What was new on 3 May 2026 could not be sent for a week", "Letters have ended, because the mail server refused it for a week.", "No letters come")
	wantNotIn(t, page, "tried again by itself")
}

// hasJumped has the runner run too long today, and the evening come.
func (s *shared) hasJumped() {
	s.t.Helper()
	owner := s.join("Owner")
	s.let(owner, journal.RoleRunner, false, false)
	runs := steady()
	runs[0] = 21
	wantStatus(s.t.(*testing.T), "runs", owner.do(s.uploading([2]string{"diary.csv", diary(runs)})), 200)
	s.now = noon.Add(8 * time.Hour)
	if made, err := s.journal.MakeEvenings(s.t.Context()); made != 1 || err != nil {
		s.t.Fatalf("%d evenings, %v", made, err)
	}
}

// atom is what RFC 4287 wants of a feed, read by the standard library.
type atom struct {
	XMLName xml.Name `xml:"http://www.w3.org/2005/Atom feed"`
	ID      string   `xml:"id"`
	Title   string   `xml:"title"`
	Updated string   `xml:"updated"`
	Author  string   `xml:"author>name"`
	Entries []struct {
		ID      string `xml:"id"`
		Title   string `xml:"title"`
		Updated string `xml:"updated"`
		Content string `xml:"content"`
		Link    struct {
			Href string `xml:"href,attr"`
		} `xml:"link"`
	} `xml:"entry"`
}

// read parses a feed and looks at what every one must have (RFC 4287, 4.1.1, 4.1.2).
func read(t *testing.T, text string) (a atom) {
	t.Helper()
	if err := xml.Unmarshal([]byte(text), &a); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	uri := func(what, text string) {
		if u, err := url.Parse(text); err != nil || !u.IsAbs() {
			t.Errorf("%s %q is no URI", what, text)
		}
	}
	at := func(what, text string) {
		if _, err := time.Parse(time.RFC3339, text); err != nil {
			t.Errorf("%s: %v", what, err)
		}
	}
	uri("feed", a.ID)
	at("feed", a.Updated)
	if a.Title == "" || a.Author == "" {
		t.Errorf("%+v", a)
	}
	for _, e := range a.Entries {
		uri("entry", e.ID)
		uri("link", e.Link.Href)
		at("entry", e.Updated)
		if e.Title == "" {
			t.Errorf("%+v", e)
		}
	}
	return a
}

// TestNews: the feed has what was new on evenings, as far as its owner may see it now and
// wants it said, under an address that ends with a press.
func TestNews(t *testing.T) {
	s := share(newSite(t))
	v := s.join("Rafe Tolland")
	s.let(v, journal.RoleCoach, false, false)
	wantStatus(t, "without the password", v.post("/letters/feed", form("do", "open")), 422)
	w := v.post("/letters/feed", form("do", "open", "password", goodPassword))
	found := regexp.MustCompile(`http://[^<]*/news/[A-Z0-9]+\.xml`).FindString(w.Body.String())
	address, err := url.Parse(found)
	if err != nil || found == "" {
		t.Fatalf("no address: %v\n%.2000s", err, w.Body)
	}
	wantNotIn(t, v.sees("/letters"), address.Path)
	stranger := &visitor{shared: s}
	if got := stranger.get(address.Path).Header().Get("Referrer-Policy"); got != "no-referrer" {
		t.Errorf("Referrer-Policy %q", got)
	}
	if a := read(t, stranger.sees(address.Path)); len(a.Entries) != 0 {
		t.Errorf("before the first evening: %+v", a.Entries)
	}
	wantStatus(t, "hour", v.post("/letters", form("hour", "19", "zone", "Europe/Oslo")), 303)
	s.hasJumped()
	a := read(t, stranger.sees(address.Path))
	if len(a.Entries) != 1 || a.Entries[0].Content != "Nell Ashby" || !strings.HasSuffix(a.Entries[0].Link.Href, s.base()) {
		t.Fatalf("%+v", a.Entries)
	}
	wantStatus(t, "detail", v.post("/letters", form("hour", "19", "zone", "Europe/Oslo", "detail", "yes")), 303)
	a = read(t, stranger.sees(address.Path))
	wantIn(t, a.Entries[0].Content, "Nell Ashby: ", load.FindRule(load.RuleSessionSpike).Title, "follow your clinician")
	if err := s.book().Revoke(t.Context(), v.id); err != nil {
		t.Fatal(err)
	}
	if a = read(t, stranger.sees(address.Path)); len(a.Entries) != 0 {
		t.Errorf("after it was revoked: %+v", a.Entries)
	}
	wantStatus(t, "the end", v.post("/letters/feed", form("do", "close")), http.StatusSeeOther)
	wantStatus(t, "a feed that has ended", stranger.get(address.Path), 404)
	if strings.Contains(s.log.String(), strings.TrimSuffix(strings.TrimPrefix(address.Path, "/news/"), ".xml")) {
		t.Error("the log has the secret")
	}
}
