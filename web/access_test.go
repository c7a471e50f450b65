package web_test

import (
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"tidemark/load/journal"
)

// roles are the columns of the table of routes, in order.
var roles = []string{
	"nobody",             // has not signed in
	"runner", "guardian", // own the logbook
	"runner with a clinician", // who is in charge
	"coach", "coach who sees what hurts", "coach who may brake", "clinician",
	"revoked", "foreign", "host", // have nothing, or another's
}

// route is a row of the table: y may, c sees that somebody else is in charge, - does not
// find it, s is asked to sign in.
type route struct {
	method, pattern string
	who             string
	form            url.Values
}

func form(pairs ...string) url.Values {
	v := url.Values{}
	for i := 0; i < len(pairs); i += 2 {
		v.Add(pairs[i], pairs[i+1])
	}
	return v
}

// routes is the table. {run}, {finding}, {link} and {coach} stand for ones that there are.
var routes = []route{
	//                                     nobody runner guardian led coach medical brake clinician revoked foreign host
	{"GET", "/static/{name}", "yyyyyyyyyyy", nil},
	{"GET", "/rests-on", "yyyyyyyyyyy", nil},
	{"GET", "/api/docs", "yyyyyyyyyyy", nil},
	{"GET", "/sign-in", "yyyyyyyyyyy", nil},
	{"POST", "/sign-in", "yyyyyyyyyyy", form("name", "x", "password", "x")},
	{"GET", "/invited/{secret}", "yyyyyyyyyyy", nil},
	{"POST", "/invited/{secret}", "yyyyyyyyyyy", form("name", "x", "password", "x")},
	{"GET", "/feed/{secret}", "yyyyyyyyyyy", nil},
	{"GET", "/news/{secret}", "yyyyyyyyyyy", nil},
	{"GET", "/letters/stop/{secret}", "yyyyyyyyyyy", nil},
	{"POST", "/letters/stop/{secret}", "yyyyyyyyyyy", form("List-Unsubscribe", "One-Click")},
	{"GET", "/", "syyyyyyyyyy", nil},
	{"GET", "/runners", "syyyyyyyyyy", nil},
	{"GET", "/squad", "syyyyyyyyyy", nil},
	{"GET", "/caseload", "syyyyyyyyyy", nil},
	{"GET", "/orders", "syyyyyyyyyy", nil},
	{"POST", "/orders", "syyyyyyyyyy", form("of", "{runner}/{complaint}", "phase", "2", "until", "2026-06-30")}, // refused by name
	{"GET", "/account", "syyyyyyyyyy", nil},
	{"POST", "/account/password", "syyyyyyyyyy", form()},
	{"POST", "/account/second", "syyyyyyyyyy", form()},
	{"POST", "/account/tokens", "syyyyyyyyyy", form()},
	{"POST", "/account/tokens/{hash}", "s----------", form()}, // another's
	{"POST", "/account/child", "syyyyyyyyyy", form()},
	{"GET", "/letters", "syyyyyyyyyy", nil},
	{"POST", "/letters", "syyyyyyyyyy", form("hour", "19", "zone", "Europe/Oslo")},
	{"POST", "/letters/address", "syyyyyyyyyy", form("address", "edda@example.org", "password", "x")},
	{"POST", "/letters/feed", "syyyyyyyyyy", form("do", "close")},

	{"GET", "/r/{runner}", "syyyyyyy---", nil},
	{"GET", "/r/{runner}/load", "syyyyyyy---", nil},
	{"GET", "/r/{runner}/load.csv", "syyyyyyy---", nil},
	{"GET", "/r/{runner}/runs", "syyyyyyy---", nil},
	{"GET", "/r/{runner}/runs.csv", "syyyyyyy---", nil},
	{"GET", "/r/{runner}/runs/{id}", "syyyyyyy---", nil},
	{"GET", "/r/{runner}/runs/{id}/original", "syyyyyyy---", nil},
	{"GET", "/r/{runner}/runs/{id}/gpx", "syyyyyyy---", nil},
	{"GET", "/r/{runner}/races", "syyyyyyy---", nil},
	{"GET", "/r/{runner}/settings", "syyyyyyy---", nil},
	{"POST", "/r/{runner}/findings/{id}", "syyyyyyy---", form("state", "seen")},
	{"POST", "/r/{runner}/races", "syyyyyyy---", form("day", "2026-06-07", "name", "Pier mile", "distance", "1.6")},

	{"POST", "/r/{runner}/answer", "s------y---", form("what", "x")}, // from a list, which is of others
	{"POST", "/squad", "syyyyyyy---", form("runner", "{runner}", "text", "easy on Tuesday")},

	{"GET", "/r/{runner}/visit", "syyy-y-y---", nil},
	{"GET", "/r/{runner}/visit.pdf", "syyy-y-y---", nil},
	{"GET", "/r/{runner}/take-home", "syyy-y-y---", nil},
	{"GET", "/r/{runner}/take-home.pdf", "syyy-y-y---", nil},
	{"GET", "/r/{runner}/hurts", "syyy-y-y---", nil},
	{"GET", "/r/{runner}/hurts/{id}", "syyy-y-y---", nil},
	{"GET", "/r/{runner}/tests", "syyy-y-y---", nil},
	{"GET", "/r/{runner}/happened", "syyy-y-y---", nil},
	{"GET", "/r/{runner}/mornings", "syyy-y-y---", nil},
	{"GET", "/r/{runner}/rehab", "syyy-y-y---", nil},
	{"GET", "/r/{runner}/rehab/{complaint}/routine", "syyc---y---", nil},
	{"GET", "/r/{runner}/set-up", "syyc---y---", nil},
	{"GET", "/r/{runner}/ramp", "syyy-yyy---", nil},
	{"GET", "/r/{runner}/ramp/runs.ics", "syyy-y-y---", nil},
	{"GET", "/r/{runner}/ramp/{file}", "syyy-y-y---", nil},

	{"GET", "/r/{runner}/add", "syyy-------", nil},
	{"POST", "/r/{runner}/add", "syyy-------", nil},
	{"POST", "/r/{runner}/runs/{id}", "syyy-------", form("seen", "0", "was-note", "", "note", "windy")},
	{"POST", "/r/{runner}/runs/{id}/double", "syyy-------", form("seen", "0", "double", "apart")},
	{"GET", "/r/{runner}/gaps", "syyy-------", nil},
	{"POST", "/r/{runner}/gaps", "syyy-------", form("first", "2026-04-10", "last", "2026-04-11", "answer", "rested")},
	{"POST", "/r/{runner}/mornings", "syyy-------", form("complaint", "ach-mid-left", "day", "2026-05-03", "next", "1")},
	{"POST", "/r/{runner}/rehab/away", "syyy-------", form("from", "2026-05-03", "to", "2026-05-04", "reason", "ill")},
	{"POST", "/r/{runner}/rehab/{complaint}/log", "syyy-------", form("pain", "1")},

	{"POST", "/r/{runner}/newcomer", "syyy---y---", form("longest", "8", "unit", "km", "week", "20", "runs", "3")},
	{"POST", "/r/{runner}/hurts", "syyy---y---", form("site", "calf", "side", "right", "onset", "2026-05-01")},
	{"POST", "/r/{runner}/hurts/{id}/again", "syyy---y---", form("onset", "2026-05-01")},
	{"POST", "/r/{runner}/tests", "syyy---y---", form("test", "knee-to-wall", "day", "2026-05-03", "left", "9", "right", "10")},
	{"POST", "/r/{runner}/happened", "syyy---y---", form("flag", "numb", "do", "raise")},
	{"POST", "/r/{runner}/ramp/gate", "syyy---y---", form("daily", "1", "walk", "30", "settled", "yes", "raises", "10", "hops", "10", "load", "2")},

	{"POST", "/r/{runner}/ramp/state", "syyy--yy---", form("state", "held")},
	{"POST", "/r/{runner}/ramp", "syyc---y---", form("start", "2026-05-03", "free", "0", "free", "2", "free", "4", "free", "6", "goal", "9", "pace", "6:00", "why", "calm for two weeks")},
	{"POST", "/r/{runner}/set-up", "syyc---y---", form("site", "plantar", "side", "both", "onset", "2026-05-01", "asked", "yes", "programme", "plantar/plantar-heavy", "started", "2026-05-03")},
	{"POST", "/r/{runner}/visit", "syyc---y---", form("day", "2026-05-03", "text", "calm", "next", "2026-05-20")},
	{"POST", "/r/{runner}/settings", "syyc---y---", form("group", "limits", "from", "2026-05-03", "session-share", "5")},
	{"POST", "/r/{runner}/rehab/{complaint}/prescribe", "syyc---y---", form("programme", "heavy-slow", "started", "2026-05-03")},
	{"POST", "/r/{runner}/rehab/{complaint}/order", "syyc---y---", form("phase", "2", "stage", "4", "until", "2026-06-30")},
	{"POST", "/r/{runner}/rehab/{complaint}/routine", "syyc---y---", form("name", "At home", "exercise", "ankle_pumps", "sets", "1", "reps", "60", "times", "2", "days", "7")},
	{"POST", "/r/{runner}/hurts/{id}/usual", "syyc---y---", form("from", "2026-05-03", "pain", "1")},
	{"POST", "/r/{runner}/hurts/{id}", "syyc---y---", form("status", "handed-over")},

	{"GET", "/r/{runner}/logbook.zip", "syyy-------", nil},
	{"POST", "/r/{runner}/ramp/feed", "syyy-------", form("do", "open")},
	{"GET", "/r/{runner}/care", "syyy-------", nil},
	{"POST", "/r/{runner}/care/invite", "syyy-------", form("role", "coach")},
	{"POST", "/r/{runner}/care", "syyy-------", form("do", "unlink", "link", "{link}")},
	{"POST", "/r/{runner}/care/remove", "syyy-------", form("name", "another name")},
	{"POST", "/r/{runner}/leave", "s---yyyy---", form()}, // who owns it cannot, and the last row but two loses the right
	{"POST", "/account/sign-out", "syyyyyyyyyy", form()},
	{"POST", "/sign-out", "yyyyyyyyyyy", form()},
}

