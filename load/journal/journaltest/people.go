package journaltest

import (
	"errors"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
)

// watch is a clock that is set by hand.
type watch struct{ now load.Instant }

func (w *watch) read() load.Instant { return w.now }

func (w *watch) wait(d time.Duration) { w.now = w.now.Add(d) }

// watched is a journal on a clock that is set by hand.
func watched(s journal.Store) (*journal.Journal, *watch) {
	w := &watch{noon}
	return journal.New(s, w.read, versions), w
}

// join makes an account through an invitation to a logbook of its own; role empty: none.
func join(t *testing.T, j *journal.Journal, name string, role journal.Role) journal.Account {
	t.Helper()
	secret := get[string](t)(j.Invite(t.Context(), journal.Invitation{Kind: journal.InviteRunner, Role: role, Name: name, Home: "Europe/Vienna", By: journal.Local}))
	return get[journal.Account](t)(j.Join(t.Context(), secret, journal.Newcomer{Name: name, Password: "hash of " + name}))
}

func wantNotFound(t *testing.T, what string, err error) {
	t.Helper()
	if !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("%s: %v, want not found", what, err)
	}
}

func wantConflict(t *testing.T, what string, err error) {
	t.Helper()
	if !errors.Is(err, journal.ErrConflict) {
		t.Errorf("%s: %v, want a conflict", what, err)
	}
}

func wantOwned(t *testing.T, what string, err error) {
	t.Helper()
	if !errors.Is(err, journal.ErrOwned) {
		t.Errorf("%s: %v, want that it has an owner", what, err)
	}
}

func testAccounts(t *testing.T, s journal.Store) {
	j := newJournal(s)
	a := join(t, j, " Edda Quill ", journal.RoleRunner)
	same(t, "account", get[journal.Account](t)(j.Account(t.Context(), a.ID)), journal.Account{ID: a.ID, Name: "Edda Quill", Password: "hash of  Edda Quill ", Made: noon})
	same(t, "by name", get[journal.Account](t)(j.AccountNamed(t.Context(), "eDDA quill")), get[journal.Account](t)(j.Account(t.Context(), a.ID)))
	_, err := j.AccountNamed(t.Context(), "Edda")
	wantNotFound(t, "half a name", err)
	all := get[[]journal.Runner](t)(j.Runners(t.Context(), a.ID))
	if len(all) != 1 || all[0].Name != "Edda Quill" || all[0].Home != "Europe/Vienna" || all[0].FirstUse != firstUse {
		t.Errorf("the logbook that was made: %+v", all)
	}
	secret := get[string](t)(j.Invite(t.Context(), journal.Invitation{Kind: journal.InviteRunner}))
	_, err = j.Join(t.Context(), secret, journal.Newcomer{Name: "EDDA QUILL", Password: "x"})
	wantConflict(t, "a name that is taken", err)
	if _, err = j.Join(t.Context(), secret, journal.Newcomer{Name: " \t", Password: "x"}); err == nil {
		t.Error("an empty name was taken")
	}
	other := get[journal.Account](t)(j.Join(t.Context(), secret, journal.Newcomer{Name: "Rafe", Password: "x"}))
	same(t, "an account alone has no logbook", len(get[[]journal.Runner](t)(j.Runners(t.Context(), other.ID))), 0)

	full := journal.Account{ID: "full", Name: "Full", Host: true, Password: "p", Second: "KEY", SecondUsed: 3, Closed: true, Made: noon}
	update(t, s, func(tx journal.Tx) error { return tx.PutAccount(full, "full") })
	same(t, "every field", get[journal.Account](t)(j.Account(t.Context(), "full")), full)
	wantEveryField(t, full)
}

