package web

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/words"
)

// accountPage is what somebody who signs in can change of it.
type accountPage struct {
	page
	Name     string
	Host     bool
	Logbooks []logbookLine
	Others   bool     // some of them are others'
	Browsers []string // where they are signed in
	Second   bool     // one-time codes are asked for
	Setup    *secondSetup
	Tokens   []tokenRow
	Made     string // the secret of a token that was just made
	Faults   map[string]string
	Saved    string
	Typed    url.Values // of the form that was refused
}

// logbookLine is a logbook that somebody may see.
type logbookLine struct {
	Address, Name, Role, May string
	Own                      bool
}

// secondSetup is a key of one-time codes that waits for its first code.
type secondSetup struct {
	Key, Picture string
	Size         int
}

// tokenRow is a token of a program.
type tokenRow struct {
	Hash, Name, Scope, Text string
	Good                    bool
}

func (s *Server) account(w http.ResponseWriter, r *http.Request) error {
	out, err := s.accountPage(r)
	if err != nil {
		return err
	}
	out.Saved = map[string]string{
		"password": "The new password holds, and every other browser is signed out.", "codes": "From now on a code is asked for.",
		"no-codes": "No code is asked for any more.", "child": "The logbook is made.", "revoked": "The token is good no more.",
	}[r.URL.Query().Get("saved")]
	return s.render(w, http.StatusOK, "account", out)
}

func (s *Server) accountPage(r *http.Request) (out accountPage, err error) {
	who := signedOf(r)
	if who == nil { // one person at the machine has none
		return out, errNoPage
	}
	out = accountPage{page: s.page(r, "Account"), Name: who.Name, Host: who.Host, Second: who.Second != "", Faults: map[string]string{}, Typed: r.PostForm}
	if out.Logbooks, err = s.logbooks(r); err != nil {
		return out, err
	}
	out.Others = slices.ContainsFunc(out.Logbooks, func(l logbookLine) bool { return !l.Own })
	signIns, err := s.Journal.SignIns(r.Context(), who.ID)
	for _, one := range signIns {
		out.Browsers = append(out.Browsers, "since "+words.Day(dayOf(one.Made))+", last used "+words.Day(dayOf(one.Seen)))
	}
	if err != nil {
		return out, err
	}
	tokens, err := s.Journal.Tokens(r.Context(), who.ID)
	for _, t := range tokens {
		out.Tokens = append(out.Tokens, s.tokenRow(t))
	}
	return out, err
}

// dayOf is the day of an instant, as lists tell it.
func dayOf(at load.Instant) load.Day { return load.DayOf(at.Time()) }

func (s *Server) tokenRow(t journal.Token) tokenRow {
	line := tokenRow{Hash: t.Hash, Name: t.Name, Scope: string(t.Scope), Good: !t.Revoked && s.instant() < t.Until}
	switch {
	case t.Revoked:
		line.Text = "revoked"
	case !line.Good:
		line.Text = "ended " + words.Day(dayOf(t.Until))
	default:
		line.Text = "good until " + words.Day(dayOf(t.Until))
	}
	if t.Used != 0 {
		line.Text += ", last used " + words.Day(dayOf(t.Used))
	}
	return line
}

// logbooks are those that the person may see, their own first.
func (s *Server) logbooks(r *http.Request) (own []logbookLine, err error) {
	all, err := s.Journal.Logbooks(r.Context(), s.person(r))
	var others []logbookLine
	for _, one := range all {
		line := logbookLine{"/r/" + string(one.ID), one.Name, roleWords(one.Role), mayWords(one.Role, one.Medical, one.Plan), one.Role.Owns()}
		if line.Own {
			own = append(own, line)
		} else {
			others = append(others, line)
		}
	}
	return append(own, others...), err
}

// refuse shows the account again with what is wrong of one of its forms.
func (s *Server) refuse(w http.ResponseWriter, r *http.Request, form, fault string) error {
	out, err := s.accountPage(r)
	if err != nil {
		return err
	}
	out.Faults[form] = fault
	return s.render(w, faultStatus(fault), "account", out)
}

func faultStatus(fault string) int {
	if fault == tooManyWords {
		return http.StatusTooManyRequests
	}
	return http.StatusUnprocessableEntity
}

// proves asks for the password, and the code if one is set up, before something that only
// the person may do.
func (s *Server) proves(w http.ResponseWriter, r *http.Request) (fault string, err error) {
	_, fault, err = s.proved(w, r, signedOf(r).Name)
	if fault != "" && fault != tooManyWords {
		fault = "That is not right: your password or, if you set one up, the code."
	}
	return fault, err
}

func (s *Server) setPassword(w http.ResponseWriter, r *http.Request) error {
	if err := s.signedForm(r); err != nil {
		return err
	}
	who := signedOf(r)
	fault := passwordFault(r.PostForm.Get("new"), who.Name)
	if fault == "" {
		var err error
		if fault, err = s.proves(w, r); err != nil {
			return err
		}
	}
	if fault != "" {
		return s.refuse(w, r, "password", fault)
	}
	hash, err := s.passwords.hash(r.Context(), r.PostForm.Get("new"))
	if err != nil {
		return err
	}
	if err := s.Journal.SetPassword(r.Context(), who.ID, hash); err != nil {
		return err
	}
	return s.again(w, r, "password")
}