// TestAccess asks for every route as everybody. A route without a row fails.
func TestAccess(t *testing.T) {
	for column, role := range roles {
		t.Run(role, func(t *testing.T) {
			s, v, fill := played(t, role)
			for _, r := range routes {
				form := url.Values{}
				for key, values := range r.form {
					for _, value := range values {
						form.Add(key, fill.Replace(value))
					}
				}
				target := fill.Replace(r.pattern)
				var got int
				if r.method == "GET" {
					got = v.get(target).Code
				} else if r.pattern == "/r/{runner}/add" {
					up := s.uploading([2]string{"diary.csv", diary(map[int]float64{2: 3})})
					got = v.do(up).Code
				} else {
					got = v.post(target, form).Code
				}
				if want := r.who[column]; !allowed(want, got) {
					t.Errorf("%s %s: %d, want %c", r.method, target, got, want)
				}
			}
		})
	}
}

// allowed reports whether a status is what a cell of the table means. What may be is done,
// or found wrong in itself: 404 and 403 are neither.
func allowed(want byte, got int) bool {
	switch want {
	case 'y':
		return slices.Contains([]int{200, 303, 409, 422}, got)
	case 'c':
		return got == http.StatusForbidden
	case 's':
		return got == http.StatusSeeOther || got == http.StatusUnauthorized
	}
	return got == http.StatusNotFound
}