func testSignIns(t *testing.T, s journal.Store) {
	j, w := watched(s)
	a := join(t, j, "Edda", "")
	secret, _, err := j.SignIn(t.Context(), a.ID)
	must(t, err)
	signed := func(secret string) error {
		_, _, err := j.SignedIn(t.Context(), secret)
		return err
	}
	must(t, signed(secret))
	for _, wrong := range []string{"", "guess", secret + "x"} {
		wantNotFound(t, "a wrong secret", signed(wrong))
	}
	w.wait(29 * 24 * time.Hour)
	must(t, signed(secret)) // used, so it goes on
	w.wait(29 * 24 * time.Hour)
	must(t, signed(secret))
	w.wait(30 * 24 * time.Hour)
	wantNotFound(t, "unused for 30 days", signed(secret))

	secret, until, err := j.SignIn(t.Context(), a.ID)
	must(t, err)
	for w.now < until {
		must(t, signed(secret))
		w.wait(20 * 24 * time.Hour)
	}
	wantNotFound(t, "after 90 days", signed(secret))

	one, _, err := j.SignIn(t.Context(), a.ID)
	must(t, err)
	two, _, err := j.SignIn(t.Context(), a.ID)
	must(t, err)
	same(t, "sign-ins", len(get[[]journal.SignIn](t)(j.SignIns(t.Context(), a.ID))), 2) // the ended ones are forgotten
	must(t, j.SignOut(t.Context(), one))
	wantNotFound(t, "signed out", signed(one))
	// A request that began before the sign-out touches nothing back to life.
	update(t, s, func(tx journal.Tx) error { return tx.SeeSignIn("hash of nobody", w.now) })
	must(t, signed(two))
	must(t, j.SignOutEverywhere(t.Context(), a.ID))
	wantNotFound(t, "signed out everywhere", signed(two))

	for what, change := range map[string]func() error{
		"a new password": func() error { return j.SetPassword(t.Context(), a.ID, "another") },
		"a second key":   func() error { return j.SetSecond(t.Context(), a.ID, "KEY", 7) },
		"closing":        func() error { return j.CloseAccount(t.Context(), a.ID, true) },
	} {
		must(t, j.CloseAccount(t.Context(), a.ID, false))
		secret, _, err := j.SignIn(t.Context(), a.ID)
		must(t, err)
		must(t, change())
		wantNotFound(t, "after "+what, signed(secret))
	}
	must(t, j.CloseAccount(t.Context(), a.ID, true))
	if _, _, err := j.SignIn(t.Context(), a.ID); err == nil {
		t.Error("a closed account signed in")
	}
}

func testSecondFactor(t *testing.T, s journal.Store) {
	j := newJournal(s)
	a := join(t, j, "Edda", "")
	must(t, j.SetSecond(t.Context(), a.ID, "KEY", 10))
	wantConflict(t, "the code that showed the key", j.UseSecond(t.Context(), a.ID, 10))
	must(t, j.UseSecond(t.Context(), a.ID, 11))
	wantConflict(t, "the same code again", j.UseSecond(t.Context(), a.ID, 11))
	wantConflict(t, "an older code", j.UseSecond(t.Context(), a.ID, 9))
}

