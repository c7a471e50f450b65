package web_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"tidemark/load/journal"
)

// call is a row of the table of API calls; medical are the fields of its answer that reach
// only who may see medical detail, empty where the whole answer does.
type call struct {
	method, path string
	who          string
	body         string
}

// calls is the table. s: a token is asked for, f: the token may not.
var calls = []call{
	//                  nobody runner guardian led coach medical brake clinician revoked foreign host
	{"GET", "/me", "syyyyyyyyyy", ""},
	{"GET", "/runners", "syyyyyyyyyy", ""},
	{"GET", "/evidence", "syyyyyyyyyy", ""},
	{"GET", "/findings", "syyyyyyyyyy", ""},
	{"GET", "/runners/{runner}/load", "syyyyyyy---", ""},
	{"GET", "/runners/{runner}/what-if?amount=5", "syyyyyyy---", ""},
	{"GET", "/runners/{runner}/races", "syyyyyyy---", ""},
	{"GET", "/runners/{runner}/evidence", "syyyyyyy---", ""},
	{"POST", "/runners/{runner}/races", "syyyyyyy---", `{"day": "2026-06-07", "name": "Pier mile"}`},
	{"POST", "/runners/{runner}/findings/{finding}", "syyyyyyy---", `{"state": "seen"}`},
	{"GET", "/runners/{runner}/complaints", "syyy-y-y---", ""},
	{"GET", "/runners/{runner}/mornings", "syyy-y-y---", ""},
	{"GET", "/runners/{runner}/ramp", "syyy-y-y---", ""},
	{"POST", "/runners/{runner}/mornings", "syyy-------", `{"complaint": "ach-mid:left", "on": "2026-05-03", "next": 1}`},
	{"POST", "/runners/{runner}/recordings", "syyy-------", "date,distance_km\n2026-05-02,3\n"},
}

// token makes a token of a visitor.
func (v *visitor) token(scope journal.Scope) string {
	v.t.Helper()
	if v.id == "" {
		a, err := v.journal.AccountNamed(v.t.Context(), v.name)
		if err != nil {
			return ""
		}
		v.id = a.ID
	}
	secret, err := v.journal.MakeToken(v.t.Context(), v.id, "test", scope, time.Hour)
	if err != nil {
		v.t.Fatal(err)
	}
	return secret
}

func (s *shared) call(method, path, token, body string) *httptest.ResponseRecorder {
	s.t.Helper()
	r := httptest.NewRequest(method, path, strings.NewReader(body))
	r.Host = "127.0.0.1:8080"
	if token != "" {
		r.Header.Set("Authorization", "Bearer "+token)
	}
	if r.Header.Set("Content-Type", "application/json"); strings.Contains(path, "/recordings") {
		r.Header.Set("Content-Type", "application/octet-stream")
	}
	w := httptest.NewRecorder()
	s.server.ServeHTTP(w, r)
	return w
}

// TestAPIAccess asks for every call as everybody. A call without a row fails.
func TestAPIAccess(t *testing.T) {
	for column, role := range roles {
		t.Run(role, func(t *testing.T) {
			s, v, fill := played(t, role)
			token, reads := v.token(journal.ScopeWrite), v.token(journal.ScopeRead)
			for _, c := range calls {
				path := "/api/v1" + fill.Replace(strings.NewReplacer("{finding}", "{FINDING}").Replace(c.path))
				path = strings.ReplaceAll(path, "{FINDING}", findingOf(t, s))
				w := s.call(c.method, path, token, c.body)
				if want := c.who[column]; !allowedAPI(want, w.Code) {
					t.Errorf("%s %s: %d, want %c: %s", c.method, path, w.Code, want, w.Body)
				}
				if c.method == "POST" && c.who[column] == 'y' {
					wantStatus(t, "a token that reads only: "+path, s.call(c.method, path, reads, c.body), http.StatusForbidden)
				}
			}
		})
	}
}

func allowedAPI(want byte, got int) bool {
	switch want {
	case 'y':
		return got == 200 || got == 204
	case 's':
		return got == http.StatusUnauthorized
	}
	return got == http.StatusNotFound
}