// TestEveryRoute: a route that is new in the server has a row.
func TestEveryRoute(t *testing.T) {
	have := make(map[string]bool)
	for _, r := range routes {
		have[r.method+" "+r.pattern] = true
		if len(r.who) != len(roles) {
			t.Errorf("%s %s: %d columns, want %d", r.method, r.pattern, len(r.who), len(roles))
		}
	}
	err := share(newSite(t)).server.EachRoute(func(method, pattern string) {
		if !have[method+" "+pattern] && !strings.HasPrefix(pattern, "/api/v1/") && !strings.HasPrefix(pattern, "/api/openapi") {
			t.Errorf("%s %s has no row in the table", method, pattern)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
}

// played is a logbook with something of everything, somebody of a role, and what stands
// for the parts of addresses.
func played(t *testing.T, role string) (*shared, *visitor, *strings.Replacer) {
	t.Helper()
	alone := climbing(t)
	alone.redirected(alone.post(alone.base()+"/ramp", everyDay()), alone.base()+"/ramp")
	alone.post(alone.base()+"/rehab/ach-mid-left/prescribe", url.Values{"programme": {"combined"}, "started": {today.String()}})
	alone.upload([2]string{"a.gpx", gpx(noon.AddDate(0, 0, -3), 30)})
	alone.get(alone.base()) // keeps the findings
	s := share(alone)
	owner := s.join("Owner")
	s.let(owner, journal.RoleRunner, false, false)
	v := &visitor{shared: s, name: role}
	if role != "nobody" {
		v = s.join("A " + role)
	}
	switch role {
	case "runner":
		s.let(v, journal.RoleRunner, false, false)
	case "guardian":
		s.let(v, journal.RoleGuardian, false, false)
	case "runner with a clinician":
		s.let(v, journal.RoleRunner, false, false)
		s.let(s.join("Ada Brandt"), journal.RoleClinician, false, false)
	case "coach":
		s.let(v, journal.RoleCoach, false, false)
	case "coach who sees what hurts":
		s.let(v, journal.RoleCoach, true, false)
	case "coach who may brake":
		s.let(v, journal.RoleCoach, false, true)
	case "clinician":
		s.let(v, journal.RoleClinician, false, false)
	case "revoked":
		s.let(v, journal.RoleClinician, true, true)
		if err := s.book().Revoke(t.Context(), v.id); err != nil {
			t.Fatal(err)
		}
	case "foreign":
		r, err := s.journal.AddRunner(t.Context(), "Another", "Europe/Oslo", today)
		if err != nil {
			t.Fatal(err)
		}
		other, err := s.journal.Open(t.Context(), journal.Local, r.ID)
		if err != nil {
			t.Fatal(err)
		}
		if err := other.Grant(t.Context(), v.id, journal.RoleRunner, false, false); err != nil {
			t.Fatal(err)
		}
	case "host":
		v = s.host("The " + role)
	}
	return s, v, s.parts(t)
}

// host makes the account that looks after the program.
func (s *shared) host(name string) *visitor {
	s.t.Helper()
	secret, err := s.journal.Invite(s.t.Context(), journal.Invitation{Kind: journal.InviteHost, By: journal.Local})
	if err != nil {
		s.t.Fatal(err)
	}
	v := &visitor{shared: s, name: name}
	wantStatus(s.t.(*testing.T), "the host", v.post("/invited/"+secret, form("name", name, "password", goodPassword, "own", "none")), 303)
	return v
}

// parts stand for the parts of addresses: things that there are.
func (s *shared) parts(t *testing.T) *strings.Replacer {
	t.Helper()
	b := s.book()
	findings, err := b.Findings(t.Context())
	if err != nil || len(findings) == 0 {
		t.Fatalf("no finding, %v", err)
	}
	run := ""
	for _, one := range s.sessions() {
		if one.HasPositions {
			run = one.ID
		}
	}
	if _, err := b.Invite(t.Context(), "", journal.RoleCoach, false, false); err != nil {
		t.Fatal(err)
	}
	links, err := b.Invitations(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	feed, err := b.OpenFeed(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	secret, err := s.journal.Invite(t.Context(), journal.Invitation{Kind: journal.InviteRunner, By: journal.Local})
	if err != nil {
		t.Fatal(err)
	}
	token, err := s.journal.AccountNamed(t.Context(), "Owner")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.journal.MakeToken(t.Context(), token.ID, "x", journal.ScopeRead, 1e15); err != nil {
		t.Fatal(err)
	}
	tokens, err := s.journal.Tokens(t.Context(), token.ID)
	if err != nil {
		t.Fatal(err)
	}
	news, err := s.journal.OpenNews(t.Context(), token.ID, "Europe/Oslo")
	if err != nil {
		t.Fatal(err)
	}
	if err := s.journal.AskAddress(t.Context(), token.ID, "owner@example.org", "Europe/Oslo"); err != nil {
		t.Fatal(err)
	}
	wish, err := s.journal.Wish(t.Context(), token.ID)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.journal.ConfirmAddress(t.Context(), token.ID, wish.Code); err != nil {
		t.Fatal(err)
	}
	if wish, err = s.journal.Wish(t.Context(), token.ID); err != nil {
		t.Fatal(err)
	}
	base := s.base()
	return strings.NewReplacer(
		"/r/{runner}/findings/{id}", base+"/findings/"+findings[0].ID, "/r/{runner}/runs/{id}", base+"/runs/"+run, "/r/{runner}/hurts/{id}", base+"/hurts/ach-mid-left",
		"{runner}", string(s.runner.ID), "{complaint}", "ach-mid-left", "{file}", fmt.Sprintf("%s.fit", today), "{link}", links[0].Hash,
		"/feed/{secret}", "/feed/"+feed, "/news/{secret}", "/news/"+news+".xml", "/letters/stop/{secret}", "/letters/stop/"+wish.Stop, "{secret}", secret, "{hash}", tokens[0].Hash, "{name}", asset(t, s),
	)
}

// asset is the name of the style sheet.
func asset(t *testing.T, s *shared) string {
	t.Helper()
	page := s.do(request("GET", "/rests-on", nil)).Body.String()
	_, rest, ok := strings.Cut(page, "/static/")
	if !ok {
		t.Fatal("a page without a style sheet")
	}
	name, _, _ := strings.Cut(rest, `"`)
	return name
}
