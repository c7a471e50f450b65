package letter

import (
	"context"
	"errors"
	"log/slog"
	"net/url"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
)

// Rounds makes evenings when their hour has come, and sends the letters that are due.
type Rounds struct {
	Journal *journal.Journal
	Server  *Server // nil: no letters are sent, and evenings are told by feeds alone
	Base    *url.URL
	Now     func() load.Instant
	Log     *slog.Logger
	Metrics *Metrics // nil: none are told

	woken chan struct{}
}

// Start goes round until ctx ends, and returns what wakes it before its time.
func (r *Rounds) Start(ctx context.Context) (wake func()) {
	r.woken = make(chan struct{}, 1)
	go r.run(ctx)
	return func() {
		select {
		case r.woken <- struct{}{}:
		default: // it was woken already
		}
	}
}

// every is how often it goes round; project default.
const every = time.Minute

func (r *Rounds) run(ctx context.Context) {
	for {
		r.Round(ctx)
		select {
		case <-ctx.Done():
			return
		case <-r.woken:
		case <-time.After(every):
		}
	}
}

// Round goes round once. What fails is logged and tried again the next time.
func (r *Rounds) Round(ctx context.Context) {
	if made, err := r.Journal.MakeEvenings(ctx); err != nil && ctx.Err() == nil {
		r.Log.Error("make evenings", "made", made, "error", err)
	} else if made > 0 {
		r.Log.Info("made evenings", "people", made)
	}
	if r.Server == nil {
		return
	}
	if err := r.send(ctx); err != nil && ctx.Err() == nil {
		r.Log.Error("send letters", "error", err)
	}
	r.count(ctx)
}

// send hands in the letters that are due. A server that cannot be reached keeps all of them
// waiting, and is not tried for each.
func (r *Rounds) send(ctx context.Context) error {
	letters, err := r.Journal.Letters(ctx)
	for i := range letters {
		l := &letters[i]
		m := Compose(l, r.Base, r.Now())
		fault := r.Server.Send(ctx, &m)
		if ctx.Err() != nil { // it is tried again under the same ID
			return errors.Join(err, ctx.Err())
		}
		r.Metrics.tried(fault)
		if fault == nil {
			r.Log.Info("letter sent", "person", l.To.Person, "letter", m.ID)
			err = errors.Join(err, r.Journal.LetterSent(ctx, *l))
			continue
		}
		var why *Fault
		if !errors.As(fault, &why) {
			panic("letter: Send: an error that is no fault")
		}
		r.Log.Warn("letter not sent", "person", l.To.Person, "letter", m.ID, "refused", why.Refused, "error", fault)
		err = errors.Join(err, r.Journal.LetterFailed(ctx, *l, plain(why), why.Refused))
		if why.Server {
			break
		}
	}
	return err
}

// plain says to the person what went wrong, without what only the host should know.
func plain(f *Fault) string {
	switch {
	case f.Server:
		return "the mail server could not be reached"
	case f.Refused:
		return "the mail server refused it"
	}
	return "the mail server did not take it yet"
}
