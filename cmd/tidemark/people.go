package main

import (
	"cmp"
	"errors"
	"fmt"
	"net/url"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"tidemark/load/journal"
)

type peopleCommand struct {
	List   peopleList   `cmd:"" default:"withargs" help:"List accounts and what they may see."`
	Add    peopleAdd    `cmd:"" help:"Make a logbook for a runner, which nobody with an account owns yet."`
	Invite peopleInvite `cmd:"" help:"Print a link that makes an account, once."`
	Grant  peopleGrant  `cmd:"" help:"Let an account into the logbook of --runner."`
	Revoke peopleRevoke `cmd:"" help:"End what an account may do with the logbook of --runner."`
	Reset  peopleReset  `cmd:"" help:"Print a link to a new password, which drops one-time codes."`
	Close  peopleClose  `cmd:"" help:"Keep an account from signing in, or open it again."`
}

func (*peopleCommand) examples() string {
	return `  tidemark people
  tidemark people add "Edda Quill" --zone Europe/Oslo
  tidemark people invite --name "Rafe Tolland" --as coach --runner "Edda Quill"
  tidemark people invite --name "Edda Quill" --base-url https://runs.example.org/
  tidemark people grant "Ada Brandt" --as clinician --runner "Edda Quill"
  tidemark people revoke "Rafe Tolland" --runner "Edda Quill"
  tidemark people reset "Edda Quill"`
}

// peopleLinks is what commands that print links share.
type peopleLinks struct {
	BaseURL string `name:"base-url" default:"http://127.0.0.1:8080/" placeholder:"URL" help:"The address by which browsers reach the program."`
}

func (l peopleLinks) print(a *app, secret string) error {
	base, err := url.Parse(l.BaseURL)
	if err != nil || base.Host == "" {
		return &failure{exitUse, fmt.Errorf("people: read address %q: want a URL", l.BaseURL), "as in --base-url https://runs.example.org/"}
	}
	_, err = fmt.Fprintln(a.out, base.JoinPath("invited", secret))
	return err
}

type peopleList struct{}

// personLine is an account as it is listed.
type personLine struct {
	Name     string        `json:"name"`
	Host     bool          `json:"host"`
	Closed   bool          `json:"closed"`
	Codes    bool          `json:"codes"` // one-time codes are asked for
	Logbooks []logbookLine `json:"logbooks"`
}

type logbookLine struct {
	Runner  string `json:"runner"`
	As      string `json:"as"`
	Medical bool   `json:"medical"`
	Plan    bool   `json:"plan"`
}

// Run lists who has an account.
func (*peopleList) Run(a *app) error {
	j, err := a.open(false)
	if err != nil {
		return err
	}
	defer j.Close()
	lines, err := people(a, j)
	if err != nil {
		return a.journalFailure(err)
	}
	if a.JSON {
		return a.writeJSON(lines)
	}
	if len(lines) == 0 {
		fmt.Fprintln(a.out, "Nobody has an account.")
	}
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	for _, p := range lines {
		fmt.Fprintf(t, "%s\t%s\n", p.Name, cmp.Or(p.words(), "account"))
		for _, b := range p.Logbooks {
			fmt.Fprintf(t, "  %s\t%s\n", b.Runner, b.words())
		}
	}
	return t.Flush()
}

func people(a *app, j *opened) (lines []personLine, err error) {
	all, err := j.Accounts(a.ctx)
	if err != nil {
		return nil, err
	}
	lines = []personLine{}
	for _, one := range all {
		line := personLine{one.Name, one.Host, one.Closed, one.Second != "", []logbookLine{}}
		books, err := j.Logbooks(a.ctx, one.ID)
		if err != nil {
			return nil, err
		}
		for _, b := range books {
			line.Logbooks = append(line.Logbooks, logbookLine{b.Name, string(b.Role), b.Medical, b.Plan})
		}
		lines = append(lines, line)
	}
	slices.SortFunc(lines, func(a, b personLine) int { return strings.Compare(a.Name, b.Name) })
	return lines, nil
}

func (p personLine) words() string {
	var all []string
	if p.Host {
		all = append(all, "host")
	}
	if p.Closed {
		all = append(all, "closed")
	}
	if p.Codes {
		all = append(all, "one-time codes")
	}
	return strings.Join(all, ", ")
}

func (b logbookLine) words() string {
	text := b.As
	if b.As == string(journal.RoleCoach) && b.Medical {
		text += ", sees what hurts"
	}
	if b.As == string(journal.RoleCoach) && b.Plan {
		text += ", may brake the way back"
	}
	return text
}

type peopleAdd struct {
	Name string `arg:"" help:"The runner's name."`
}

// Run makes a logbook.
func (c *peopleAdd) Run(a *app) error {
	zone := a.zone()
	if _, err := time.LoadLocation(zone); err != nil || zone == "Local" {
		return &failure{exitUse, fmt.Errorf("read zone %q: no such zone", zone), "a name as in Europe/Oslo"}
	}
	today, err := a.today(journal.Runner{Home: zone})
	if err != nil {
		return err
	}
	if err := journal.CheckName(c.Name); err != nil {
		return &failure{exitUse, fmt.Errorf("add runner: %w", err), ""}
	}
	j, err := a.open(true)
	if err != nil {
		return err
	}
	defer j.Close()
	r, err := j.AddRunner(a.ctx, c.Name, zone, today)
	if errors.Is(err, journal.ErrConflict) {
		return &failure{exitRefused, fmt.Errorf("add runner %q: there is one of that name", c.Name), ""}
	}
	if err != nil {
		return a.journalFailure(err)
	}
	a.say("the logbook of %s is made; tidemark people invite --runner %q lets its runner in\n", r.Name, r.Name)
	return nil
}

