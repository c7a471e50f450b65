package web_test

import (
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"tidemark/ingest"
	"tidemark/load/journal"
	"tidemark/web"
)

// shared is a site with accounts, on a clock that is set by hand.
type shared struct {
	*site
	now   time.Time
	woken int // how often whoever sends letters was
}

// share makes accounts of a site: its requests go on as those of whoever sits at the
// machine, those of people go through as.
func share(s *site) *shared {
	out := &shared{site: s, now: noon}
	clock := func() time.Time { return out.now }
	s.journal = s.onClock(clock)
	s.server = web.New(web.Options{
		Journal: s.journal, Now: clock, Limits: ingest.DefaultLimits, Accounts: true, Letters: func() { out.woken++ }, Log: slog.New(slog.NewTextHandler(s.log, nil)),
	})
	return out
}

// nonce is what differs between two answers that are the same.
var nonce = regexp.MustCompile(`nonce="[^"]*"`)

const goodPassword = "four mugs under rain"

// join makes an account with a password through its link.
func (s *shared) join(name string) *visitor {
	s.t.Helper()
	secret, err := s.journal.Invite(s.t.Context(), journal.Invitation{Kind: journal.InviteRunner, Name: name, By: journal.Local})
	if err != nil {
		s.t.Fatal(err)
	}
	v := &visitor{shared: s, name: name}
	w := v.post("/invited/"+secret, url.Values{"name": {name}, "password": {goodPassword}})
	if w.Code != http.StatusSeeOther {
		s.t.Fatalf("join %s: %d\n%s", name, w.Code, w.Body)
	}
	a, err := s.journal.AccountNamed(s.t.Context(), name)
	if err != nil {
		s.t.Fatal(err)
	}
	v.id = a.ID
	return v
}

// let lets a visitor into the site's logbook.
func (s *shared) let(v *visitor, role journal.Role, medical, plan bool) {
	s.t.Helper()
	if err := s.book().Grant(s.t.Context(), v.id, role, medical, plan); err != nil {
		s.t.Fatal(err)
	}
}

func (s *shared) book() *journal.Book {
	s.t.Helper()
	b, err := s.journal.Open(s.t.Context(), journal.Local, s.runner.ID)
	if err != nil {
		s.t.Fatal(err)
	}
	return b
}

// visitor is a browser.
type visitor struct {
	*shared
	name   string
	id     journal.Person
	cookie *http.Cookie
}

func (v *visitor) do(r *http.Request) *httptest.ResponseRecorder {
	v.t.Helper()
	if v.cookie != nil {
		r.AddCookie(v.cookie)
	}
	w := httptest.NewRecorder()
	v.server.ServeHTTP(w, r)
	for _, c := range w.Result().Cookies() {
		if v.cookie = c; c.MaxAge < 0 {
			v.cookie = nil
		}
	}
	return w
}

