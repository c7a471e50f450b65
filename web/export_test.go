package web

import (
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"
	"golang.org/x/sync/semaphore"
)

// SetPatience changes how long the server waits for a form, and for the next of
// an upload.
func (s *Server) SetPatience(form, upload time.Duration) { s.readTime, s.pause = form, upload }

// EachRoute calls f with the method and pattern of every route.
func (s *Server) EachRoute(f func(method, pattern string)) error {
	return chi.Walk(s.Routes(), func(method, route string, _ http.Handler, _ ...func(http.Handler) http.Handler) error {
		f(method, route)
		return nil
	})
}

// SetPlaces changes how many pages are made at once, and how long others wait.
func (s *Server) SetPlaces(pages int64, wait time.Duration) {
	s.places = places{semaphore.NewWeighted(pages), wait}
}

// Operated is what stands before every route, with another handler behind it.
func (s *Server) Operated(next http.Handler) http.Handler { return s.operated(next) }

var ForwardedFor = forwardedFor

// Routes are the addresses that there are.
func (s *Server) Routes() chi.Routes { return s.routes().(chi.Routes) }

// Paced is what waits for its turn, with another handler behind it.
func (s *Server) Paced(next http.Handler) http.Handler { return s.paced(next) }

// Hashes of tests are cheap, or the race detector spends minutes on them. What a real one
// costs stands in passwordParams, which TestPasswordCost looks at.
func init() { passwordParams.Memory, passwordParams.Iterations = 64, 1 }

var hashCost = [2]uint32{passwordParams.Memory, passwordParams.Iterations} // before init
