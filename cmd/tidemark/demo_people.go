package main

import (
	"crypto/rand"
	"fmt"
	"net/url"

	"tidemark/cmd/tidemark/demo"
	"tidemark/load/journal"
)

// The people who look after the invented club.
const (
	demoCoach     = "Rafe Tolland"
	demoClinician = "Ada Brandt"
)

// peopleOf makes accounts for the club: each runner their own, a coach of all who sees what
// hurts of nobody, and a clinician of those of whom something is followed.
func (a *app) peopleOf(j *opened, club []demo.Runner) (err error) {
	var coach, clinician journal.Account
	if coach, err = a.demoAccount(j, demoCoach); err != nil {
		return err
	}
	if clinician, err = a.demoAccount(j, demoClinician); err != nil {
		return err
	}
	for i := range club {
		own, err := a.demoAccount(j, club[i].Name)
		if err != nil {
			return err
		}
		r, err := j.Find(a.ctx, journal.Local, club[i].Name)
		if err != nil {
			return err
		}
		book, err := j.Open(a.ctx, journal.Local, r.ID)
		if err != nil {
			return err
		}
		if err := book.Grant(a.ctx, own.ID, journal.RoleRunner, false, false); err != nil {
			return err
		}
		if err := book.Grant(a.ctx, coach.ID, journal.RoleCoach, false, club[i].Care != nil); err != nil {
			return err
		}
		if club[i].Care != nil {
			if err := book.Grant(a.ctx, clinician.ID, journal.RoleClinician, false, false); err != nil {
				return err
			}
		}
	}
	return nil
}

// demoAccount makes an account whose password nobody knows: the demo's links let in.
func (a *app) demoAccount(j *opened, name string) (journal.Account, error) {
	secret, err := j.Invite(a.ctx, journal.Invitation{Kind: journal.InviteRunner, Name: name, By: journal.Local})
	if err != nil {
		return journal.Account{}, err
	}
	return j.Join(a.ctx, secret, journal.Newcomer{Name: name, Password: "none " + rand.Text()})
}

// printEntrances prints a link for each part.
func (a *app) printEntrances(j *opened, club []demo.Runner, base *url.URL) error {
	parts := [][2]string{{"runner", club[0].Name}}
	for i := range club {
		if club[i].Care != nil {
			parts = append(parts, [2]string{"runner with something that hurts", club[i].Name})
			break
		}
	}
	parts = append(parts, [2]string{"coach", demoCoach}, [2]string{"clinician", demoClinician})
	fmt.Fprintln(a.out, "Each link lets in one browser, as one of the club:")
	for _, part := range parts {
		account, err := j.AccountNamed(a.ctx, part[1])
		if err != nil {
			return err
		}
		secret, err := j.Invite(a.ctx, journal.Invitation{Kind: journal.InviteEnter, Person: account.ID, By: journal.Local})
		if err != nil {
			return err
		}
		fmt.Fprintf(a.out, "  %s, %s: %s\n", part[1], part[0], base.JoinPath("invited", secret))
	}
	return nil
}