func (v *visitor) post(target string, form url.Values) *httptest.ResponseRecorder {
	v.t.Helper()
	r := request("POST", target, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return v.do(r)
}

func (v *visitor) get(target string) *httptest.ResponseRecorder {
	v.t.Helper()
	return v.do(request("GET", target, nil))
}

// sees answers a page, which must be there.
func (v *visitor) sees(target string) string {
	v.t.Helper()
	w := v.get(target)
	if w.Code != http.StatusOK {
		v.t.Fatalf("%s: GET %s: %d\n%s", v.name, target, w.Code, w.Body)
	}
	return w.Body.String()
}

func wantStatus(t *testing.T, what string, w *httptest.ResponseRecorder, want int) {
	t.Helper()
	if w.Code != want {
		t.Errorf("%s: %d, want %d\n%.600s", what, w.Code, want, w.Body)
	}
}

// signing is a form that signs in.
func signing(name, password string) url.Values {
	return url.Values{"name": {name}, "password": {password}, "to": {"/account"}}
}

// TestSignIn: the first request leads to signing in and back; what is wrong is not told
// apart; the secret in the cookie changes with every sign-in.
func TestSignIn(t *testing.T) {
	s := share(newSite(t))
	edda := s.join("Edda Quill")
	stranger := &visitor{shared: s, name: "stranger"}
	w := stranger.get(s.base() + "/load?measure=time")
	if to := w.Header().Get("Location"); w.Code != 303 || to != "/sign-in?to="+url.QueryEscape(s.base()+"/load?measure=time") {
		t.Errorf("a page without a sign-in: %d to %q", w.Code, to)
	}
	wantStatus(t, "a form without a sign-in", stranger.post(s.base()+"/races", url.Values{}), 401)
	first := edda.cookie
	if !first.HttpOnly || first.SameSite != http.SameSiteLaxMode || first.Path != "/" || first.Secure {
		t.Errorf("cookie by http on this machine: %+v", first)
	}
	wantIn(t, edda.sees("/account"), "Edda Quill", "Sign out everywhere")
	var texts []string
	for _, form := range []url.Values{signing("Edda Quill", "wrong wrong wrong"), signing("Nobody Here", goodPassword)} {
		w := stranger.post("/sign-in", form)
		wantStatus(t, "a wrong try", w, 422)
		texts = append(texts, strings.ReplaceAll(w.Body.String(), form.Get("name"), ""))
	}
	if nonce.ReplaceAllString(texts[0], "") != nonce.ReplaceAllString(texts[1], "") {
		t.Error("a name that there is and one that there is not are told apart")
	}
	w = stranger.post("/sign-in", signing("eDDA quill", goodPassword))
	if w.Code != 303 || w.Header().Get("Location") != "/account" || stranger.cookie.Value == first.Value {
		t.Errorf("signed in: %d to %q", w.Code, w.Header().Get("Location"))
	}
	wantStatus(t, "signing out", stranger.post("/sign-out", nil), 303)
	if stranger.cookie != nil {
		t.Error("the cookie stays after signing out")
	}
	stranger.cookie = first // of the other browser
	wantIn(t, stranger.sees("/account"), "Edda Quill")
	wantStatus(t, "signing out everywhere", stranger.post("/account/sign-out", nil), 303)
	wantStatus(t, "a page after it", edda.get("/account"), 303)
}

// TestTooManyTries: the sixth wrong try within a minute is refused, right or wrong, and a
// minute later it is taken again; another name and another address go on.
func TestTooManyTries(t *testing.T) {
	s := share(newSite(t))
	s.join("Edda Quill")
	s.join("Rafe Tolland")
	stranger := &visitor{shared: s, name: "stranger"}
	for range 5 {
		wantStatus(t, "wrong try", stranger.post("/sign-in", signing("Edda Quill", "wrong wrong wrong")), 422)
	}
	w := stranger.post("/sign-in", signing("edda quill", goodPassword))
	wantStatus(t, "the sixth", w, 429)
	if w.Header().Get("Retry-After") == "" {
		t.Error("nothing says when to try again")
	}
	wantIn(t, w.Body.String(), "wrong too often", `value="edda quill"`)
	wantStatus(t, "another name", stranger.post("/sign-in", signing("Rafe Tolland", goodPassword)), 303)
	r := request("POST", "/sign-in", strings.NewReader(signing("Edda Quill", goodPassword).Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.RemoteAddr = "203.0.113.9:1234"
	elsewhere := &visitor{shared: s, name: "elsewhere"}
	wantStatus(t, "another address", elsewhere.do(r), 303)
}

// TestGoingOn: nobody is led to another site after signing in.
func TestGoingOn(t *testing.T) {
	s := share(newSite(t))
	s.join("Edda Quill")
	for to, want := range map[string]string{
		"/r/x/load?measure=time": "/r/x/load?measure=time", "": "/", "//evil.example/": "/", "https://evil.example/": "/", `/\evil.example`: "/",
		"/%0d%0aSet-Cookie:x=y": "/%0d%0aSet-Cookie:x=y", "javascript:alert(1)": "/", "/ok\r\nX: y": "/", "/\t/evil.example": "/",
	} {
		v := &visitor{shared: s, name: "v"}
		form := signing("Edda Quill", goodPassword)
		form.Set("to", to)
		w := v.post("/sign-in", form)
		if got := w.Header().Get("Location"); w.Code != 303 || got != want {
			t.Errorf("to %q: %d to %q, want %q", to, w.Code, got, want)
		}
	}
}

// TestPasswords: what is too short, too long or too plain is refused with what was typed.
func TestPasswords(t *testing.T) {
	s := share(newSite(t))
	for password, says := range map[string]string{
		"short": "at least 12 characters", strings.Repeat("x", 12): "one character again and again", strings.Repeat("ab", 65): "at most 128",
		"xx Edda Quill xx": "neither the name", "edda quillquill": "neither the name", "passwordpassword": "first that are tried", "my tidemark word": "name of this program",
	} {
		secret, err := s.journal.Invite(t.Context(), journal.Invitation{Kind: journal.InviteRunner, By: journal.Local})
		if err != nil {
			t.Fatal(err)
		}
		v := &visitor{shared: s, name: "v"}
		w := v.post("/invited/"+secret, url.Values{"name": {"Edda Quill"}, "password": {password}})
		wantStatus(t, password, w, 422)
		wantIn(t, w.Body.String(), says, `value="Edda Quill"`)
		if strings.Contains(w.Body.String(), password) && password != "short" {
			t.Errorf("the page repeats the password %q", password)
		}
	}
	edda := s.join("Edda Quill")
	form := url.Values{"name": {"Edda Quill"}, "password": {"not this one here"}, "new": {"nine boats in a row"}}
	wantStatus(t, "a change without the old one", edda.post("/account/password", form), 422)
	form.Set("password", goodPassword)
	other := &visitor{shared: s, name: "other browser"}
	other.post("/sign-in", signing("Edda Quill", goodPassword))
	before := edda.cookie.Value
	wantStatus(t, "a change", edda.post("/account/password", form), 303)
	if edda.cookie.Value == before {
		t.Error("the secret stays after a change of the password")
	}
	wantIn(t, edda.sees("/account"), "Edda Quill")
	wantStatus(t, "the other browser", other.get("/account"), 303)
	wantStatus(t, "the old password", other.post("/sign-in", signing("Edda Quill", goodPassword)), 422)
	wantStatus(t, "the new one", other.post("/sign-in", signing("Edda Quill", "nine boats in a row")), 303)
}

// TestInvited: a link is good once, for what it says, and a reset drops everything else.
func TestInvited(t *testing.T) {
	s := share(newSite(t))
	w := (&visitor{shared: s, name: "v"}).get("/invited/guess")
	wantStatus(t, "a link that was forged", w, 404)
	host, err := s.journal.Invite(t.Context(), journal.Invitation{Kind: journal.InviteHost, By: journal.Local, Home: "Europe/Oslo"})
	if err != nil {
		t.Fatal(err)
	}
	first := &visitor{shared: s, name: "first"}
	page := first.get("/invited/" + host)
	wantIn(t, page.Body.String(), "The first account looks after this program.", "it is there already: Nell Ashby", "make me one")
	if page.Header().Get("Referrer-Policy") != "no-referrer" || page.Header().Get("Cache-Control") != "no-store" {
		t.Errorf("the page of a secret address: %v", page.Header())
	}
	form := url.Values{"name": {"Nell Ashby"}, "password": {goodPassword}, "own": {string(s.runner.ID)}}
	wantStatus(t, "the first account", first.post("/invited/"+host, form), 303)
	wantIn(t, first.sees("/"), "Nell Ashby", "Care team and data")
	wantStatus(t, "the link again", (&visitor{shared: s, name: "v"}).post("/invited/"+host, form), 404)

	w = first.post(s.base()+"/care/invite", url.Values{"role": {"coach"}, "name": {"Rafe"}})
	link := linkOf(t, w.Body.String())
	w = first.post(link, url.Values{"accept": {"yes"}})
	wantStatus(t, "into one's own logbook", w, 409)
	wantIn(t, w.Body.String(), "That logbook has an owner")
	wantStatus(t, "inviting as nothing", first.post(s.base()+"/care/invite", url.Values{"role": {"owner"}}), 422)
	rafe := s.join("Rafe Tolland")
	wantIn(t, rafe.sees(link), "Nell Ashby lets you into the logbook of Nell Ashby.", "until when there is no running", "Go in as Rafe Tolland")
	before := rafe.cookie.Value
	wantStatus(t, "accepting", rafe.post(link, url.Values{"accept": {"yes"}}), 303)
	if rafe.cookie.Value == before {
		t.Error("the secret stays after a change of rights")
	}
	wantIn(t, rafe.sees(s.base()), "Nell Ashby")
	wantIn(t, first.sees(s.base()+"/care"), "<strong>Rafe Tolland</strong>, coach", "Rafe Tolland looked at the load", "Rafe Tolland came in as coach")

	s.now = s.now.Add(8 * 24 * time.Hour)
	reset, err := s.journal.Invite(t.Context(), journal.Invitation{Kind: journal.InviteReset, Person: rafe.id, By: journal.Local})
	if err != nil {
		t.Fatal(err)
	}
	again := &visitor{shared: s, name: "again"}
	wantIn(t, again.sees("/invited/"+reset), "A new password for Rafe Tolland")
	wantStatus(t, "a new password", again.post("/invited/"+reset, url.Values{"password": {"nine boats in a row"}}), 303)
	wantStatus(t, "a browser from before", rafe.get("/account"), 303)
	if strings.Contains(s.log.String(), reset) || strings.Contains(s.log.String(), host) {
		t.Error("the log holds the secret of a link")
	}
}

// linkOf finds the link that a page shows once.
func linkOf(t *testing.T, page string) string {
	t.Helper()
	_, rest, ok := strings.Cut(page, "/invited/")
	if !ok {
		t.Fatalf("no link on the page:\n%s", page)
	}
	secret, _, _ := strings.Cut(rest, "<")
	return "/invited/" + secret
}

// TestSecond: codes are asked for once the first one was typed, each is good once.
func TestSecond(t *testing.T) {
	s := share(newSite(t))
	edda := s.join("Edda Quill")
	page := edda.post("/account/second", url.Values{}).Body.String()
	_, rest, _ := strings.Cut(page, `name="key" value="`)
	key, _, _ := strings.Cut(rest, `"`)
	wantIn(t, page, "RFC 6238", "<svg class=\"key\"")
	wantStatus(t, "a wrong first code", edda.post("/account/second", url.Values{"key": {key}, "code": {"000000"}}), 422)
	begin := url.Values{"key": {key}, "code": {codeAt(t, key, s.now)}}
	w := edda.post("/account/second", begin)
	wantStatus(t, "without the password", w, 422)
	wantIn(t, w.Body.String(), "your password or", key)
	begin.Set("key", "MFRGGZDFMZTWQ2LK") // 80 bits, RFC 4226 wants 128
	wantStatus(t, "a key of the sender's own", edda.post("/account/second", begin), 422)
	begin.Set("key", key)
	begin.Set("password", goodPassword)
	wantStatus(t, "the first code", edda.post("/account/second", begin), 303)
	other := &visitor{shared: s, name: "other"}
	form := signing("Edda Quill", goodPassword)
	wantStatus(t, "without a code", other.post("/sign-in", form), 422)
	form.Set("code", codeAt(t, key, s.now))
	wantStatus(t, "the code that was used", other.post("/sign-in", form), 422)
	s.now = s.now.Add(30 * time.Second)
	form.Set("code", codeAt(t, key, s.now))
	wantStatus(t, "the next code", other.post("/sign-in", form), 303)
	wantStatus(t, "the next code again", (&visitor{shared: s, name: "third"}).post("/sign-in", form), 422)
	s.now = s.now.Add(30 * time.Second)
	drop := url.Values{"drop": {"yes"}, "password": {goodPassword}, "code": {codeAt(t, key, s.now)}}
	wantStatus(t, "asking for none", other.post("/account/second", drop), 303)
	wantStatus(t, "the password alone", (&visitor{shared: s, name: "fourth"}).post("/sign-in", signing("Edda Quill", goodPassword)), 303)
}

// TestRevokedWithAnOpenPage: who is let go finds nothing at the next request.
func TestRevokedWithAnOpenPage(t *testing.T) {
	s := share(followed(t))
	nell, ada := s.join("Nell"), s.join("Ada Brandt")
	s.let(nell, journal.RoleRunner, false, false)
	s.let(ada, journal.RoleClinician, false, false)
	wantIn(t, ada.sees(s.base()+"/mornings"), "Left")
	w := nell.post(s.base()+"/care", url.Values{"person": {string(ada.id)}, "do": {"revoke"}})
	wantStatus(t, "revoking", w, 303)
	for _, path := range []string{"", "/mornings", "/load", "/load.csv", "/ramp", "/rehab"} {
		wantStatus(t, path, ada.get(s.base()+path), 404)
	}
	wantStatus(t, "a form of the open page", ada.post(s.base()+"/tests", url.Values{"test": {"knee-to-wall"}, "day": {today.String()}, "left": {"9"}, "right": {"9"}}), 404)
	wantStatus(t, "the last owner", nell.post(s.base()+"/care", url.Values{"person": {string(nell.id)}, "do": {"revoke"}}), 409)
}

// TestTwoClinicians: the second to change one plan is told, and nothing is overwritten.
func TestTwoClinicians(t *testing.T) {
	s := share(climbing(t))
	ada, bea := s.join("Ada Brandt"), s.join("Bea Lund")
	s.let(ada, journal.RoleClinician, false, false)
	s.let(bea, journal.RoleClinician, false, false)
	form := everyDay("seen", "0")
	wantIn(t, ada.sees(s.base()+"/ramp"), `name="seen" value="0"`)
	wantIn(t, bea.sees(s.base()+"/ramp"), `name="seen" value="0"`)
	wantStatus(t, "the first", ada.post(s.base()+"/ramp", form), 303)
	w := bea.post(s.base()+"/ramp", form)
	wantStatus(t, "the second", w, 409)
	wantIn(t, w.Body.String(), "changed meanwhile")
	rows, err := s.book().Ramps(t.Context())
	if err != nil || len(rows) != 1 || rows[0].By != ada.id {
		t.Errorf("what is kept: %+v, %v", rows, err)
	}
	wantIn(t, bea.sees(s.base()+"/ramp"), "by Ada Brandt")
}

// TestInCharge: while a clinician follows something the runner brakes and does not let go.
func TestInCharge(t *testing.T) {
	s := share(climbing(t))
	nell, ada := s.join("Nell"), s.join("Ada Brandt")
	s.let(nell, journal.RoleRunner, false, false)
	s.let(ada, journal.RoleClinician, false, false)
	wantStatus(t, "the clinician plans", ada.post(s.base()+"/ramp", everyDay()), 303)
	page := nell.sees(s.base() + "/ramp")
	if strings.Contains(page, "Set it anew") || !strings.Contains(page, "Hold it") {
		t.Error("the runner may set what the clinician set, or cannot hold it")
	}
	wantStatus(t, "the runner holds it", nell.post(s.base()+"/ramp/state", url.Values{"state": {"held"}, "why": {"a cold"}}), 303)
	w := nell.post(s.base()+"/ramp/state", url.Values{"state": {"running"}})
	wantStatus(t, "the runner lifts it", w, 403)
	wantIn(t, w.Body.String(), "Somebody else is in charge")
	wantStatus(t, "the clinician lifts it", ada.post(s.base()+"/ramp/state", url.Values{"state": {"running"}}), 303)
	wantStatus(t, "the clinician hands over", ada.post(s.base()+"/hurts/ach-mid-left", url.Values{"status": {"handed-over"}}), 303)
	wantStatus(t, "the runner sets it", nell.post(s.base()+"/ramp", everyDay()), 303)
}

// TestNoMedicalWord: what hurts, its mornings and what is done for it reach a coach without
// leave only as held, until a day.
func TestNoMedicalWord(t *testing.T) {
	s := share(climbing(t))
	owner, rafe := s.join("Owner"), s.join("Rafe Tolland")
	s.let(owner, journal.RoleRunner, false, false)
	s.let(rafe, journal.RoleCoach, false, false)
	wantStatus(t, "a plan", owner.post(s.base()+"/ramp", everyDay()), 303)
	wantStatus(t, "a flare", owner.post(s.base()+"/mornings", form("complaint", "ach-mid-left", "day", today.String(), "next", "7")), 303)
	wantIn(t, owner.sees(s.base()), "flared", "No run")
	for _, path := range []string{"", "/load", "/load?measure=run_time", "/load.csv", "/runs", "/runs.csv", "/races", "/settings", "?if=5"} {
		text := rafe.sees(s.base() + path)
		if i := strings.Index(text, `<details class="cautions"`); i >= 0 {
			text = text[:i]
		}
		for _, word := range []string{"Achilles", "ach-mid", "first steps", "flared", "unsettled", "exercises", "stage", "Something hurts", "the way back", "sore"} {
			if strings.Contains(text, word) {
				at := strings.Index(text, word)
				t.Errorf("%q on the coach's page %s: …%s…", word, path, text[max(0, at-120):min(len(text), at+80)])
			}
		}
	}
	wantIn(t, rafe.sees(s.base()), "No run", "held")
	s.let(rafe, journal.RoleCoach, true, false)
	wantIn(t, rafe.sees(s.base()), "flared")
}

// TestNames: who did something is named, on every page that says so.
func TestNames(t *testing.T) {
	s := share(newSite(t))
	nell := s.join("Nell Ashby of Oslo")
	s.let(nell, journal.RoleRunner, false, false)
	wantStatus(t, "adding", nell.do(s.uploading([2]string{"diary.csv", diary(map[int]float64{5: 8, 1: 5})})), 200)
	nell.post(s.base()+"/races", form("day", today.String(), "name", "Pier mile"))
	nell.post(s.base()+"/settings", form("group", "heart", "from", today.String(), "heart-rest", "52"))
	wantIn(t, nell.sees(s.base()), "Nell Ashby of Oslo accepted the race")
	wantIn(t, nell.sees(s.base()+"/races"), "by Nell Ashby of Oslo")
	wantIn(t, nell.sees(s.base()+"/settings"), "by Nell Ashby of Oslo")
	for _, path := range []string{"", "/races", "/settings"} {
		if strings.Contains(nell.sees(s.base()+path), string(nell.id)) {
			t.Errorf("%s shows the ID of an account", path)
		}
	}
}
