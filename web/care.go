package web

import (
	"errors"
	"net/http"
	"slices"

	"tidemark/load/journal"
	"tidemark/web/words"
)

// carePage is who may see a logbook, who looked, and what its owner can do with all of it.
type carePage struct {
	page
	Accounts bool // somebody else can be let in
	Signed   bool // as somebody with an account
	Team     []memberLine
	Invite   inviteForm
	Link     string // of an invitation that was just made
	Open     []linkLine
	Looks    []string
	Said     []string // what was granted and revoked
	Removal  string   // when it will be deleted; empty: it will not
	Wait     string   // how long that takes
	Fault    string   // of deleting
	Saved    bool
}

// memberLine is somebody who may see the logbook.
type memberLine struct {
	Person               journal.Person
	Name, Role, May      string
	Since                string
	Coach, Medical, Plan bool
	Me                   bool
	Stays                bool // the only one who owns it
}

// inviteForm is the form that makes a link into the logbook.
type inviteForm struct {
	Name          string
	Roles         []option
	Medical, Plan bool
	Fault         string
}

// linkLine is a link that nobody has taken yet.
type linkLine struct{ Hash, Text string }

// mostLooks is how many looks the page lists; project default.
const mostLooks = 200

func (s *Server) care(w http.ResponseWriter, r *http.Request, v *visit) error {
	out, err := v.carePage(r)
	if err != nil {
		return err
	}
	out.Saved = r.URL.Query().Has("saved")
	return s.render(w, http.StatusOK, "care", out)
}

func (v *visit) carePage(r *http.Request) (out carePage, err error) {
	ctx := r.Context()
	out = carePage{page: v.page("Care team", "care"), Accounts: v.server.Accounts, Signed: signedOf(r) != nil}
	out.Invite = inviteForm{Roles: roleOptions("")}
	team, err := v.book.Team(ctx)
	if err != nil {
		return out, err
	}
	for _, m := range team {
		out.Team = append(out.Team, memberLine{
			m.Person, m.Name, roleWords(m.Role), mayWords(m.Role, m.Medical, m.Plan), words.Day(dayOf(m.At)),
			m.Role == journal.RoleCoach, m.Medical, m.Plan, m.Person == v.server.person(r), false,
		})
	}
	owners := 0
	for _, m := range team {
		if m.Role.Owns() {
			owners++
		}
	}
	for i := range out.Team {
		out.Team[i].Stays = owners == 1 && team[i].Role.Owns()
	}
	if err := v.careLinks(r, &out); err != nil {
		return out, err
	}
	if err := v.careHistory(r, &out); err != nil {
		return out, err
	}
	removal, will, err := v.book.Removal(ctx)
	if will {
		out.Removal = words.Day(dayOf(removal.Due))
	}
	return out, err
}

func (v *visit) careLinks(r *http.Request, out *carePage) error {
	links, err := v.book.Invitations(r.Context())
	for _, i := range links {
		if !i.Open(v.server.instant()) {
			continue
		}
		text := roleWords(i.Role) + ", good until " + words.Day(dayOf(i.Until))
		if i.Name != "" {
			text = i.Name + ", " + text
		}
		out.Open = append(out.Open, linkLine{i.Hash, text})
	}
	return err
}

// careHistory tells who looked, and what was granted and revoked, the last first.
func (v *visit) careHistory(r *http.Request, out *carePage) error {
	names, err := v.server.Journal.Names(r.Context())
	if err != nil {
		return err
	}
	looks, err := v.book.Looks(r.Context(), mostLooks)
	if err != nil {
		return err
	}
	home, err := v.home()
	if err != nil {
		return err
	}
	for _, l := range looks {
		out.Looks = append(out.Looks, l.At.Time().In(home).Format("Mon 2 Jan 2006, 15:04")+": "+names[l.Person]+" "+lookWords[l.What])
	}
	grants, err := v.book.Grants(r.Context())
	for _, g := range slices.Backward(grants) {
		text := names[g.Person] + " came in as " + roleWords(g.Role) + ": " + mayWords(g.Role, g.Medical, g.Plan)
		if g.Revoked {
			text = names[g.Person] + ", " + roleWords(g.Role) + ", was let go"
		}
		out.Said = append(out.Said, words.Day(dayOf(g.At))+": "+text)
	}
	return err
}

var lookWords = map[journal.LookKind]string{
	journal.LookLoad: "looked at the load", journal.LookMedical: "looked at the load and at what hurts", journal.LookExport: "took the logbook along",
}

func roleOptions(chosen string) (options []option) {
	for _, role := range []journal.Role{journal.RoleClinician, journal.RoleCoach, journal.RoleGuardian} {
		options = append(options, option{string(role), roleWords(role), string(role) == chosen})
	}
	return options
}

