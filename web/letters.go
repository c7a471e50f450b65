package web

import (
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"strconv"

	"tidemark/load/journal"
	"tidemark/web/words"
)

// lettersPage is how somebody who signs in hears in the evening of what is new.
type lettersPage struct {
	page
	Answer  string
	Wish    journal.Wish
	Hours   []option
	Waits   bool   // a code was asked for and has not come back
	Trouble string // with the last letter
	Sends   bool   // the server sends letters
	Second  bool   // one-time codes are asked for
	Code    string // of a letter's link
	Feed    bool
	Address string // of the feed, told once
	Saved   string
	Faults  map[string]string
	Typed   url.Values // of the form that was refused
}

func (s *Server) letters(w http.ResponseWriter, r *http.Request) error {
	out, err := s.lettersPage(r)
	if err != nil {
		return err
	}
	out.Saved = map[string]string{
		"wish": "It is kept.", "asked": "A letter with a code is on its way. Open its link, or type the code here.",
		"confirmed": "Letters go there from now on.", "ended": "No more letters are sent.", "closed": "The feed has ended.",
	}[r.URL.Query().Get("saved")]
	out.Code = r.URL.Query().Get("code")
	return s.render(w, http.StatusOK, "letters", out)
}

func (s *Server) lettersPage(r *http.Request) (out lettersPage, err error) {
	who := signedOf(r)
	if who == nil { // one person at the machine looks at it
		return out, errNoPage
	}
	wish, err := s.Journal.Wish(r.Context(), who.ID)
	if err != nil {
		return out, err
	}
	if wish.Zone == "" {
		if wish.Zone, err = s.zoneOf(r); err != nil {
			return out, err
		}
	}
	out = lettersPage{
		page: s.page(r, "Evening letter"), Wish: wish, Sends: s.Letters != nil, Second: who.Second != "", Feed: wish.Feed != "",
		Waits: wish.Address != "" && wish.Code != "", Faults: map[string]string{}, Typed: r.PostForm,
	}
	for hour := range 24 {
		out.Hours = append(out.Hours, option{strconv.Itoa(hour), fmt.Sprintf("%d:00", hour), hour == wish.Hour})
	}
	out.Answer = lettersAnswer(&out)
	out.Trouble = troubleWords(&wish)
	return out, nil
}

// zoneOf is the zone of a logbook that the person sees, their own first.
func (s *Server) zoneOf(r *http.Request) (string, error) {
	all, err := s.Journal.Logbooks(r.Context(), s.person(r))
	zone := "UTC"
	for _, one := range all {
		if zone == "UTC" || one.Role.Owns() {
			zone = one.Home
		}
	}
	return zone, err
}

func lettersAnswer(p *lettersPage) string {
	switch {
	case p.Wish.Letters:
		return fmt.Sprintf("At %d:00 a letter comes, if something is new.", p.Wish.Hour)
	case p.Waits:
		return "One step is missing until letters come."
	case p.Feed:
		return fmt.Sprintf("At %d:00 the feed tells what is new.", p.Wish.Hour)
	}
	return "No letters come in the evening."
}

// troubleWords says why the last letter did not go, and what happens next.
func troubleWords(w *journal.Wish) string {
	switch {
	case w.Fault == "":
		return ""
	case !w.Letters && w.Code == "":
		return "Letters have ended: for a week none could be sent, because " + w.Fault + ". Look at the address, and give it again."
	}
	return "The last letter did not go: " + w.Fault + ". It is tried again by itself, " + words.Plural(w.Tries, "time") + " so far. Nothing of it is lost: the lists and your pages show it."
}

// setLetters keeps when somebody hears, and how much.
func (s *Server) setLetters(w http.ResponseWriter, r *http.Request) error {
	if err := s.signedForm(r); err != nil {
		return err
	}
	hour, err := strconv.Atoi(r.PostForm.Get("hour"))
	if err == nil {
		err = s.Journal.SetWish(r.Context(), signedOf(r).ID, hour, r.PostForm.Get("zone"), r.PostForm.Get("detail") == "yes")
	}
	if err != nil {
		return s.refuseLetters(w, r, "wish", "The hour is one of the day, the time zone one as Europe/Oslo.")
	}
	http.Redirect(w, r, "/letters?saved=wish", http.StatusSeeOther)
	return nil
}

// refuseLetters shows the page again with what is wrong of one of its forms.
func (s *Server) refuseLetters(w http.ResponseWriter, r *http.Request, form, fault string) error {
	out, err := s.lettersPage(r)
	if err != nil {
		return err
	}
	out.Faults[form] = fault
	return s.render(w, faultStatus(fault), "letters", out)
}

