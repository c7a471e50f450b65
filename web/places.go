package web

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"runtime"
	"strconv"
	"sync"
	"time"

	"golang.org/x/sync/semaphore"
)

// How many pages are made at once, and how long others wait for that; project
// defaults. With more at once each takes longer, meets the writes of others and
// begins anew, until none gets done.
const (
	pagesPerCore = 4
	pageWait     = 5 * time.Second
)

var errTooMany = &problem{http.StatusServiceUnavailable, "More is asked for at once than this machine can answer. Nothing was done; try again in a moment.", nil}

// places bounds how many pages are made at once.
type places struct {
	free *semaphore.Weighted
	wait time.Duration
}

func newPlaces() places {
	return places{semaphore.NewWeighted(int64(pagesPerCore * runtime.GOMAXPROCS(0))), pageWait}
}

// paced makes a request wait for its turn. Its body is read before, and the turn ends
// with the first byte of the answer, so that nobody is held up by a slow line.
func (s *Server) paced(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if err := takeBody(r); err != nil {
			s.fail(w, r, formProblem(err))
			return
		}
		ctx, cancel := context.WithTimeout(r.Context(), s.places.wait)
		err := s.places.free.Acquire(ctx, 1)
		cancel()
		if err != nil {
			w.Header().Set("Retry-After", strconv.Itoa(int(pageWait.Seconds())))
			s.fail(w, r, errTooMany)
			return
		}
		done := sync.OnceFunc(func() { s.places.free.Release(1) })
		defer done()
		next.ServeHTTP(&firstByte{w, done}, r)
	})
}

// takeBody waits until the body has come.
func takeBody(r *http.Request) error {
	if r.Body == http.NoBody {
		return nil
	}
	b, err := io.ReadAll(r.Body)
	r.Body = struct {
		io.Reader
		io.Closer
	}{bytes.NewReader(b), r.Body}
	return err
}

// firstByte calls begun when an answer begins.
type firstByte struct {
	http.ResponseWriter
	begun func()
}

func (w *firstByte) WriteHeader(status int) {
	w.begun()
	w.ResponseWriter.WriteHeader(status)
}

func (w *firstByte) Write(b []byte) (int, error) {
	w.begun()
	return w.ResponseWriter.Write(b)
}

// Unwrap lets http.ResponseController find what is beneath.
func (w *firstByte) Unwrap() http.ResponseWriter { return w.ResponseWriter }
