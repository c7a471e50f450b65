package web

import (
	"context"
	"crypto/rand"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"runtime/debug"
	"strings"
	"time"

	"github.com/go-chi/chi/v5"
	"github.com/go-chi/chi/v5/middleware"
)

// Requests other than uploads are small and quick; project defaults.
const (
	maxForm  = 64 << 10
	readTime = 10 * time.Second
	sendTime = 30 * time.Second
)

// logged writes one line a request: the route's pattern, not its address, so that
// nobody's name, run or question is in the log.
func (s *Server) logged(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		began := time.Now()
		ww := middleware.NewWrapResponseWriter(w, r.ProtoMajor)
		next.ServeHTTP(ww, r)
		s.Log.Info("request", "method", methodOf(r), "route", chi.RouteContext(r.Context()).RoutePattern(),
			"status", ww.Status(), "bytes", ww.BytesWritten(), "took", time.Since(began))
	})
}

// recovered answers a panic with an error page, unless an answer is under way.
func (s *Server) recovered(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			v := recover()
			switch {
			case v == nil:
			case v == http.ErrAbortHandler:
				panic(v)
			case answered(w):
				s.Metrics.panics.Inc()
				s.Log.Error("answer request", "panic", panicText(v), "stack", string(debug.Stack()))
				panic(http.ErrAbortHandler)
			default:
				s.Metrics.panics.Inc()
				s.fail(w, r, fmt.Errorf("panic: %s\n%s", panicText(v), debug.Stack()))
			}
		}()
		next.ServeHTTP(w, r)
	})
}

// answered reports whether an answer is under way.
func answered(w http.ResponseWriter) bool {
	ww, ok := w.(middleware.WrapResponseWriter)
	return ok && ww.Status() != 0
}

// knownHost refuses requests for a host that is neither this machine nor the program's own
// name. Without a sign-in this is what keeps a page elsewhere from reading the logbook
// through a name that it lets point to this machine.
func (s *Server) knownHost(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		host := hostOf(r.Host)
		if !Loopback(host) && (s.Base == nil || host != strings.ToLower(s.Base.Hostname())) {
			s.fail(w, r, errWrongHost)
			return
		}
		next.ServeHTTP(w, r)
	})
}

func hostOf(hostPort string) string {
	if host, _, err := net.SplitHostPort(hostPort); err == nil {
		hostPort = host
	}
	return strings.ToLower(strings.Trim(hostPort, "[]"))
}

// Loopback reports whether host, a name or an address without a port, can only
// be this machine.
func Loopback(host string) bool {
	host = strings.ToLower(host)
	if host == "localhost" || strings.HasSuffix(host, ".localhost") {
		return true
	}
	addr, err := netip.ParseAddr(strings.Trim(host, "[]"))
	return err == nil && addr.IsLoopback()
}

type nonceKey struct{}

// nonceOf is the word that this answer's scripts and styles carry.
func nonceOf(r *http.Request) string {
	nonce, _ := r.Context().Value(nonceKey{}).(string)
	return nonce
}

// secured sends what keeps a browser from doing more with a page than it needs:
// nothing is loaded from elsewhere, and only what carries the nonce is run.
func (s *Server) secured(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		nonce := rand.Text()
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'none'; script-src 'nonce-"+nonce+"'; style-src 'nonce-"+nonce+
			"'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "private, no-cache")
		if s.Accounts { // a machine that several people use shows nothing after one has left
			h.Set("Cache-Control", "no-store")
		}
		next.ServeHTTP(w, r.WithContext(context.WithValue(r.Context(), nonceKey{}, nonce)))
	})
}

// sameOrigin refuses what another site makes a browser send.
func (s *Server) sameOrigin(next http.Handler) http.Handler {
	protection := s.protection()
	protection.SetDenyHandler(s.handle(func(http.ResponseWriter, *http.Request) error { return errForeign }))
	return protection.Handler(next)
}

// timely gives every request its own deadlines, for those of the last one on the
// same connection would hold. What takes longer sets others.
func (s *Server) timely(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		control, now := http.NewResponseController(w), time.Now()
		var read time.Time // none: nothing more is to be read, and a deadline would end the answer
		if r.Body != http.NoBody {
			read = now.Add(s.readTime)
		}
		_ = control.SetReadDeadline(read) // recorders in tests have none
		_ = control.SetWriteDeadline(now.Add(sendTime))
		next.ServeHTTP(w, r)
	})
}

// small bounds the body of a request that is no upload.
func small(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r.Body = http.MaxBytesReader(w, r.Body, maxForm)
		next.ServeHTTP(w, r)
	})
}
