package web

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"time"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/web/api/intake"
)

// visit is one request about one runner.
type visit struct {
	server *Server
	book   *journal.Book
	runner journal.Runner
	today  load.Day
	link   runnerLink
	base   page // what all its pages share
	rights journal.Rights
	ctx    context.Context // of the request, for names
	names  map[journal.Person]string
}

// runner makes a handler of a function that needs a runner's book: it opens the
// one that the address names, with derived rows of this version.
func (s *Server) runner(f func(http.ResponseWriter, *http.Request, *visit) error) http.HandlerFunc {
	return s.handle(func(w http.ResponseWriter, r *http.Request) error {
		v, err := s.visit(r, journal.RunnerID(r.PathValue("runner")))
		if err != nil {
			return err
		}
		return f(w, r, v)
	})
}

// recorder is runner for pages of who adds to the logbook.
func (s *Server) recorder(f func(http.ResponseWriter, *http.Request, *visit) error) http.HandlerFunc {
	return s.runner(func(w http.ResponseWriter, r *http.Request, v *visit) error {
		if !v.rights.Has(journal.RightRecord) {
			return errNoPage
		}
		return f(w, r, v)
	})
}

// treating is runner for pages of who is in charge.
func (s *Server) treating(f func(http.ResponseWriter, *http.Request, *visit) error) http.HandlerFunc {
	return s.runner(func(w http.ResponseWriter, r *http.Request, v *visit) error {
		switch {
		case v.rights.Has(journal.RightTreat):
			return f(w, r, v)
		case v.rights.Has(journal.RightTell):
			return journal.ErrNotInCharge
		}
		return errNoPage
	})
}

func (s *Server) visit(r *http.Request, id journal.RunnerID) (*visit, error) {
	ctx, person := r.Context(), s.person(r)
	book, err := s.Journal.Open(ctx, person, id)
	if err != nil {
		return nil, err
	}
	v := &visit{server: s, book: book, base: s.page(r, ""), ctx: ctx, names: make(map[journal.Person]string)}
	if v.runner, err = book.Runner(ctx); err != nil {
		return nil, err
	}
	if v.today, err = v.runner.Today(s.instant()); err != nil {
		return nil, err
	}
	if v.rights, err = book.Rights(ctx); err != nil {
		return nil, err
	}
	all, err := s.Journal.Runners(ctx, person)
	if err != nil {
		return nil, err
	}
	if err := v.look(ctx); err != nil {
		return nil, err
	}
	v.link = runnerLink{ID: string(v.runner.ID), Name: v.runner.Name, Several: len(all) > 1}
	return v, v.rederive(ctx)
}

// rederive brings what another version derived up to this one.
func (v *visit) rederive(ctx context.Context) error {
	stale, err := v.book.Stale(ctx)
	if err != nil || !stale {
		return err
	}
	opt, err := v.server.intake(v.runner)
	if err != nil {
		return err
	}
	return v.book.Rederive(ctx, intake.Redo(opt))
}

// refreshTime is how long a page waits for another program to let it write.
const refreshTime = time.Second

// refresh keeps the findings of today before they are shown, so that they can be
// answered. A journal that cannot be written to is shown all the same.
func (v *visit) refresh(ctx context.Context) error {
	_, err := v.book.Standing(ctx, v.today)
	if !errors.Is(err, journal.ErrNotFound) {
		return err
	}
	soon, cancel := context.WithTimeout(ctx, refreshTime)
	defer cancel()
	err = v.book.Refresh(soon, v.today)
	for _, passing := range []error{journal.ErrReadOnly, journal.ErrBusy, journal.ErrConflict, journal.ErrFull, context.DeadlineExceeded} {
		if errors.Is(err, passing) {
			return nil
		}
	}
	return err
}

// picture answers a question as of today.
func (v *visit) picture(ctx context.Context, q assess.Query) (journal.Picture, error) {
	if err := v.refresh(ctx); err != nil {
		return journal.Picture{}, err
	}
	return v.book.Picture(ctx, v.today, q)
}

