// Package api is the program for other programs: JSON under /api/v1, in the same words as
// the commands, described by an OpenAPI 3.1 document. Whoever asks is a person, by a token,
// and sees what that person may see.
package api

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humachi"
	"github.com/go-chi/chi/v5"
	"golang.org/x/sync/semaphore"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/load/journal"
)

// Options are what the API is made of.
type Options struct {
	Journal *journal.Journal
	Now     func() time.Time
	Log     *slog.Logger
	Limits  ingest.Limits
	// Accounts says that a token is asked for. Without, everybody is whoever sits at the
	// machine.
	Accounts bool
	Version  string // of the program
}

// api answers.
type api struct {
	Options
	uploads *semaphore.Weighted
}

// New registers the API on a router and returns its description.
func New(r chi.Router, o Options) *huma.OpenAPI {
	a := &api{Options: o, uploads: semaphore.NewWeighted(uploadsAtOnce)}
	cfg := huma.DefaultConfig("tidemark", o.Version)
	cfg.DocsPath, cfg.SchemasPath, cfg.CreateHooks = "", "", nil
	cfg.OpenAPIPath = "/api/openapi"
	cfg.Info.Description = about
	cfg.Formats = map[string]huma.Format{"application/json": huma.DefaultJSONFormat, "json": huma.DefaultJSONFormat}
	cfg.Components.SecuritySchemes = map[string]*huma.SecurityScheme{
		"token": {Type: "http", Scheme: "bearer", Description: "A token of your account page."},
	}
	cfg.Security = []map[string][]string{{"token": {}}}
	h := humachi.New(r, cfg)
	h.UseMiddleware(a.identified(h))
	a.people(h)
	a.load(h)
	a.medical(h)
	a.recordings(h)
	return h.OpenAPI()
}

const about = "What tidemark knows of runners, for other programs. Numbers are SI or carry the unit in their name, what is undefined is null, " +
	"days are YYYY-MM-DD, instants RFC 3339. What a person may not see does not exist for their tokens. " +
	"The limits are a roof and never a plan; where they differ from what a clinician says, follow the clinician."

// who is asking.
type who struct {
	person journal.Person
	name   string
	scope  journal.Scope
}

type whoKey struct{}

func whoOf(ctx context.Context) who {
	w, _ := ctx.Value(whoKey{}).(who)
	return w
}

// identified asks for a token, and for one that may write where something is written.
func (a *api) identified(h huma.API) func(huma.Context, func(huma.Context)) {
	return func(ctx huma.Context, next func(huma.Context)) {
		w := who{journal.Local, "", journal.ScopeWrite}
		if a.Accounts {
			secret, ok := strings.CutPrefix(ctx.Header("Authorization"), "Bearer ")
			token, account, err := a.Journal.TokenOf(ctx.Context(), secret)
			switch {
			case !ok || errors.Is(err, journal.ErrNotFound):
				ctx.SetHeader("WWW-Authenticate", "Bearer")
				_ = huma.WriteErr(h, ctx, http.StatusUnauthorized, "a token is needed that is still good: your account page makes one")
				return
			case err != nil && account.ID == "":
				a.Log.Error("answer API", "error", err)
				_ = huma.WriteErr(h, ctx, http.StatusInternalServerError, "something went wrong here, and the log says what")
				return
			}
			w = who{account.ID, account.Name, token.Scope}
		}
		if ctx.Method() != http.MethodGet && w.scope != journal.ScopeWrite {
			_ = huma.WriteErr(h, ctx, http.StatusForbidden, "this token reads only")
			return
		}
		next(huma.WithValue(ctx, whoKey{}, w))
	}
}

// problems are the errors of the journal as callers hear of them.
var problems = []struct {
	is     error
	status int
	text   string
}{
	{journal.ErrNotFound, http.StatusNotFound, "there is nothing at this address, or it is not yours to see"},
	{journal.ErrNotInCharge, http.StatusForbidden, "somebody else is in charge of it"},
	{journal.ErrConflict, http.StatusConflict, "it was changed meanwhile, or is there already"},
	{journal.ErrBusy, http.StatusServiceUnavailable, "another program is using the logbook"},
	{journal.ErrReadOnly, http.StatusServiceUnavailable, "the logbook cannot be written to"},
	{journal.ErrFull, http.StatusInsufficientStorage, "the disk is full; nothing is half kept"},
}

// answer turns an error into one that says no more than it may. A plain error would be shown
// to the caller as it is.
func (a *api) answer(err error) error {
	if err == nil {
		return nil
	}
	if said, ok := errors.AsType[huma.StatusError](err); ok {
		return said
	}
	for _, p := range problems {
		if errors.Is(err, p.is) {
			if p.status >= http.StatusInternalServerError {
				a.Log.Error("answer API", "error", err)
			}
			return huma.NewError(p.status, p.text)
		}
	}
	a.Log.Error("answer API", "error", err)
	return huma.Error500InternalServerError("something went wrong here, and the log says what; nothing is half kept")
}

// wrong says what of a request cannot be.
func wrong(text string) error { return huma.Error422UnprocessableEntity(text) }

// get registers what is read.
func get[I, O any](a *api, h huma.API, path, id, summary string, f func(context.Context, *I) (*O, error)) {
	huma.Register(h, huma.Operation{Method: http.MethodGet, Path: root + path, OperationID: id, Summary: summary, RejectUnknownQueryParameters: true}, answered(a, f))
}

// post registers what is written.
func post[I, O any](a *api, h huma.API, path, id, summary string, f func(context.Context, *I) (*O, error)) {
	huma.Register(h, huma.Operation{Method: http.MethodPost, Path: root + path, OperationID: id, Summary: summary, RejectUnknownQueryParameters: true}, answered(a, f))
}

const root = "/api/v1"

func answered[I, O any](a *api, f func(context.Context, *I) (*O, error)) func(context.Context, *I) (*O, error) {
	return func(ctx context.Context, in *I) (*O, error) {
		out, err := f(ctx, in)
		if err != nil {
			return nil, a.answer(err)
		}
		return out, nil
	}
}

// body is an answer.
type body[T any] struct{ Body T }

// Logbook is what requests about a runner have in common.
type Logbook struct {
	Runner string `path:"runner" doc:"ID of a runner, as of /runners." maxLength:"40"`
}

// opened is a runner's book, with derived rows of this version, on their today.
type opened struct {
	*journal.Book
	runner journal.Runner
	today  load.Day
	rights journal.Rights
}

// open opens the logbook and keeps that somebody looked.
func (a *api) open(ctx context.Context, of Logbook) (out opened, err error) {
	if out.Book, err = a.Journal.Open(ctx, whoOf(ctx).person, journal.RunnerID(of.Runner)); err != nil {
		return out, err
	}
	if out.runner, err = out.Runner(ctx); err != nil {
		return out, err
	}
	if out.today, err = out.runner.Today(load.InstantOf(a.Now())); err != nil {
		return out, err
	}
	if out.rights, err = out.Rights(ctx); err != nil {
		return out, err
	}
	what := journal.LookLoad
	if out.rights.Has(journal.RightMedical) {
		what = journal.LookMedical
	}
	if err := out.Look(ctx, what); err != nil {
		return out, err
	}
	return out, a.current(ctx, out)
}

// on is the day that is asked about: today, or one before.
func (o *opened) on(day string) (load.Day, error) {
	if day == "" {
		return o.today, nil
	}
	on, err := load.ParseDay(day)
	if err != nil {
		return 0, wrong("a day is written YYYY-MM-DD")
	}
	if on > o.today {
		return 0, wrong("the day has not come yet")
	}
	return on, nil
}