// askAddress sends a code to an address, takes the code, or ends letters.
func (s *Server) askAddress(w http.ResponseWriter, r *http.Request) error {
	if err := s.signedForm(r); err != nil {
		return err
	}
	if s.Letters == nil {
		return errNoPage
	}
	who := signedOf(r)
	switch r.PostForm.Get("do") {
	case "end":
		if err := s.Journal.StopLetters(r.Context(), who.ID); err != nil && !errors.Is(err, journal.ErrNotFound) {
			return err
		}
		http.Redirect(w, r, "/letters?saved=ended", http.StatusSeeOther)
		return nil
	case "confirm":
		err := s.Journal.ConfirmAddress(r.Context(), who.ID, r.PostForm.Get("code"))
		if errors.Is(err, journal.ErrNotFound) {
			return s.refuseLetters(w, r, "code", "That is not the code, or it is older than a week. The newest letter has the one that is good.")
		}
		if err != nil {
			return err
		}
		http.Redirect(w, r, "/letters?saved=confirmed", http.StatusSeeOther)
		return nil
	}
	zone, err := s.zoneOf(r)
	if err != nil {
		return err
	}
	fault, err := s.proves(w, r)
	if err != nil {
		return err
	}
	if fault == "" {
		fault, err = addressFault(s.Journal.AskAddress(r.Context(), who.ID, r.PostForm.Get("address"), zone))
	}
	switch {
	case err != nil:
		return err
	case fault != "":
		return s.refuseLetters(w, r, "address", fault)
	}
	s.Letters()
	http.Redirect(w, r, "/letters?saved=asked", http.StatusSeeOther)
	return nil
}

func addressFault(err error) (fault string, other error) {
	switch {
	case errors.Is(err, journal.ErrNoAddress):
		return "That is no address that letters can be sent to. It looks like edda@example.org.", nil
	case errors.Is(err, journal.ErrTooSoon):
		return "A letter with a code went out a moment ago. Look for it, or wait ten minutes.", nil
	}
	return "", err
}

// changeNews makes a new secret address of the feed, or ends it.
func (s *Server) changeNews(w http.ResponseWriter, r *http.Request) error {
	if err := s.signedForm(r); err != nil {
		return err
	}
	if r.PostForm.Get("do") == "close" {
		if err := s.Journal.CloseNews(r.Context(), signedOf(r).ID); err != nil {
			return err
		}
		http.Redirect(w, r, "/letters?saved=closed", http.StatusSeeOther)
		return nil
	}
	zone, err := s.zoneOf(r)
	if err != nil {
		return err
	}
	secret, err := s.Journal.OpenNews(r.Context(), signedOf(r).ID, zone)
	if err != nil {
		return err
	}
	out, err := s.lettersPage(r)
	if err != nil {
		return err
	}
	out.Address = s.baseOf(r).JoinPath("news", secret+".xml").String()
	return s.render(w, http.StatusOK, "letters", out)
}

// baseOf is the address by which the browser reaches the program.
func (s *Server) baseOf(r *http.Request) *url.URL {
	if s.Base != nil {
		return s.Base
	}
	base := &url.URL{Scheme: "http", Host: r.Host, Path: "/"}
	if r.TLS != nil {
		base.Scheme = "https"
	}
	return base
}

// stopPage ends letters without a sign-in.
type stopPage struct {
	page
	Action string
	Ended  bool
}

func (s *Server) askStop(w http.ResponseWriter, r *http.Request) error {
	w.Header().Set("Referrer-Policy", "no-referrer") // the address is a secret
	is, err := s.Journal.LettersStopBy(r.Context(), r.PathValue("secret"))
	if err != nil {
		return err
	}
	if !is {
		return &problem{http.StatusNotFound, "Letters of this address have ended already.", nil}
	}
	return s.render(w, http.StatusOK, "letters_stop", stopPage{page: s.page(r, "End letters"), Action: r.URL.Path})
}

// stop ends letters; programs for mail send the same form (RFC 8058).
func (s *Server) stop(w http.ResponseWriter, r *http.Request) error {
	w.Header().Set("Referrer-Policy", "no-referrer")
	err := s.Journal.StopLettersBy(r.Context(), r.PathValue("secret"))
	if err != nil && !errors.Is(err, journal.ErrNotFound) {
		return err
	}
	return s.render(w, http.StatusOK, "letters_stop", stopPage{page: s.page(r, "No more letters"), Ended: true})
}