// page is the part that every page of the runner has.
func (v *visit) page(title, at string) page {
	p := v.base
	p.Title, p.Runner, p.At, p.May = title, v.link, at, mayOf(v.rights)
	return p
}

// look keeps that somebody else looked at the logbook. A journal that cannot be written to
// shows nothing to others.
func (v *visit) look(ctx context.Context) error {
	what := journal.LookLoad
	if v.rights.Has(journal.RightMedical) {
		what = journal.LookMedical
	}
	return v.book.Look(ctx, what)
}

// followed is what is followed of the runner, as far as the person may see it.
func (v *visit) followed(ctx context.Context) (*assess.Care, error) {
	if !v.rights.Has(journal.RightMedical) {
		return &assess.Care{}, nil
	}
	return v.book.Care(ctx, v.today)
}

// home is the zone in which the runner lives.
func (v *visit) home() (*time.Location, error) { return time.LoadLocation(v.runner.Home) }

// runnersPage lists the runners that the person may see, and asks who of them is over
// with a session.
type runnersPage struct {
	page
	Runners []journal.Runner
	Check   sessionCheck
}

func (s *Server) runners(w http.ResponseWriter, r *http.Request) error {
	all, err := s.Journal.Runners(r.Context(), s.person(r))
	if err != nil {
		return err
	}
	return s.showRunners(w, r, all)
}

func (s *Server) showRunners(w http.ResponseWriter, r *http.Request, all []journal.Runner) error {
	out := runnersPage{page: s.page(r, "Runners"), Runners: all}
	status := http.StatusOK
	if len(all) > 0 {
		var err error
		if out.Check, err = s.sessionCheck(r, all); err != nil {
			return err
		}
		if out.Check.Fault != "" {
			status = http.StatusUnprocessableEntity
		}
	}
	return s.render(w, status, "runners", out)
}

// ownOf is whose day the first page shows: at the machine the only logbook, else the one that
// is the person's own, or the only child's; empty: none.
func (s *Server) ownOf(r *http.Request, all []journal.Runner) (journal.RunnerID, error) {
	if len(all) == 1 && !s.Accounts {
		return all[0].ID, nil
	}
	books, err := s.Journal.Logbooks(r.Context(), s.person(r))
	var own, children []journal.RunnerID
	for _, b := range books {
		switch b.Role {
		case journal.RoleRunner:
			own = append(own, b.ID)
		case journal.RoleGuardian:
			children = append(children, b.ID)
		}
	}
	switch {
	case len(own) == 1:
		return own[0], err
	case len(own) == 0 && len(children) == 1:
		return children[0], err
	}
	return "", err
}

// lists leads who looks after others to their list.
func (s *Server) lists(w http.ResponseWriter, r *http.Request, all []journal.Runner) error {
	books, err := s.Journal.Logbooks(r.Context(), s.person(r))
	if err != nil {
		return err
	}
	is := func(role journal.Role) bool {
		return slices.ContainsFunc(books, func(b journal.Logbook) bool { return b.Role == role })
	}
	switch {
	case is(journal.RoleClinician):
		http.Redirect(w, r, "/caseload", http.StatusSeeOther)
		return nil
	case is(journal.RoleCoach):
		http.Redirect(w, r, "/squad", http.StatusSeeOther)
		return nil
	}
	return s.showRunners(w, r, all)
}

// home shows the day of the one runner that is meant, or lets choose.
func (s *Server) home(w http.ResponseWriter, r *http.Request) error {
	id := s.Runner
	if id == "" {
		all, err := s.Journal.Runners(r.Context(), s.person(r))
		if err != nil {
			return err
		}
		if id, err = s.ownOf(r, all); err != nil {
			return err
		}
		if id == "" {
			return s.lists(w, r, all)
		}
	}
	v, err := s.visit(r, id)
	if err != nil {
		return err
	}
	return s.today(w, r, v)
}