func findingOf(t *testing.T, s *shared) string {
	t.Helper()
	all, err := s.book().Findings(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range all {
		if !f.Medical() {
			return f.ID
		}
	}
	t.Fatal("no finding about load")
	return ""
}

// TestEveryCall: a call that is new in the description has a row.
func TestEveryCall(t *testing.T) {
	var have []string
	query := regexp.MustCompile(`\?.*`)
	for _, c := range calls {
		have = append(have, c.method+" /api/v1"+query.ReplaceAllString(strings.ReplaceAll(c.path, "{finding}", "{id}"), ""))
		if len(c.who) != len(roles) {
			t.Errorf("%s %s: %d columns, want %d", c.method, c.path, len(c.who), len(roles))
		}
	}
	err := share(newSite(t)).server.EachRoute(func(method, pattern string) {
		if strings.HasPrefix(pattern, "/api/v1") && !slices.Contains(have, method+" "+pattern) {
			t.Errorf("%s %s has no row in the table", method, pattern)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
}

// TestAPIKeepsMedicalBack: of what follows from medical detail a coach's JSON holds one
// limit, held, and nothing that names it.
func TestAPIKeepsMedicalBack(t *testing.T) {
	s := share(climbing(t))
	owner, rafe := s.join("Owner"), s.join("Rafe Tolland")
	s.let(owner, journal.RoleRunner, false, false)
	s.let(rafe, journal.RoleCoach, false, true)
	owner.post(s.base()+"/ramp", everyDay())
	owner.post(s.base()+"/mornings", form("complaint", "ach-mid-left", "day", today.String(), "next", "7"))
	path := "/api/v1/runners/" + string(s.runner.ID)
	all := s.call("GET", path+"/load", owner.token(journal.ScopeRead), "").Body.String()
	wantIn(t, all, "morning-flared", `"rule":"ramp"`)
	for _, call := range []string{"/load", "/load?measure=run_time", "/what-if?amount=3", "/races", "/evidence"} {
		text := s.call("GET", path+call, rafe.token(journal.ScopeRead), "").Body.String()
		for _, word := range []string{"morning", "flared", "ramp", "spacing", "complaint\"", "red-flag", "ach-mid", "stage", "programme-behind", "over-plan"} {
			if strings.Contains(text, word) {
				t.Errorf("%s holds %q: %s", call, word, text[max(0, strings.Index(text, word)-80):][:160])
			}
		}
	}
	wantIn(t, s.call("GET", "/api/v1/findings", owner.token(journal.ScopeRead), "").Body.String(), "morning-flared", `"name":"Nell Ashby"`)
	if text := s.call("GET", "/api/v1/findings", rafe.token(journal.ScopeRead), "").Body.String(); strings.Contains(text, "flared") {
		t.Errorf("open warnings say %s", text)
	}
	var out struct {
		Headroom struct {
			State, Decides string
			Amount         float64
			Limits         []struct{ Rule, Why string }
		}
	}
	text := s.call("GET", path+"/load", rafe.token(journal.ScopeRead), "").Body.Bytes()
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatal(err)
	}
	if h := out.Headroom; h.State != "held" || h.Decides != "held" || h.Amount != 0 || len(h.Limits) != 1 || !strings.HasPrefix(h.Limits[0].Why, "no run until") {
		t.Errorf("headroom %+v", h)
	}
}

// TestAPINames: who accepted a race and who answered a warning is said by name, not by what
// the account is kept under.
func TestAPINames(t *testing.T) {
	s, rafe, _ := played(t, "coach")
	token, path := rafe.token(journal.ScopeWrite), "/api/v1/runners/"+string(s.runner.ID)
	races := s.call("POST", path+"/races", token, `{"day": "2026-06-07", "name": "Pier mile"}`).Body.String()
	wantIn(t, races, `"by":"A coach"`)
	wantStatus(t, "an answer", s.call("POST", path+"/findings/"+findingOf(t, s), token, `{"state": "seen"}`), 204)
	for _, call := range []string{"/races", "/load"} {
		text := s.call("GET", path+call, token, "").Body.String()
		wantIn(t, text, `"by":"A coach"`)
		if strings.Contains(text, string(rafe.id)) {
			t.Errorf("%s holds the account's ID: %s", call, text)
		}
	}
}

// TestAPITokens: a forged, an ended and a revoked token are refused, and none is in the log.
func TestAPITokens(t *testing.T) {
	s := share(newSite(t))
	edda := s.join("Edda Quill")
	token := edda.token(journal.ScopeRead)
	wantStatus(t, "a token", s.call("GET", "/api/v1/me", token, ""), 200)
	for _, forged := range []string{"", "tidemark-guess", token + "x", strings.ToUpper(token)} {
		w := s.call("GET", "/api/v1/me", forged, "")
		if w.Code != 401 || w.Header().Get("WWW-Authenticate") != "Bearer" {
			t.Errorf("token %.12q: %d %v", forged, w.Code, w.Header())
		}
	}
	wantStatus(t, "a browser's cookie is no token", edda.get("/api/v1/me"), 401)
	s.now = s.now.Add(time.Hour)
	wantStatus(t, "a token that has ended", s.call("GET", "/api/v1/me", token, ""), 401)
	page := edda.post("/account/tokens", form("name", "watch", "scope", "write", "days", "30", "password", goodPassword)).Body.String()
	made := regexp.MustCompile(`tidemark-[a-z2-7]{26}`).FindString(page)
	wantStatus(t, "a token of the page", s.call("GET", "/api/v1/me", made, ""), 200)
	if again := edda.sees("/account"); strings.Contains(again, made) {
		t.Error("the page shows a token twice")
	}
	hash := regexp.MustCompile(`/account/tokens/([0-9a-f]{64})`).FindStringSubmatch(edda.sees("/account"))
	wantStatus(t, "revoking", edda.post("/account/tokens/"+hash[1], nil), 303)
	wantStatus(t, "a token that was revoked", s.call("GET", "/api/v1/me", made, ""), 401)
	wantStatus(t, "a token without the password", edda.post("/account/tokens", form("name", "x", "scope", "read", "days", "3", "password", "wrong wrong wrong")), 422)
	if strings.Contains(s.log.String(), made) || strings.Contains(s.log.String(), token) {
		t.Error("the log holds a token")
	}
}

// TestDocs: every example of the documentation is sent as it stands and is answered, and the
// page loads nothing from elsewhere.
func TestDocs(t *testing.T) {
	s := share(climbing(t))
	owner := s.join("Owner")
	s.let(owner, journal.RoleRunner, false, false)
	owner.post(s.base()+"/ramp", everyDay())
	owner.sees(s.base())
	token := owner.token(journal.ScopeWrite)
	page := owner.sees("/api/docs")
	if regexp.MustCompile(`(?i)(src|href)="https?:`).MatchString(page) {
		t.Error("the page loads something from elsewhere")
	}
	fill := strings.NewReplacer("RUNNER", string(s.runner.ID), "FINDING", findingOf(t, s), "&#39;", "'", "&#34;", `"`, "&amp;", "&", "&quot;", `"`)
	found := 0
	for _, m := range regexp.MustCompile(`(?s)<pre[^>]*><code>(.*?)</code></pre>`).FindAllStringSubmatch(page, -1) {
		text := fill.Replace(m[1])
		address := regexp.MustCompile(`'http://127\.0\.0\.1:8080([^']*)'$`).FindStringSubmatch(text)
		if address == nil {
			t.Errorf("no address in %q", text)
			continue
		}
		method, body := "GET", ""
		if m := regexp.MustCompile(`-d '([^']*)'`).FindStringSubmatch(text); m != nil {
			method, body = "POST", m[1]
		}
		path, _, _ := strings.Cut(address[1], "?")
		if strings.Contains(text, "--data-binary") {
			method, body = "POST", gpx(noon.AddDate(0, 0, -2), 20)
		}
		w := s.call(method, address[1], token, body)
		if strings.HasSuffix(path, "/recordings") {
			wantIn(t, w.Body.String(), `"outcome":"added"`, `"added":1`)
		}
		if w.Code != 200 && w.Code != 204 {
			t.Errorf("%s\n%d %s", text, w.Code, w.Body)
		}
		found++
	}
	if found != len(calls) {
		t.Errorf("%d examples of %d calls", found, len(calls))
	}
	w := s.call("GET", "/api/openapi.json", "", "")
	var document struct{ OpenAPI string }
	if err := json.Unmarshal(w.Body.Bytes(), &document); err != nil || !strings.HasPrefix(document.OpenAPI, "3.1") {
		t.Errorf("the document: %q, %v", document.OpenAPI, err)
	}
}

// TestAPIRefuses: what cannot be is said with the field, and nothing is kept.
func TestAPIRefuses(t *testing.T) {
	s := share(followed(t))
	owner := s.join("Owner")
	s.let(owner, journal.RoleRunner, false, false)
	token := owner.token(journal.ScopeWrite)
	path := "/api/v1/runners/" + string(s.runner.ID)
	for _, c := range []struct{ method, path, body, says string }{
		{"POST", "/mornings", `{"complaint": "ach-mid:left", "on": "2026-05-03", "next": 11}`, "body.next"},
		{"POST", "/mornings", `{"complaint": "ach-mid:left", "on": "2026-05-04", "next": 1}`, "2026-05-04"},
		{"POST", "/mornings", `{"complaint": "ach-mid:left", "on": "3 May", "next": 1}`, "body.on"},
		{"POST", "/mornings", `{"on": "2026-05-03"}`, "complaint"},
		{"POST", "/mornings", `{`, "unexpected end"},
		{"POST", "/races", `{"day": "2026-06-07", "distance_km": -1}`, "body.distance_km"},
		{"GET", "/load?from=2026-05-03&to=2026-05-01", "", "from before to"},
		{"GET", "/load?on=2026-05-04", "", "not come yet"},
		{"GET", "/what-if?amount=0", "", "query.amount"},
		{"GET", "/what-if?amount=5&on=2027-01-01", "", "a week ahead"},
		{"GET", "/load?measure=NaN", "", "query.measure"},
	} {
		w := s.call(c.method, path+c.path, token, c.body)
		if w.Code < 400 || w.Code >= 500 || !strings.Contains(w.Body.String(), c.says) {
			t.Errorf("%s %s %s: %d %s, want %q", c.method, c.path, c.body, w.Code, w.Body, c.says)
		}
	}
	w := s.call("POST", path+"/recordings", token, "this is no recording")
	wantIn(t, w.Body.String(), `"outcome":"refused"`, `"refused":1`)
	w = s.call("POST", path+"/recordings", token, strings.Repeat("x", 65<<20))
	wantStatus(t, "a recording of 65 MB", w, http.StatusRequestEntityTooLarge)
	mornings, err := s.book().Entries(t.Context())
	if err != nil || len(mornings) != 0 {
		t.Errorf("kept %v, %v", mornings, err)
	}
}
