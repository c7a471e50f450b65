package web_test

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"tidemark/load/journal"
)

// hostile is a text that would be a script, an attribute or a header where somebody forgot
// that it is a text.
const hostile = `<script>alert(1)</script>"' onmouseover=alert(1) ` + "\r\nX-Injected: yes"

// TestHostileTexts types it into every text field; no page, no header and no file repeats it
// as anything but a text.
func TestHostileTexts(t *testing.T) {
	s := share(climbing(t))
	owner := s.join("Owner")
	s.let(owner, journal.RoleRunner, false, false)
	base := s.base()
	plain := strings.ReplaceAll(hostile, "\r\n", " ")
	forms := []struct {
		path string
		form url.Values
	}{
		{"/hurts", form("site", "calf", "side", "right", "onset", "2026-05-01", "note", plain)},
		{"/hurts", form("site", hostile, "side", hostile, "onset", hostile, "note", hostile, "pain", hostile, "stiffness", hostile)},
		{"/hurts/calf-right/usual", form("from", hostile, "pain", hostile, "stiffness", hostile)},
		{"/hurts/calf-right", form("status", "handed-over", "day", hostile, "why", hostile)},
		{"/hurts/calf-right", form("status", "closed", "why", plain)},
		{"/hurts/calf-right/again", form("onset", hostile, "why", plain)},
		{"/hurts/calf-right/again", form("onset", "2026-05-01", "why", plain)},
		{"/set-up", bench("note", hostile, "site", hostile, "side", hostile, "onset", hostile, "pain", hostile, "sign", hostile, "programme", hostile, "started", hostile)},
		{"/set-up", bench("reason", plain, "first", hostile, "phase", hostile, "stage", hostile, "until", hostile, "next", hostile)},
		{"/set-up", bench("site", "patellar", "side", "right", "programme", "", "way", "later", "phase", "", "stage", "", "note", plain)},
		{"/answer", form("what", hostile, "text", hostile, "next", hostile, "phase", hostile)},
		{"/tests", form("test", "knee-to-wall", "day", "2026-05-03", "left", "9", "right", "10", "note", plain)},
		{"/tests", form("test", hostile, "day", hostile, "left", hostile, "right", hostile, "total", hostile, "note", hostile)},
		{"/mornings", form("complaint", hostile, "day", hostile, "next", hostile)},
		{"/races", form("day", "2026-06-07", "name", plain, "distance", "10")},
		{"/races", form("day", hostile, "name", hostile, "distance", hostile)},
		{"/happened", form("flag", "numb", "do", "raise")},
		{"/happened", form("flag", "numb", "do", "lift", "why", plain)},
		{"/ramp", everyDay("why", plain)},
		{"/ramp", form("start", hostile, "free", hostile, "goal", hostile, "pace", hostile, "by", hostile, "bmi", hostile, "own", hostile, "first", hostile, "why", hostile, "ladder", hostile)},
		{"/ramp/state", form("state", "held", "why", plain)},
		{"/ramp/state", form("state", hostile, "until", hostile, "why", hostile)},
		{"/ramp/gate", form("daily", hostile, "walk", hostile, "raises", hostile)},
		{"/rehab/ach-mid-left/prescribe", form("programme", "combined", "started", "2026-05-03", "why", plain)},
		{"/rehab/ach-mid-left/prescribe", form("programme", hostile, "started", hostile, "why", hostile)},
		{"/rehab/ach-mid-left/log", form("exercise", "ankle_pumps", "day", "2026-05-03", "sets", "1", "reps", "60", "note", plain)},
		{"/rehab/ach-mid-left/log", form("exercise", hostile, "day", hostile, "sets", hostile, "note", hostile)},
		{"/rehab/ach-mid-left/order", form("phase", hostile, "stage", hostile, "until", hostile)},
		{"/rehab/ach-mid-left/routine", form("name", hostile, "exercise", hostile, "sets", hostile)},
		{"/rehab/away", form("from", hostile, "to", hostile, "reason", hostile)},
		{"/gaps", form("first", hostile, "last", hostile, "runs", hostile, "longest", hostile, "answer", "ran")},
		{"/settings", form("group", "limits", "from", hostile, "session-share", hostile)},
		{"/newcomer", form("longest", hostile, "week", hostile, "runs", hostile)},
		{"/care/invite", form("role", "coach", "name", plain)},
		{"/care/invite", form("role", hostile, "name", hostile)},
		{"/care/remove", form("name", hostile, "password", hostile)},
		{"/care", form("person", hostile, "do", hostile, "link", hostile)},
	}
	for _, f := range forms {
		w := owner.post(base+f.path, f.form)
		if w.Code >= 500 {
			t.Errorf("POST %s: %d", f.path, w.Code)
		}
		wantText(t, "POST "+f.path, w.Header(), w.Body.String())
	}
	for _, f := range []struct {
		path string
		form url.Values
	}{
		{"/orders", form("of", hostile, "phase", hostile, "stage", hostile, "until", hostile)},
		{"/orders", form("of", hostile, "phase", "1", "until", today.String(), "seen-"+hostile, hostile)},
		{"/sign-in", form("name", hostile, "password", hostile, "code", hostile, "to", hostile)},
		{"/account/child", form("child", plain, "home", hostile)},
		{"/account/tokens", form("name", plain, "scope", "read", "days", "3", "password", goodPassword)},
		{"/account/tokens", form("name", hostile, "scope", hostile, "days", hostile, "password", hostile)},
		{"/account/second", form("key", hostile, "code", hostile)},
	} {
		v := owner
		if f.path == "/sign-in" {
			v = &visitor{shared: s, name: "stranger"}
		}
		w := v.post(f.path, f.form)
		if w.Code >= 500 {
			t.Errorf("POST %s: %d", f.path, w.Code)
		}
		wantText(t, "POST "+f.path, w.Header(), w.Body.String())
	}
	w := owner.do(s.uploading([2]string{hostile + ".csv", "date,distance_km,note\n2026-05-01,5,\"" + strings.ReplaceAll(plain, `"`, "") + "\"\n"}))
	wantText(t, "an upload", w.Header(), w.Body.String())
	run := s.sessions()[len(s.sessions())-1].ID
	owner.post(base+"/runs/"+run, form("seen", "0", "was-note", "", "note", plain, "was-shoe", "", "shoe", plain))
	for _, path := range []string{"/races", "/ramp", "/hurts", "/care", "/runs/" + run} {
		wantIn(t, owner.sees(base+path), "&lt;script&gt;alert(1)&lt;/script&gt;") // it was kept
	}
	for _, path := range []string{
		base, base + "/load", base + "/load.csv", base + "/runs", base + "/runs.csv", base + "/runs/" + run, base + "/runs/" + run + "/original", base + "/races", base + "/settings", base + "/hurts", base + "/hurts/calf-right", base + "/set-up",
		base + "/visit", base + "/visit.pdf", base + "/take-home", base + "/take-home.pdf", base + "/tests", base + "/happened", base + "/mornings", base + "/rehab", base + "/ramp", base + "/ramp/runs.ics", base + "/care", base + "/gaps", base + "/add", "/account", "/runners", "/squad", "/caseload", "/letters", "/api/docs",
		base + "?if=" + url.QueryEscape(hostile), base + "/load?measure=" + url.QueryEscape(hostile), "/sign-in?to=" + url.QueryEscape(hostile), "/" + url.PathEscape(hostile), base + "/runs/" + url.PathEscape(hostile),
		"/r/" + url.PathEscape(hostile), "/invited/" + url.PathEscape(hostile), base + "/../../etc/passwd", base + "/runs/..%2f..%2fetc%2fpasswd", "/static/..%2f..%2fgo.mod",
	} {
		w := owner.get(path)
		if w.Code >= 500 {
			t.Errorf("GET %s: %d", path, w.Code)
		}
		if kind := w.Header().Get("Content-Type"); strings.HasPrefix(kind, "text/html") {
			wantText(t, "GET "+path, w.Header(), w.Body.String())
		} else {
			wantText(t, "GET "+path, w.Header(), "")
		}
	}
}

