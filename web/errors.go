package web

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"os"
	"strings"

	"tidemark/load/journal"
)

// problem is an error whose text the reader of the page may see.
type problem struct {
	status int
	text   string
	err    error // for the log; may be nil
}

func (p *problem) Error() string {
	if p.err != nil {
		return p.text + ": " + p.err.Error()
	}
	return p.text
}

func (p *problem) Unwrap() error { return p.err }

var (
	errNoPage    = &problem{http.StatusNotFound, "There is no page at this address.", nil}
	errNoMethod  = &problem{http.StatusMethodNotAllowed, "This address cannot be used that way.", nil}
	errWrongHost = &problem{http.StatusMisdirectedRequest, "This program only answers under its own address.", nil}
	errNobody    = &problem{http.StatusUnauthorized, "You are signed out. Sign in, and send it again.", nil}
	errForeign   = &problem{http.StatusForbidden, "This was sent from another site, so it was not done.", nil}
)

// problems says what an error of the journal means to a reader.
var problems = []struct {
	is     error
	status int
	text   string
}{
	{journal.ErrNotFound, http.StatusNotFound, "There is nothing at this address, or it is not yours to see."},
	{journal.ErrNotInCharge, http.StatusForbidden, "Somebody else is in charge of this while it is followed: ask your clinician. Less can be set at any time, more is theirs to say."},
	{journal.ErrOwned, http.StatusConflict, "That logbook has an owner, who sees everything in it and lets others in."},
	{journal.ErrStopped, http.StatusUnprocessableEntity, "A sign stops it. Until it is lifted nothing goes on; holding and ending are always possible."},
	{journal.ErrConflict, http.StatusConflict, "It was changed meanwhile. Look again, and repeat what is still needed."},
	{journal.ErrBusy, http.StatusServiceUnavailable, "Another program is using the logbook. Try again in a moment."},
	{journal.ErrReadOnly, http.StatusServiceUnavailable, "The logbook can be read but not written to: look at the permissions of its file."},
	{journal.ErrFull, http.StatusInsufficientStorage, "The disk is full. Make room and try again; nothing is half kept."},
	{journal.ErrDamaged, http.StatusInternalServerError, "The logbook is damaged. Stop the program: tidemark check says what is wrong, tidemark restore puts a backup back."},
}

// problemOf finds what the reader is told of an error.
func problemOf(err error) *problem {
	if p, ok := errors.AsType[*problem](err); ok {
		return p
	}
	if tooLarge, ok := errors.AsType[*http.MaxBytesError](err); ok {
		return &problem{http.StatusRequestEntityTooLarge, "That was too much at once: " + size(tooLarge.Limit) + " is the most.", err}
	}
	if errors.Is(err, os.ErrDeadlineExceeded) || errors.Is(err, context.Canceled) {
		return &problem{http.StatusRequestTimeout, "The rest of the request did not come. Try again.", err}
	}
	for _, p := range problems {
		if errors.Is(err, p.is) {
			return &problem{p.status, p.text, err}
		}
	}
	return &problem{http.StatusInternalServerError, "Something went wrong here, and the log says what. Nothing is half kept.", err}
}

// errorPage is a page that could not be made.
type errorPage struct {
	page
	Status int
	Text   string
}

// fail answers with an error, and writes to the log what the reader is not told.
func (s *Server) fail(w http.ResponseWriter, r *http.Request, err error) {
	p := problemOf(err)
	if p.status >= 500 {
		s.Log.Error("answer request", "method", methodOf(r), "status", p.status, "error", err)
	}
	if strings.Contains(r.Header.Get("Accept"), typeLines) {
		w.Header().Set("Content-Type", typeLines)
		w.WriteHeader(p.status)
		_ = json.NewEncoder(w).Encode(map[string]string{"error": p.text})
		return
	}
	out := errorPage{s.page(r, http.StatusText(p.status)), p.status, p.text}
	if err := s.render(w, p.status, "error", out); err != nil {
		s.Log.Error("render error page", "error", err)
		http.Error(w, p.text, p.status)
	}
}