type peopleInvite struct {
	peopleLinks
	Name    string `placeholder:"NAME" help:"Who is meant."`
	As      string `enum:"runner,guardian,coach,clinician,none" default:"runner" help:"What they are: ${enum}. A runner without --runner, and a guardian, get a logbook that is made; none is an account alone."`
	Medical bool   `help:"A coach sees what hurts."`
	Plan    bool   `help:"A coach may brake the way back to running."`
}

// Run prints a link that makes an account.
func (c *peopleInvite) Run(a *app) error {
	j, err := a.open(true)
	if err != nil {
		return err
	}
	defer j.Close()
	i := journal.Invitation{Kind: journal.InviteRunner, Role: journal.Role(c.As), Medical: c.Medical, Plan: c.Plan, Name: c.Name, Home: a.zone(), By: journal.Local}
	if c.As == "none" {
		i.Role = ""
	}
	needs := i.Role == journal.RoleCoach || i.Role == journal.RoleClinician
	switch {
	case a.Runner != "":
		r, err := a.runner(j, false)
		if err != nil {
			return err
		}
		i.Kind, i.Runner = journal.InviteCare, r.ID
	case needs:
		return &failure{exitUse, fmt.Errorf("people: into whose logbook is the %s let?", c.As), "give --runner NAME"}
	case i.Role == journal.RoleGuardian && c.Name == "":
		return &failure{exitUse, errors.New("people: whose logbook does the guardian keep?"), "give the child's name with --name"}
	}
	secret, err := j.Invite(a.ctx, i)
	if err != nil {
		return a.journalFailure(err)
	}
	return c.print(a, secret)
}

type peopleGrant struct {
	Person  string `arg:"" help:"The name of the account."`
	As      string `enum:"runner,guardian,coach,clinician" required:"" help:"What they are: ${enum}."`
	Medical bool   `help:"A coach sees what hurts."`
	Plan    bool   `help:"A coach may brake the way back to running."`
}

// Run lets an account into a logbook.
func (c *peopleGrant) Run(a *app) error {
	return a.withPerson(c.Person, func(b *journal.Book, id journal.Person) error {
		return b.Grant(a.ctx, id, journal.Role(c.As), c.Medical, c.Plan)
	})
}

type peopleRevoke struct {
	Person string `arg:"" help:"The name of the account."`
}

// Run ends what an account may do with a logbook.
func (c *peopleRevoke) Run(a *app) error {
	return a.withPerson(c.Person, func(b *journal.Book, id journal.Person) error { return b.Revoke(a.ctx, id) })
}

// withPerson changes what an account may do with the logbook of --runner.
func (a *app) withPerson(name string, change func(*journal.Book, journal.Person) error) error {
	j, err := a.open(true)
	if err != nil {
		return err
	}
	defer j.Close()
	account, err := a.account(j, name)
	if err != nil {
		return err
	}
	book, _, err := a.book(j, false)
	if err != nil {
		return err
	}
	err = change(book, account.ID)
	switch {
	case journal.IsLastOwner(err):
		return &failure{exitRefused, fmt.Errorf("people: %w", err), "make somebody else its runner or guardian first"}
	case errors.Is(err, journal.ErrNotFound):
		return &failure{exitRefused, fmt.Errorf("people: %s may do nothing with it", account.Name), "tidemark people lists who may"}
	case err != nil:
		return a.journalFailure(err)
	}
	a.say("kept; it holds at once\n")
	return nil
}

// account finds an account by its name.
func (a *app) account(j *opened, name string) (journal.Account, error) {
	account, err := j.AccountNamed(a.ctx, name)
	if errors.Is(err, journal.ErrNotFound) {
		return account, &failure{exitUse, fmt.Errorf("find account %q: there is none", name), "tidemark people lists them"}
	}
	if err != nil {
		return account, a.journalFailure(err)
	}
	return account, nil
}

type peopleReset struct {
	peopleLinks
	Person string `arg:"" help:"The name of the account."`
}

// Run prints a link to a new password.
func (c *peopleReset) Run(a *app) error {
	j, err := a.open(true)
	if err != nil {
		return err
	}
	defer j.Close()
	account, err := a.account(j, c.Person)
	if err != nil {
		return err
	}
	secret, err := j.Invite(a.ctx, journal.Invitation{Kind: journal.InviteReset, Person: account.ID, By: journal.Local})
	if err != nil {
		return a.journalFailure(err)
	}
	return c.print(a, secret)
}

type peopleClose struct {
	Person string `arg:"" help:"The name of the account."`
	Reopen bool   `help:"Open it again."`
}

// Run keeps an account from signing in.
func (c *peopleClose) Run(a *app) error {
	j, err := a.open(true)
	if err != nil {
		return err
	}
	defer j.Close()
	account, err := a.account(j, c.Person)
	if err != nil {
		return err
	}
	if err := j.CloseAccount(a.ctx, account.ID, !c.Reopen); err != nil {
		return a.journalFailure(err)
	}
	a.say("kept; every browser of %s is signed out\n", account.Name)
	return nil
}
