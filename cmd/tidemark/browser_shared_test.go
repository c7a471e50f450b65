package main

import (
	"net/http"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"

	"tidemark/load/journal"
)

// signIn gives the browser the cookie of somebody's sign-in, or takes it away.
func (b *tab) signIn(l *logbook, name string) {
	b.Helper()
	if name == "" {
		return
	}
	a, err := l.journal.AccountNamed(b.Context(), name)
	if err != nil {
		b.Fatal(err)
	}
	secret, _, err := l.journal.SignIn(b.Context(), a.ID)
	if err != nil {
		b.Fatal(err)
	}
	call(b, network.SetCookie, network.SetCookieParams{Name: "tidemark", Value: secret, URL: "http://" + l.host + "/"})
}

// sharedViews are the pages that there are only with accounts.
func sharedViews(t *testing.T, l *logbook) []view {
	t.Helper()
	link := func(i journal.Invitation) string {
		secret, err := l.journal.Invite(t.Context(), i)
		if err != nil {
			t.Fatal(err)
		}
		return "http://" + l.host + "/invited/" + secret
	}
	account, err := l.journal.AccountNamed(t.Context(), edda)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := l.journal.MakeToken(t.Context(), account.ID, "evening sync", journal.ScopeRead, 30*24*time.Hour); err != nil {
		t.Fatal(err)
	}
	into := link(journal.Invitation{Kind: journal.InviteCare, Runner: l.runners[edda].ID, Role: journal.RoleCoach, Medical: true, By: account.ID})
	stop := wantLetters(t, l, nessa, demoCoach)
	setUp := func(b *tab) { b.leave(chromedp.Click(chromedp.CSS("#second ~ form button"))) }
	at := "http://" + l.host
	return []view{
		{name: "sign-in", book: l, to: at + "/sign-in", status: http.StatusOK, sees: []string{"#password", "#code"}},
		{name: "invited-host", book: l, to: link(journal.Invitation{Kind: journal.InviteHost, Home: "Europe/Oslo"}), status: http.StatusOK, sees: []string{"#own", "#home"}},
		{name: "invited-new", book: l, to: into, status: http.StatusOK, sees: []string{"#name"}},
		{name: "invited-known", book: l, as: demoCoach, to: into, status: http.StatusOK, sees: []string{"button[name=accept]"}},
		{name: "invited-gone", book: l, to: at + "/invited/gone", status: http.StatusNotFound},
		{name: "account", book: l, as: edda, to: at + "/account", status: http.StatusOK, sees: []string{"#tokens", "#browsers"}, then: unfolded},
		{name: "account-codes", book: l, as: edda, to: at + "/account", status: http.StatusOK, sees: []string{".key path"}, then: setUp},
		{name: "letters", book: l, as: edda, to: at + "/letters", status: http.StatusOK, sees: []string{"select[name=hour]", "input[name=address]"}},
		{name: "letters-code", book: l, as: nessa, to: at + "/letters?saved=asked", status: http.StatusOK, sees: []string{"input[name=shown]"}, then: unfolded},
		{name: "letters-on", book: l, as: demoCoach, to: at + "/letters", status: http.StatusOK, sees: []string{"button[value=end]"}, then: unfolded},
		{name: "letters-stop", book: l, to: at + "/letters/stop/" + stop, status: http.StatusOK, sees: []string{"main button"}},
		{name: "care", book: l, as: nessa, to: l.page(nessa, "/care"), status: http.StatusOK, sees: []string{"#role", "#looks", "button[value=revoke]"}},
		{name: "squad", book: l, as: demoCoach, to: at + "/squad", status: http.StatusOK, most: 80_000, sees: []string{"table.list tbody th a"}, then: unfolded},
		{name: "caseload", book: l, as: demoClinician, to: at + "/caseload", status: http.StatusOK, most: 80_000, sees: []string{"table.list th a"}},
		{name: "visit", book: l, as: demoClinician, to: l.page(nessa, "/visit"), status: http.StatusOK, most: 80_000, sees: []string{".strip .mark.flared", "textarea", "pre", "#plan", "table.days", "a[href$='visit.pdf']", "a[href$='take-home']"}, then: unfolded},
		{name: "take-home", book: l, as: nessa, to: l.page(nessa, "/take-home"), status: http.StatusOK, most: 80_000, sees: []string{".doses li", ".cautions", "a[href$='take-home.pdf']", "button[data-print]:not([hidden])"}},
		{name: "orders", book: l, as: demoClinician, to: at + "/orders", status: http.StatusOK, most: 80_000, sees: []string{"table.days input[name=of]", "#until"}},
		{name: "set-up", book: l, as: demoClinician, to: l.page(nessa, "/set-up"), status: http.StatusOK, most: 80_000, sees: []string{"input[name=side]", "#asked", "#next"}, then: unfolded},
		{name: "hurt", book: l, as: demoClinician, to: l.page(nessa, "/hurts/ach-mid-left"), status: http.StatusOK, most: 80_000, sees: []string{"button[value=closed]", "button[value=handed-over]", "input[name=pain]"}},
		{name: "coach-today", book: l, as: demoCoach, to: l.page(nessa, ""), status: http.StatusOK, sees: []string{".limits"}},
		{name: "coach-brake", book: l, as: demoCoach, to: l.page(nessa, "/ramp"), status: http.StatusOK, sees: []string{"button[value=held]"}},
		{name: "clinician-today", book: l, as: demoClinician, to: l.page(nessa, ""), status: http.StatusOK, sees: []string{".strip"}},
		{name: "clinician-ramp", book: l, as: demoClinician, to: l.page(nessa, "/ramp"), status: http.StatusOK, sees: []string{"input[name=free]"}},
		{name: "led-ramp", book: l, as: nessa, to: l.page(nessa, "/ramp"), status: http.StatusOK, sees: []string{"button[value=held]"}},
		{name: "led-rehab", book: l, as: nessa, to: l.page(nessa, "/rehab"), status: http.StatusOK, sees: []string{".doses li"}},
		{name: "docs", book: l, to: at + "/api/docs", status: http.StatusOK, most: 60_000, sees: []string{"pre code"}, then: unfolded},
	}
}

// wantLetters has one person wait for a code and another get letters, and returns the secret
// that ends those.
func wantLetters(t *testing.T, l *logbook, waits, gets string) (stop string) {
	t.Helper()
	for _, name := range []string{waits, gets} {
		a, err := l.journal.AccountNamed(t.Context(), name)
		must(t, err)
		must(t, l.journal.AskAddress(t.Context(), a.ID, "somebody@example.org", "Europe/Oslo"))
		w, err := l.journal.Wish(t.Context(), a.ID)
		must(t, err)
		if name == gets {
			must(t, l.journal.ConfirmAddress(t.Context(), a.ID, w.Code))
			w, err = l.journal.Wish(t.Context(), a.ID)
			must(t, err)
			stop = w.Stop
		}
	}
	return stop
}
