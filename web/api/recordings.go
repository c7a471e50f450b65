package api

import (
	"bytes"
	"context"
	"net/http"
	"slices"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/intake"
	"tidemark/web/api/wire"
)

// Bounds of a recording that is handed in; project defaults. A whole export of many years is
// for the page or the command.
const (
	maxRecording  = 64 << 20
	recordingTime = 2 * time.Minute
	uploadsAtOnce = 2 // others wait their turn
)

type recordingInput struct {
	Logbook
	Name    string `query:"name" maxLength:"255" default:"recording" doc:"What the file is called, for the report."`
	RawBody []byte `contentType:"application/octet-stream" doc:"FIT, GPX, TCX, diary or mornings CSV, zipped or not; at most 64 MB."`
}

// Report is what became of a file: one line for each recording in it.
type Report struct {
	Files   []wire.Imported `json:"files"`
	Summary wire.Counts     `json:"summary"`
}

func (a *api) recordings(h huma.API) {
	huma.Register(h, huma.Operation{
		Method: http.MethodPost, Path: root + "/runners/{runner}/recordings", OperationID: "add-recording", Summary: "Add what a watch recorded",
		Description:  "What the logbook holds already is not added twice.",
		MaxBodyBytes: maxRecording, BodyReadTimeout: recordingTime, RejectUnknownQueryParameters: true, Middlewares: huma.Middlewares{a.inTurn(h)},
	}, answered(a, a.addRecording))
}

// inTurn bounds the memory of uploads.
func (a *api) inTurn(h huma.API) func(huma.Context, func(huma.Context)) {
	return func(ctx huma.Context, next func(huma.Context)) {
		if err := a.uploads.Acquire(ctx.Context(), 1); err != nil {
			_ = huma.WriteErr(h, ctx, http.StatusServiceUnavailable, "too many uploads at once")
			return
		}
		defer a.uploads.Release(1)
		next(ctx)
	}
}

func (a *api) intake(r journal.Runner) (intake.Options, error) {
	home, err := time.LoadLocation(r.Home)
	return intake.Options{Limits: a.Limits, Now: load.InstantOf(a.Now()), Home: home}, err
}

// inMemory is a file that was sent.
type inMemory struct{ *bytes.Reader }

func (inMemory) Close() error { return nil }

func (a *api) addRecording(ctx context.Context, in *recordingInput) (*body[Report], error) {
	b, err := a.open(ctx, in.Logbook)
	if err != nil {
		return nil, err
	}
	if !b.rights.Has(journal.RightRecord) {
		return nil, journal.ErrNotFound
	}
	opt, err := a.intake(b.runner)
	if err != nil {
		return nil, err
	}
	file := intake.File{Path: in.Name, Open: func() (intake.Source, error) { return inMemory{bytes.NewReader(in.RawBody)}, nil }}
	out := Report{Files: []wire.Imported{}}
	report := func(r intake.Result) {
		line := wire.FromSessions(r.Path, r.Sum, r.Added, r.Sessions)
		if r.Err != nil {
			line = wire.FromRefusal(r.Path, r.Err)
		}
		out.Files = append(out.Files, line)
		out.Summary.Add(line.Outcome)
	}
	if err := intake.Take(ctx, b.Book, slices.Values([]intake.File{file}), opt, report, func(intake.Step) {}); err != nil {
		return nil, err
	}
	return &body[Report]{out}, b.Refresh(ctx, b.today)
}
