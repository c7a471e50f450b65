package web

import (
	"errors"
	"math"
	"net/http"
	"time"

	"github.com/go-chi/httprate"
	"golang.org/x/text/cases"

	"tidemark/load/journal"
)

// How many wrong tries a minute: of a name from an address, of a name from anywhere, and
// of an address; project defaults.
const (
	triesOfBoth    = 5
	triesOfName    = 30
	triesOfAddress = 60
	triesWithin    = time.Minute
)

// tries counts what was wrong.
type tries struct{ both, name, address tryLimit }

// tryLimit is how many tries of one kind are taken.
type tryLimit struct {
	*httprate.RateLimiter
	most float64
}

func newTries() tries {
	limit := func(most int) tryLimit {
		return tryLimit{httprate.NewRateLimiter(most, triesWithin, httprate.WithResponseHeaders(httprate.ResponseHeaders{})), float64(most)}
	}
	return tries{limit(triesOfBoth), limit(triesOfName), limit(triesOfAddress)}
}

func (t tries) each(name, address string, f func(l tryLimit, key string)) {
	name = cases.Fold().String(name)
	f(t.both, address+" "+name)
	f(t.name, name)
	f(t.address, address)
}

// tooMany reports whether there were too many wrong tries lately.
func (t tries) tooMany(name, address string) (many bool) {
	t.each(name, address, func(l tryLimit, key string) {
		_, rate, err := l.Status(key)
		many = many || err != nil || math.Round(rate) >= l.most
	})
	return many
}

// wrong counts one.
func (t tries) wrong(w http.ResponseWriter, r *http.Request, name, address string) {
	t.each(name, address, func(l tryLimit, key string) { l.OnLimit(w, r, key) })
}

const tooManyWords = "That was wrong too often. Wait a minute, and try again."

// signInPage asks who somebody is.
type signInPage struct {
	page
	To, Name string
	Fault    string
}

func (s *Server) askSignIn(w http.ResponseWriter, r *http.Request) error {
	if !s.Accounts || signedOf(r) != nil {
		http.Redirect(w, r, local(r.FormValue("to")), http.StatusSeeOther)
		return nil
	}
	out := signInPage{page: s.page(r, "Sign in"), To: local(r.FormValue("to"))}
	return s.render(w, http.StatusOK, "sign_in", out)
}

func (s *Server) signIn(w http.ResponseWriter, r *http.Request) error {
	if err := parseForm(r); err != nil {
		return err
	}
	out := signInPage{page: s.page(r, "Sign in"), To: local(r.PostForm.Get("to")), Name: r.PostForm.Get("name")}
	a, fault, err := s.proved(w, r, out.Name)
	switch {
	case err != nil:
		return err
	case fault == tooManyWords:
		w.Header().Set("Retry-After", "60")
		out.Fault = fault
		return s.render(w, http.StatusTooManyRequests, "sign_in", out)
	case fault != "":
		out.Fault = fault
		return s.render(w, http.StatusUnprocessableEntity, "sign_in", out)
	}
	if err := s.begin(w, r, a.ID); err != nil {
		return err
	}
	http.Redirect(w, r, out.To, http.StatusSeeOther)
	return nil
}

// proved finds the account of a name whose password, and code if it has one, were typed.
func (s *Server) proved(w http.ResponseWriter, r *http.Request, name string) (a journal.Account, fault string, err error) {
	address := s.address(r)
	if s.tries.tooMany(name, address) {
		return a, tooManyWords, nil
	}
	a, err = s.Journal.AccountNamed(r.Context(), name)
	if err != nil && !errors.Is(err, journal.ErrNotFound) {
		return a, "", err
	}
	right, err := s.passwords.right(r.Context(), r.PostForm.Get("password"), a.Password)
	if err != nil {
		return a, "", err
	}
	if right && a.Second != "" {
		if right, err = s.proveSecond(r, &a); err != nil {
			return a, "", err
		}
	}
	if right && !a.Closed {
		return a, "", nil
	}
	s.Log.Info("sign-in refused", "person", a.ID)
	s.tries.wrong(w, r, name, address)
	return a, "That is not right: the name, the password or, if you set one up, the code.", nil
}

// proveSecond takes the one-time code of an account, which is good once.
func (s *Server) proveSecond(r *http.Request, a *journal.Account) (bool, error) {
	step, ok := codeOf(a.Second, r.PostForm.Get("code"), s.Now())
	if !ok {
		return false, nil
	}
	err := s.Journal.UseSecond(r.Context(), a.ID, step)
	if errors.Is(err, journal.ErrConflict) {
		return false, nil
	}
	return err == nil, err
}

func (s *Server) signOut(w http.ResponseWriter, r *http.Request) error {
	if who := signedOf(r); who != nil {
		if err := s.Journal.SignOut(r.Context(), who.secret); err != nil {
			return err
		}
	}
	s.forget(w)
	http.Redirect(w, r, "/sign-in", http.StatusSeeOther)
	return nil
}
