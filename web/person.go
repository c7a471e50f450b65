package web

import (
	"context"
	"errors"
	"net"
	"net/http"
	"net/url"
	"strings"

	"tidemark/load/journal"
)

// signed is who is asking, and since when they are signed in.
type signed struct {
	journal.Account
	secret string
}

type signedKey struct{}

// signedOf is who is signed in; nil: nobody.
func signedOf(r *http.Request) *signed {
	who, _ := r.Context().Value(signedKey{}).(*signed)
	return who
}

// cookieName is the name of the cookie that holds the secret of a sign-in. The prefix
// makes a browser refuse one that another host or a page without TLS has set.
func (s *Server) cookieName() string {
	if s.encrypted() {
		return "__Host-tidemark"
	}
	return "tidemark"
}

// encrypted reports whether browsers reach the program by https.
func (s *Server) encrypted() bool { return s.Base != nil && s.Base.Scheme == "https" }

// identified finds out who is asking.
func (s *Server) identified(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		cookie, err := r.Cookie(s.cookieName())
		if !s.Accounts || err != nil {
			next.ServeHTTP(w, r)
			return
		}
		a, _, err := s.Journal.SignedIn(r.Context(), cookie.Value)
		switch {
		case errors.Is(err, journal.ErrNotFound):
		case err != nil && a.ID == "":
			s.fail(w, r, err)
			return
		default: // that it was seen may fail to be written
			r = r.WithContext(context.WithValue(r.Context(), signedKey{}, &signed{a, cookie.Value}))
		}
		next.ServeHTTP(w, r)
	})
}

// known asks who has not signed in to do so first.
func (s *Server) known(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch {
		case !s.Accounts || signedOf(r) != nil:
			next.ServeHTTP(w, r)
		case r.Method == http.MethodGet || r.Method == http.MethodHead:
			http.Redirect(w, r, "/sign-in?to="+url.QueryEscape(r.URL.RequestURI()), http.StatusSeeOther)
		default:
			s.fail(w, r, errNobody)
		}
	})
}

// person is who is asking: without accounts whoever sits at the machine, and nobody
// without a sign-in.
func (s *Server) person(r *http.Request) journal.Person {
	if !s.Accounts {
		return journal.Local
	}
	if who := signedOf(r); who != nil {
		return who.ID
	}
	return ""
}

// begin signs an account in on this browser, and ends the sign-in that was there.
func (s *Server) begin(w http.ResponseWriter, r *http.Request, id journal.Person) error {
	if was := signedOf(r); was != nil {
		if err := s.Journal.SignOut(r.Context(), was.secret); err != nil {
			return err
		}
	}
	secret, until, err := s.Journal.SignIn(r.Context(), id)
	if err != nil {
		return err
	}
	s.Log.Info("signed in", "person", id)
	http.SetCookie(w, &http.Cookie{
		Name: s.cookieName(), Value: secret, Path: "/", MaxAge: int(until.Sub(s.instant()).Seconds()),
		Secure: s.encrypted(), HttpOnly: true, SameSite: http.SameSiteLaxMode,
	})
	return nil
}

// forget takes the cookie back.
func (s *Server) forget(w http.ResponseWriter) {
	http.SetCookie(w, &http.Cookie{Name: s.cookieName(), Path: "/", MaxAge: -1, Secure: s.encrypted(), HttpOnly: true, SameSite: http.SameSiteLaxMode})
}

// local is a path of this program to go on to, or the first page.
func local(to string) string {
	u, err := url.Parse(to)
	if err != nil || u.IsAbs() || u.Host != "" || u.User != nil || !strings.HasPrefix(u.Path, "/") || strings.HasPrefix(to, "//") || strings.ContainsAny(to, "\\\r\n") {
		return "/"
	}
	return u.RequestURI()
}

// address is the address that a request came from, for counting tries.
func (s *Server) address(r *http.Request) string {
	if host, _, err := net.SplitHostPort(r.RemoteAddr); err == nil {
		return host
	}
	return r.RemoteAddr
}

// who names whoever did something. On one's own machine that is whoever sits at it.
func (v *visit) who(by journal.Person) string {
	if by == journal.Local {
		return "on this machine"
	}
	if name, ok := by.Elsewhere(); ok && journal.Person(name) == journal.Local {
		return "on another machine"
	} else if ok {
		return "by " + name + ", elsewhere"
	}
	name, ok := v.names[by]
	if !ok {
		name = string(by)
		if a, err := v.server.Journal.Account(v.ctx, by); err == nil {
			name = a.Name
		}
		v.names[by] = name
	}
	return "by " + name
}