func wantText(t *testing.T, what string, header http.Header, page string) {
	t.Helper()
	if strings.Contains(page, "<script>alert") || strings.Contains(page, `"' onmouseover`) {
		t.Errorf("%s: the page repeats a script", what)
	}
	if header.Get("X-Injected") != "" {
		t.Errorf("%s: a header was added", what)
	}
	for key, values := range header {
		if strings.ContainsAny(strings.Join(values, ""), "\r\n") {
			t.Errorf("%s: header %s has a line break", what, key)
		}
	}
}

// TestCrossSite: what another site makes a browser send is not done, signed in or not.
func TestCrossSite(t *testing.T) {
	s := share(newSite(t))
	owner := s.join("Owner")
	s.let(owner, journal.RoleRunner, false, false)
	for _, path := range []string{"/sign-in", "/sign-out", "/account/sign-out", "/account/tokens", s.base() + "/care", s.base() + "/care/invite", s.base() + "/races", "/api/v1/runners/" + string(s.runner.ID) + "/races"} {
		for header, value := range map[string]string{"Sec-Fetch-Site": "cross-site", "Origin": "https://evil.example"} {
			r := request("POST", path, strings.NewReader("do=revoke"))
			r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
			if header == "Origin" {
				r.Header.Del("Sec-Fetch-Site")
			}
			r.Header.Set(header, value)
			wantStatus(t, path+" with "+header, owner.do(r), http.StatusForbidden)
		}
	}
	wantIn(t, owner.sees("/account"), "Owner")
}