// inviteCare makes a link into the logbook and shows it, once.
func (s *Server) inviteCare(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	if !s.Accounts {
		return errNoPage
	}
	f := inviteForm{Name: r.PostForm.Get("name"), Medical: r.PostForm.Get("medical") == "yes", Plan: r.PostForm.Get("plan") == "yes"}
	role := journal.Role(r.PostForm.Get("role"))
	f.Roles = roleOptions(string(role))
	if !slices.ContainsFunc(f.Roles, func(o option) bool { return o.Chosen }) {
		f.Fault = "Choose what they are to you."
	} else if f.Name != "" && journal.CheckName(f.Name) != nil {
		f.Fault = "The name is too long, or holds characters that do not print."
	}
	out, err := v.carePage(r)
	if err != nil {
		return err
	}
	if out.Invite = f; f.Fault != "" {
		return s.render(w, http.StatusUnprocessableEntity, "care", out)
	}
	secret, err := v.book.Invite(r.Context(), f.Name, role, f.Medical, f.Plan)
	if err != nil {
		return err
	}
	out.Open = nil
	if err := v.careLinks(r, &out); err != nil {
		return err
	}
	out.Link, out.Invite = s.absolute("/invited/"+secret, r), inviteForm{Roles: roleOptions("")}
	return s.render(w, http.StatusOK, "care", out)
}

// absolute is the whole address of a path.
func (s *Server) absolute(path string, r *http.Request) string {
	if s.Base != nil {
		return s.Base.Scheme + "://" + s.Base.Host + path
	}
	return "http://" + r.Host + path
}

// changeCare changes what somebody may do, lets them go, or makes a link useless.
func (s *Server) changeCare(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	ctx, person := r.Context(), journal.Person(r.PostForm.Get("person"))
	var err error
	switch r.PostForm.Get("do") {
	case "revoke":
		err = v.book.Revoke(ctx, person)
	case "change":
		err = v.book.ChangeCoach(ctx, person, r.PostForm.Get("medical") == "yes", r.PostForm.Get("plan") == "yes")
	case "unlink":
		err = v.book.RevokeInvitation(ctx, r.PostForm.Get("link"))
	default:
		err = &problem{http.StatusUnprocessableEntity, "That is nothing that can be done here.", nil}
	}
	if journal.IsLastOwner(err) {
		return &problem{http.StatusConflict, "Somebody must own the logbook: let another guardian in first, or delete it.", err}
	}
	if err != nil {
		return err
	}
	s.Log.Info("care team changed", "runner", v.runner.ID, "by", s.person(r))
	to := v.link.Base() + "/care?saved"
	if person == s.person(r) {
		to = "/"
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
	return nil
}

// leave ends what the person may do with the logbook of somebody else.
func (s *Server) leave(w http.ResponseWriter, r *http.Request, v *visit) error {
	if role, err := v.book.Role(r.Context()); err != nil || role == "" || role.Owns() {
		return errors.Join(err, errNoPage)
	}
	if err := v.book.Revoke(r.Context(), s.person(r)); err != nil {
		return err
	}
	s.Log.Info("care team changed", "runner", v.runner.ID, "by", s.person(r))
	http.Redirect(w, r, "/account", http.StatusSeeOther)
	return nil
}

// remove has the logbook deleted after a while, or keeps it after all.
func (s *Server) remove(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	if r.PostForm.Get("keep") != "" {
		if err := v.book.KeepAfterAll(r.Context()); err != nil {
			return err
		}
		http.Redirect(w, r, v.link.Base()+"/care?saved#remove", http.StatusSeeOther)
		return nil
	}
	fault, err := s.removeFault(w, r, v)
	if err != nil {
		return err
	}
	if fault != "" {
		out, err := v.carePage(r)
		if err != nil {
			return err
		}
		out.Fault = fault
		return s.render(w, http.StatusUnprocessableEntity, "care", out)
	}
	if _, err := v.book.AskRemoval(r.Context()); err != nil && !errors.Is(err, journal.ErrConflict) {
		return err
	}
	s.Log.Info("deletion wanted", "runner", v.runner.ID, "by", s.person(r))
	http.Redirect(w, r, v.link.Base()+"/care?saved#remove", http.StatusSeeOther)
	return nil
}

// removeFault asks for the name, and the password of who has an account.
func (s *Server) removeFault(w http.ResponseWriter, r *http.Request, v *visit) (string, error) {
	if rights, err := v.book.Rights(r.Context()); err != nil || !rights.Has(journal.RightDelete) {
		return "", errors.Join(err, journal.ErrNotFound)
	}
	if r.PostForm.Get("name") != v.runner.Name {
		return "Type the name of the logbook as it stands above.", nil
	}
	if signedOf(r) == nil {
		return "", nil
	}
	return s.proves(w, r)
}