func testInvitations(t *testing.T, s journal.Store) {
	j, w := watched(s)
	host := get[string](t)(j.Invite(t.Context(), journal.Invitation{Kind: journal.InviteHost, By: journal.Local, Home: "UTC"}))
	second := get[string](t)(j.Invite(t.Context(), journal.Invitation{Kind: journal.InviteHost, By: journal.Local, Home: "UTC"}))
	_, err := j.Invitation(t.Context(), host)
	wantNotFound(t, "a set-up link that another replaced", err)
	h := get[journal.Account](t)(j.Join(t.Context(), second, journal.Newcomer{Name: "Host", Password: "x", Logbook: true}))
	same(t, "host", h.Host, true)
	same(t, "the host's own logbook", len(get[[]journal.Runner](t)(j.Runners(t.Context(), h.ID))), 1)
	_, err = j.Join(t.Context(), second, journal.Newcomer{Name: "Thief", Password: "x"})
	wantNotFound(t, "a set-up link used twice", err)

	edda := join(t, j, "Edda", journal.RoleRunner)
	r := get[[]journal.Runner](t)(j.Runners(t.Context(), edda.ID))[0]
	b := get[*journal.Book](t)(j.Open(t.Context(), edda.ID, r.ID))
	coach := get[string](t)(b.Invite(t.Context(), "Rafe", journal.RoleCoach, true, false))
	wantEveryField(t, journal.Invitation{
		Hash: "h", Kind: journal.InviteCare, Runner: r.ID, Role: journal.RoleCoach, Medical: true, Plan: true, Person: edda.ID, Name: "n", Home: "UTC",
		By: edda.ID, At: 1, Until: 2, TakenBy: edda.ID, Taken: 3, Revoked: true,
	})
	kept := get[[]journal.Invitation](t)(b.Invitations(t.Context()))
	same(t, "invitations", kept, []journal.Invitation{{
		Hash: kept[0].Hash, Kind: journal.InviteCare, Runner: r.ID, Role: journal.RoleCoach, Medical: true, Name: "Rafe", By: edda.ID, At: noon, Until: noon.Add(7 * 24 * time.Hour),
	}})
	rafe := get[journal.Account](t)(j.Join(t.Context(), coach, journal.Newcomer{Name: "Rafe", Password: "x"}))
	same(t, "logbooks of the coach", get[[]journal.Runner](t)(j.Runners(t.Context(), rafe.ID))[0].ID, r.ID)
	_, err = j.Accept(t.Context(), coach, h.ID)
	wantNotFound(t, "a link that was taken", err)

	own := get[string](t)(b.Invite(t.Context(), "", journal.RoleCoach, false, false))
	_, err = j.Accept(t.Context(), own, edda.ID)
	wantOwned(t, "a link into one's own logbook", err)
	must(t, get[*journal.Book](t)(j.Open(t.Context(), edda.ID, r.ID)).RevokeInvitation(t.Context(), get[journal.Invitation](t)(j.Invitation(t.Context(), own)).Hash))

	late := get[string](t)(b.Invite(t.Context(), "", journal.RoleClinician, false, false))
	off := get[string](t)(b.Invite(t.Context(), "", journal.RoleClinician, false, false))
	rows := get[[]journal.Invitation](t)(b.Invitations(t.Context()))
	must(t, b.RevokeInvitation(t.Context(), rows[len(rows)-1].Hash))
	_, err = j.Accept(t.Context(), off, h.ID)
	wantNotFound(t, "a link that was revoked", err)
	w.wait(7 * 24 * time.Hour)
	_, err = j.Accept(t.Context(), late, h.ID)
	wantNotFound(t, "a link after a week", err)
	if _, err := b.Invite(t.Context(), "", "owner", false, false); err == nil {
		t.Error("a role that is none was invited")
	}
	child := get[journal.Runner](t)(j.KeepChild(t.Context(), edda.ID, "Pip", "UTC"))
	same(t, "role in the child's logbook", get[journal.Role](t)(get[*journal.Book](t)(j.Open(t.Context(), edda.ID, child.ID)).Role(t.Context())), journal.RoleGuardian)
	b2 := get[*journal.Book](t)(j.Open(t.Context(), edda.ID, child.ID))
	wantNotFound(t, "revoking a link of another logbook", b2.RevokeInvitation(t.Context(), rows[0].Hash))
}

// testHostTakes: who sets the program up may take a logbook that is nobody's, and no other.
func testHostTakes(t *testing.T, s journal.Store) {
	j := newJournal(s)
	edda := join(t, j, "Edda", journal.RoleRunner)
	hers := get[[]journal.Runner](t)(j.Runners(t.Context(), edda.ID))[0]
	left := get[journal.Runner](t)(j.AddRunner(t.Context(), "Left", "UTC", firstUse))
	same(t, "nobody's", get[[]journal.Runner](t)(j.Ownerless(t.Context())), []journal.Runner{left})
	secret := get[string](t)(j.Invite(t.Context(), journal.Invitation{Kind: journal.InviteHost}))
	_, err := j.Join(t.Context(), secret, journal.Newcomer{Name: "Host", Password: "x", Runner: hers.ID})
	wantOwned(t, "taking somebody's", err)
	host := get[journal.Account](t)(j.Join(t.Context(), secret, journal.Newcomer{Name: "Host", Password: "x", Runner: left.ID}))
	mine := get[[]journal.Runner](t)(j.Runners(t.Context(), host.ID))
	if len(mine) != 1 || mine[0].ID != left.ID || mine[0].Revision == left.Revision {
		t.Errorf("what was taken: %+v, want %s, touched", mine, left.ID)
	}
	same(t, "nobody's now", len(get[[]journal.Runner](t)(j.Ownerless(t.Context()))), 0)
}

