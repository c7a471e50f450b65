package web

import (
	"context"
	"errors"
	"net/http"
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
	nonce  string
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

func (s *Server) visit(r *http.Request, id journal.RunnerID) (*visit, error) {
	ctx, person := r.Context(), s.person(r)
	book, err := s.Journal.Open(ctx, person, id)
	if err != nil {
		return nil, err
	}
	v := &visit{server: s, book: book, nonce: nonceOf(r)}
	if v.runner, err = book.Runner(ctx); err != nil {
		return nil, err
	}
	if v.today, err = v.runner.Today(s.instant()); err != nil {
		return nil, err
	}
	all, err := s.Journal.Runners(ctx, person)
	if err != nil {
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
	return page{Title: title, Nonce: v.nonce, Runner: v.link, At: at}
}

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
	out := runnersPage{page: page{Title: "Runners", Nonce: nonceOf(r)}, Runners: all}
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

// home shows the day of the one runner that is meant, or lets choose.
func (s *Server) home(w http.ResponseWriter, r *http.Request) error {
	id := s.Runner
	if id == "" {
		all, err := s.Journal.Runners(r.Context(), s.person(r))
		if err != nil {
			return err
		}
		if len(all) != 1 {
			return s.showRunners(w, r, all)
		}
		id = all[0].ID
	}
	v, err := s.visit(r, id)
	if err != nil {
		return err
	}
	return s.today(w, r, v)
}
