package web

import (
	"net/http"
	"time"

	"github.com/go-chi/chi/v5"
)

// SetPatience changes how long the server waits for a form, and for the next of
// an upload.
func (s *Server) SetPatience(form, upload time.Duration) { s.readTime, s.pause = form, upload }

// EachRoute calls f with the method and pattern of every route.
func (s *Server) EachRoute(f func(method, pattern string)) error {
	return chi.Walk(s.handler.(chi.Routes), func(method, route string, _ http.Handler, _ ...func(http.Handler) http.Handler) error {
		f(method, route)
		return nil
	})
}
