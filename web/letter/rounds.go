package letter

import (
	"context"
	"fmt"
	"log/slog"
	"net/url"
	"runtime/debug"
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

// every is how often it goes round; project default.
const every = time.Minute

// Start goes round until ctx ends or stop is called, which waits for the end. It returns
// what wakes it before its time, too.
func (r *Rounds) Start(ctx context.Context) (wake, stop func()) {
	ctx, cancel := context.WithCancel(ctx)
	r.woken = make(chan struct{}, 1)
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		r.run(ctx)
	}()
	wake = func() {
		select {
		case r.woken <- struct{}{}:
		default: // it was woken already
		}
	}
	return wake, func() {
		cancel()
		<-ended
	}
}

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
	defer func() {
		if v := recover(); v != nil { // as a page that fails: the others are still served
			r.Log.Error("go round with letters", "panic", fmt.Sprint(v), "stack", string(debug.Stack()))
		}
	}()
	made, err := r.Journal.MakeEvenings(ctx)
	r.failed(ctx, "make evenings", err)
	if made > 0 {
		r.Log.Info("made evenings", "people", made)
	}
	if r.Server == nil {
		return
	}
	r.send(ctx)
	r.count(ctx)
}

func (r *Rounds) failed(ctx context.Context, what string, err error) {
	if err != nil && ctx.Err() == nil {
		r.Log.Error(what, "error", err)
	}
}

// send hands in the letters that are due. Each is taken when its turn comes, so that it says
// what may be said then. A server that cannot be reached, or hangs, keeps the others waiting
// until the next round, and is not tried for each.
func (r *Rounds) send(ctx context.Context) {
	due, err := r.Journal.LettersDue(ctx)
	r.failed(ctx, "look for letters", err)
	for _, person := range due {
		l, is, err := r.Journal.TakeLetter(ctx, person)
		r.failed(ctx, "take letter", err)
		if !is || err != nil {
			continue
		}
		if !r.try(ctx, &l) {
			return
		}
	}
}

// try hands in one letter, and reports whether there is a server for the next.
func (r *Rounds) try(ctx context.Context, l *journal.Letter) (goOn bool) {
	m := Compose(l, r.Base, r.Now())
	fault := r.Server.Send(ctx, &m)
	keeping := context.WithoutCancel(ctx) // what the server took is sent, even if the program ends now
	if fault == nil {
		r.Metrics.tried(true)
		r.Log.Info("letter sent", "person", l.Person, "letter", m.ID)
		r.failed(ctx, "keep that a letter was sent", r.Journal.LetterSent(keeping, l))
		return true
	}
	if ctx.Err() != nil { // it is tried again under the same ID
		return false
	}
	r.Metrics.tried(false)
	r.Log.Warn("letter not sent", "person", l.Person, "letter", m.ID, "refused", fault.Refused, "error", fault.Logged)
	r.failed(ctx, "keep that a letter was not sent", r.Journal.LetterFailed(keeping, l, fault.plain(), fault.Refused))
	return !fault.Server
}

// plain says to the person what went wrong, without what only the host should know.
func (f *Fault) plain() string {
	switch {
	case f.Refused:
		return "the mail server refused it"
	case f.Server:
		return "the mail server could not be reached, or did not answer"
	}
	return "the mail server did not take it yet"
}