func testReset(t *testing.T, s journal.Store) {
	j, w := watched(s)
	a := join(t, j, "Edda", "")
	must(t, j.SetSecond(t.Context(), a.ID, "KEY", 1))
	first := get[string](t)(j.Invite(t.Context(), journal.Invitation{Kind: journal.InviteReset, Person: a.ID}))
	secret := get[string](t)(j.Invite(t.Context(), journal.Invitation{Kind: journal.InviteReset, Person: a.ID}))
	_, err := j.Reset(t.Context(), first, "x")
	wantNotFound(t, "a link that another replaced", err)
	signed, _, err := j.SignIn(t.Context(), a.ID)
	must(t, err)
	got := get[journal.Account](t)(j.Reset(t.Context(), secret, "new hash"))
	same(t, "after the reset", got, journal.Account{ID: a.ID, Name: "Edda", Password: "new hash", Made: noon})
	_, _, err = j.SignedIn(t.Context(), signed)
	wantNotFound(t, "a sign-in from before", err)
	_, err = j.Enter(t.Context(), secret)
	wantNotFound(t, "entering by a link that was taken", err)
	enter := get[string](t)(j.Invite(t.Context(), journal.Invitation{Kind: journal.InviteEnter, Person: a.ID}))
	_, err = j.Join(t.Context(), enter, journal.Newcomer{Name: "Thief", Password: "x"})
	if err == nil {
		t.Error("a link into an account made another one")
	}
	same(t, "entered", get[journal.Person](t)(j.Enter(t.Context(), enter)), a.ID)
	_, err = j.Enter(t.Context(), enter)
	wantNotFound(t, "entering twice", err)
	_, err = j.Reset(t.Context(), secret, "again")
	wantNotFound(t, "the link again", err)
	late := get[string](t)(j.Invite(t.Context(), journal.Invitation{Kind: journal.InviteReset, Person: a.ID}))
	w.wait(24 * time.Hour)
	_, err = j.Reset(t.Context(), late, "x")
	wantNotFound(t, "the link after a day", err)
}

func testTokens(t *testing.T, s journal.Store) {
	j, w := watched(s)
	a := join(t, j, "Edda", "")
	secret := get[string](t)(j.MakeToken(t.Context(), a.ID, "watch sync", journal.ScopeRead, 30*24*time.Hour))
	token, owner, err := j.TokenOf(t.Context(), secret)
	must(t, err)
	same(t, "owner", owner.ID, a.ID)
	same(t, "token", token, journal.Token{Hash: token.Hash, Person: a.ID, Name: "watch sync", Scope: journal.ScopeRead, Made: noon, Until: noon.Add(30 * 24 * time.Hour)})
	same(t, "when it was used", get[[]journal.Token](t)(j.Tokens(t.Context(), a.ID))[0].Used, noon)
	wantEveryField(t, journal.Token{Hash: "h", Person: a.ID, Name: "n", Scope: journal.ScopeWrite, Made: 1, Until: 2, Used: 3, Revoked: true})
	_, _, err = j.TokenOf(t.Context(), secret+"x")
	wantNotFound(t, "a wrong token", err)
	other := join(t, j, "Rafe", "")
	wantNotFound(t, "revoking another's token", j.RevokeToken(t.Context(), other.ID, token.Hash))
	w.wait(30 * 24 * time.Hour)
	_, _, err = j.TokenOf(t.Context(), secret)
	wantNotFound(t, "a token that has ended", err)
	secret = get[string](t)(j.MakeToken(t.Context(), a.ID, "again", journal.ScopeWrite, time.Hour))
	all := get[[]journal.Token](t)(j.Tokens(t.Context(), a.ID))
	must(t, j.RevokeToken(t.Context(), a.ID, all[1].Hash))
	_, _, err = j.TokenOf(t.Context(), secret)
	wantNotFound(t, "a token that was revoked", err)
	for _, bad := range []struct {
		name  string
		scope journal.Scope
		good  time.Duration
	}{{"", journal.ScopeRead, time.Hour}, {"x", "all", time.Hour}, {"x", journal.ScopeRead, 0}, {"x", journal.ScopeRead, 400 * 24 * time.Hour}} {
		if _, err := j.MakeToken(t.Context(), a.ID, bad.name, bad.scope, bad.good); err == nil {
			t.Errorf("token %+v was made", bad)
		}
	}
}