// again signs the person in anew after a change that has ended every sign-in.
func (s *Server) again(w http.ResponseWriter, r *http.Request, saved string) error {
	if err := s.begin(w, r, signedOf(r).ID); err != nil {
		return err
	}
	http.Redirect(w, r, "/account?saved="+saved, http.StatusSeeOther)
	return nil
}

// signedForm reads a form of somebody who is signed in.
func (s *Server) signedForm(r *http.Request) error {
	if signedOf(r) == nil {
		return errNoPage
	}
	return parseForm(r)
}

// setSecond begins with one-time codes, ends the beginning with the first code, or drops
// them.
func (s *Server) setSecond(w http.ResponseWriter, r *http.Request) error {
	if err := s.signedForm(r); err != nil {
		return err
	}
	who, key := signedOf(r), r.PostForm.Get("key")
	switch {
	case r.PostForm.Get("drop") != "":
		fault, err := s.proves(w, r)
		if err != nil || fault != "" {
			return errors.Join(err, s.refuse(w, r, "second", fault))
		}
		if err := s.Journal.SetSecond(r.Context(), who.ID, "", 0); err != nil {
			return err
		}
		return s.again(w, r, "no-codes")
	case who.Second != "":
		return s.refuse(w, r, "second", "A code is asked for already.")
	case key == "":
		return s.showKey(w, r, "", "")
	case !isKey(key):
		return s.showKey(w, r, "", "That key was not made here. Take this one.")
	}
	step, ok := codeOf(key, r.PostForm.Get("code"), s.Now())
	if !ok {
		return s.showKey(w, r, key, "That is not the code of now. Type the one that the app shows, and look at the clock of the phone.")
	}
	fault, err := s.proves(w, r)
	if err != nil {
		return err
	}
	if fault != "" {
		return s.showKey(w, r, key, fault)
	}
	if err := s.Journal.SetSecond(r.Context(), who.ID, key, step); err != nil {
		return err
	}
	return s.again(w, r, "codes")
}

// showKey shows a key of codes for an app: a new one, or the one of a try before.
func (s *Server) showKey(w http.ResponseWriter, r *http.Request, key, fault string) (err error) {
	if key == "" {
		if key, err = newKey(signedOf(r).Name); err != nil {
			return err
		}
	}
	out, err := s.accountPage(r)
	if err != nil {
		return err
	}
	setup := secondSetup{Key: key}
	if setup.Picture, setup.Size, err = keyPicture(out.Name, key); err != nil {
		return err
	}
	status := http.StatusOK
	if out.Setup = &setup; fault != "" {
		out.Faults["second"], status = fault, faultStatus(fault)
	}
	return s.render(w, status, "account", out)
}

func (s *Server) signOutEverywhere(w http.ResponseWriter, r *http.Request) error {
	if err := s.signedForm(r); err != nil {
		return err
	}
	if err := s.Journal.SignOutEverywhere(r.Context(), signedOf(r).ID); err != nil {
		return err
	}
	s.forget(w)
	http.Redirect(w, r, "/sign-in", http.StatusSeeOther)
	return nil
}

// makeToken makes a token and shows it, once.
func (s *Server) makeToken(w http.ResponseWriter, r *http.Request) error {
	if err := s.signedForm(r); err != nil {
		return err
	}
	days, err := strconv.Atoi(r.PostForm.Get("days"))
	if err != nil || days < 1 || days > 366 {
		return s.refuse(w, r, "token", "A token is good for 1 to 366 days.")
	}
	fault, err := s.proves(w, r)
	if err != nil {
		return err
	}
	if fault != "" {
		return s.refuse(w, r, "token", fault)
	}
	secret, err := s.Journal.MakeToken(r.Context(), signedOf(r).ID, r.PostForm.Get("name"), journal.Scope(r.PostForm.Get("scope")), time.Duration(days)*24*time.Hour)
	if err != nil {
		return s.refuse(w, r, "token", title(err.Error())+".")
	}
	s.Log.Info("token made", "person", signedOf(r).ID)
	out, err := s.accountPage(r)
	if err != nil {
		return err
	}
	out.Made, out.Typed = secret, nil
	return s.render(w, http.StatusOK, "account", out)
}

func (s *Server) revokeToken(w http.ResponseWriter, r *http.Request) error {
	if err := s.signedForm(r); err != nil {
		return err
	}
	if err := s.Journal.RevokeToken(r.Context(), signedOf(r).ID, r.PathValue("hash")); err != nil {
		return err
	}
	http.Redirect(w, r, "/account?saved=revoked#tokens", http.StatusSeeOther)
	return nil
}

// keepChild makes the logbook of a child.
func (s *Server) keepChild(w http.ResponseWriter, r *http.Request) error {
	if err := s.signedForm(r); err != nil {
		return err
	}
	child, err := s.Journal.KeepChild(r.Context(), signedOf(r).ID, r.PostForm.Get("child"), r.PostForm.Get("home"))
	switch {
	case errors.Is(err, journal.ErrConflict):
		return s.refuse(w, r, "child", "There is a logbook of that name. Add a letter to tell them apart.")
	case err != nil && child.Revision == 0:
		return s.refuse(w, r, "child", "A name is needed, and a time zone as Europe/Oslo.")
	case err != nil:
		return err
	}
	http.Redirect(w, r, "/r/"+string(child.ID), http.StatusSeeOther)
	return nil
}
