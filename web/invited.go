package web

import (
	"errors"
	"net/http"
	"net/url"
	"time"

	"tidemark/load/journal"
)

// invitedPage is what a link that lets somebody in once is for.
type invitedPage struct {
	page
	Action   string
	Kind     journal.InvitationKind
	From, To string // who invites, into whose logbook
	Role     string
	Allows   string // what the role may
	Account  string // of a new password
	Makes    bool   // a logbook is made, which has a zone
	Child    string // whose, if it is not one's own
	SignIn   string // for those who have an account

	Name, Home string // as typed
	Own        []option
	Fault      string
}

// ownNew and ownNone are the choices of the first account besides the logbooks there are.
const (
	ownNew  = "new"
	ownNone = "none"
)

// invited shows what a link is for.
func (s *Server) invited(w http.ResponseWriter, r *http.Request) error {
	out, _, err := s.invitedPage(w, r)
	if err != nil {
		return err
	}
	return s.render(w, http.StatusOK, "invited", out)
}

func (s *Server) invitedPage(w http.ResponseWriter, r *http.Request) (out invitedPage, i journal.Invitation, err error) {
	ctx, secret := r.Context(), r.PathValue("secret")
	w.Header().Set("Referrer-Policy", "no-referrer") // the address is a secret
	if !s.Accounts {
		return out, i, errNoPage
	}
	i, err = s.Journal.Invitation(ctx, secret)
	if errors.Is(err, journal.ErrNotFound) {
		return out, i, &problem{http.StatusNotFound, "This link was used already, or it is too old. Ask for another.", err}
	}
	if err != nil {
		return out, i, err
	}
	out = invitedPage{page: s.page(r, "Welcome"), Action: "/invited/" + url.PathEscape(secret), Kind: i.Kind, Name: i.Name, Home: i.Home}
	out.Role, out.Allows = roleWords(i.Role), mayWords(i.Role, i.Medical, i.Plan)
	out.SignIn = "/sign-in?to=" + url.QueryEscape(out.Action)
	out.Makes = i.Kind == journal.InviteRunner && i.Runner == "" && i.Role != ""
	if i.Role == journal.RoleGuardian {
		out.Child, out.Name = i.Name, ""
	}
	return out, i, s.invitedFor(r, &out, i)
}

// invitedFor adds who is meant.
func (s *Server) invitedFor(r *http.Request, out *invitedPage, i journal.Invitation) error {
	names, err := s.Journal.Names(r.Context())
	if err != nil {
		return err
	}
	out.From, out.Account = names[i.By], names[i.Person]
	if i.Runner != "" {
		runner, err := s.Journal.Find(r.Context(), journal.Local, string(i.Runner))
		if err != nil {
			return err
		}
		out.To = runner.Name
	}
	if i.Kind != journal.InviteHost {
		return nil
	}
	all, err := s.Journal.Ownerless(r.Context())
	for _, one := range all {
		out.Own = append(out.Own, option{string(one.ID), "it is there already: " + one.Name, false})
	}
	out.Own = append(out.Own, option{ownNew, "make me one", len(all) == 0}, option{ownNone, "I do not run, or not here", false})
	return err
}

// takeInvited takes a link.
func (s *Server) takeInvited(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	out, i, err := s.invitedPage(w, r)
	if err != nil {
		return err
	}
	secret := r.PathValue("secret")
	if i.Kind == journal.InviteEnter {
		id, err := s.Journal.Enter(r.Context(), secret)
		if err != nil {
			return err
		}
		return s.goIn(w, r, id, "/")
	}
	if i.Kind == journal.InviteCare && r.PostForm.Get("accept") != "" && signedOf(r) != nil {
		return s.accept(w, r, secret)
	}
	out.Name, out.Home = r.PostForm.Get("name"), r.PostForm.Get("home")
	name := out.Name
	if i.Kind == journal.InviteReset {
		name = out.Account
	}
	out.Fault = passwordFault(r.PostForm.Get("password"), name)
	if _, err := time.LoadLocation(out.Home); (out.Makes || r.PostForm.Get("own") == ownNew) && (err != nil || out.Home == "" || out.Home == "Local") {
		out.Fault = "The time zone has a name as Europe/Oslo or America/New_York."
	}
	if err := journal.CheckName(name); err != nil {
		out.Fault = title(err.Error()) + "."
	}
	if out.Fault != "" {
		return s.render(w, http.StatusUnprocessableEntity, "invited", out)
	}
	return s.join(w, r, out, i, secret)
}

// join makes the account, or sets the new password, and signs it in.
func (s *Server) join(w http.ResponseWriter, r *http.Request, out invitedPage, i journal.Invitation, secret string) error {
	hash, err := s.passwords.hash(r.Context(), r.PostForm.Get("password"))
	if err != nil {
		return err
	}
	var a journal.Account
	if i.Kind == journal.InviteReset {
		a, err = s.Journal.Reset(r.Context(), secret, hash)
	} else {
		n := journal.Newcomer{Name: out.Name, Password: hash, Home: out.Home}
		switch own := r.PostForm.Get("own"); own {
		case "", ownNone:
		case ownNew:
			n.Logbook = true
		default:
			n.Runner = journal.RunnerID(own)
		}
		a, err = s.Journal.Join(r.Context(), secret, n)
	}
	switch {
	case errors.Is(err, journal.ErrConflict):
		out.Fault = "That name is taken. Take another, or sign in if it is yours."
	case errors.Is(err, journal.ErrNotFound):
		return &problem{http.StatusNotFound, "This link was used already, or it is too old. Ask for another.", err}
	case err != nil:
		return err
	}
	if out.Fault != "" {
		return s.render(w, http.StatusUnprocessableEntity, "invited", out)
	}
	return s.goIn(w, r, a.ID, "/")
}

// accept lets who is signed in into a logbook. They get another secret: what one may has
// changed.
func (s *Server) accept(w http.ResponseWriter, r *http.Request, secret string) error {
	runner, err := s.Journal.Accept(r.Context(), secret, signedOf(r).ID)
	if err != nil {
		return err
	}
	return s.goIn(w, r, signedOf(r).ID, "/r/"+string(runner))
}

// goIn signs somebody in and goes on.
func (s *Server) goIn(w http.ResponseWriter, r *http.Request, id journal.Person, to string) error {
	if err := s.begin(w, r, id); err != nil {
		return err
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}
