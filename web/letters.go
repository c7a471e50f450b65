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
	Hours   []option
	Zone    string
	Detail  bool
	Sends   bool   // the server sends letters
	To      string // an address; empty: letters go nowhere
	Asks    string // an address that waits for its code
	Out     bool   // the letter with that was sent
	Shown   string // the code, of a letter's link or as typed
	Address string // as typed
	Second  bool   // one-time codes are asked for
	Trouble []string
	Feed    bool
	Made    string // the feed's address, told once
	Saved   string
	Faults  map[string]string
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
	out.Shown = r.URL.Query().Get("code")
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
		page: s.page(r, "Evening letter"), Answer: lettersAnswer(&wish, s.Letters != nil), Zone: wish.Zone, Detail: wish.Detail, Sends: s.Letters != nil, To: wish.Address, Asks: wish.Asks, Out: wish.Out,
		Second: who.Second != "", Trouble: troubleWords(&wish), Feed: wish.Feed != "", Faults: map[string]string{},
	}
	for hour := range 24 {
		out.Hours = append(out.Hours, option{strconv.Itoa(hour), fmt.Sprintf("%d:00", hour), hour == wish.Hour})
	}
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

func lettersAnswer(w *journal.Wish, sends bool) string {
	switch {
	case w.Address != "" && sends:
		return fmt.Sprintf("At %d:00 a letter comes, if something is new.", w.Hour)
	case w.Asks != "" && sends:
		return "One step is missing until letters come."
	case w.Feed != "":
		return fmt.Sprintf("At %d:00 the feed tells what is new.", w.Hour)
	}
	return "No letters come in the evening."
}

// troubleWords say which letters did not go, why, and what happens next.
func troubleWords(w *journal.Wish) (lines []string) {
	again := func(d *journal.Delivery) string {
		return "It is tried again by itself, " + words.Plural(d.Tries, "time") + " so far."
	}
	if f := w.Asking.Fault; f != "" {
		lines = append(lines, "The letter with the code did not go: "+f+". "+again(&w.Asking)+" Is the address right?")
	}
	ended := w.Address == "" && w.Dropped != 0
	if f := w.Letter.Fault; f != "" && !ended {
		lines = append(lines, "The last letter did not go: "+f+". "+again(&w.Letter)+" The lists and logbooks show what it would tell.")
	}
	if w.Dropped != 0 {
		lines = append(lines, "What was new on "+words.Day(w.Dropped)+" could not be sent for a week, and is sent no more. The lists and logbooks show what still stands.")
	}
	if ended {
		lines = append(lines, "Letters have ended, because "+w.Letter.Fault+" for a week. Look at the address, and give it again.")
	}
	return lines
}

// setLetters keeps when somebody hears, and how much.
func (s *Server) setLetters(w http.ResponseWriter, r *http.Request) error {
	if err := s.signedForm(r); err != nil {
		return err
	}
	zone, detail := r.PostForm.Get("zone"), r.PostForm.Get("detail") == "yes"
	hour, err := strconv.Atoi(r.PostForm.Get("hour"))
	if err == nil {
		err = s.Journal.SetWish(r.Context(), signedOf(r).ID, hour, zone, detail)
	}
	if err != nil {
		return s.refuseLetters(w, r, "wish", "The hour is one of the day, the time zone one as Europe/Oslo.", func(p *lettersPage) {
			p.Zone, p.Detail = zone, detail
			for i := range p.Hours {
				p.Hours[i].Chosen = p.Hours[i].Value == r.PostForm.Get("hour")
			}
		})
	}
	http.Redirect(w, r, "/letters?saved=wish", http.StatusSeeOther)
	return nil
}

// refuseLetters shows the page again with what is wrong of one of its forms, and what was
// typed in it.
func (s *Server) refuseLetters(w http.ResponseWriter, r *http.Request, form, fault string, typed func(*lettersPage)) error {
	out, err := s.lettersPage(r)
	if err != nil {
		return err
	}
	out.Faults[form] = fault
	typed(&out)
	return s.render(w, faultStatus(fault), "letters", out)
}

// putAddress sends a code to an address, takes the code, or ends letters.
func (s *Server) putAddress(w http.ResponseWriter, r *http.Request) error {
	if err := s.signedForm(r); err != nil {
		return err
	}
	switch do := r.PostForm.Get("do"); {
	case do == "end":
		return s.endLetters(w, r)
	case s.Letters == nil:
		return errNoPage
	case do == "confirm":
		return s.confirmAddress(w, r)
	}
	return s.askAddress(w, r)
}

func (s *Server) endLetters(w http.ResponseWriter, r *http.Request) error {
	if err := s.Journal.StopLetters(r.Context(), signedOf(r).ID); err != nil && !errors.Is(err, journal.ErrNotFound) {
		return err
	}
	http.Redirect(w, r, "/letters?saved=ended", http.StatusSeeOther)
	return nil
}

func (s *Server) confirmAddress(w http.ResponseWriter, r *http.Request) error {
	shown := r.PostForm.Get("shown")
	err := s.Journal.ConfirmAddress(r.Context(), signedOf(r).ID, shown)
	if errors.Is(err, journal.ErrNotFound) {
		fault := "That is not the code, or it is older than a week. The newest letter has the one that is good."
		return s.refuseLetters(w, r, "code", fault, func(p *lettersPage) { p.Shown = shown })
	}
	if err != nil {
		return err
	}
	http.Redirect(w, r, "/letters?saved=confirmed", http.StatusSeeOther)
	return nil
}

func (s *Server) askAddress(w http.ResponseWriter, r *http.Request) error {
	address := r.PostForm.Get("address")
	zone, err := s.zoneOf(r)
	if err != nil {
		return err
	}
	fault, err := s.proves(w, r)
	if err == nil && fault == "" {
		fault, err = addressFault(s.Journal.AskAddress(r.Context(), signedOf(r).ID, address, zone))
	}
	switch {
	case err != nil:
		return err
	case fault != "":
		return s.refuseLetters(w, r, "address", fault, func(p *lettersPage) { p.Address = address })
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
		return "A letter with a code went out a short time ago. Look for it, or try again later: in ten minutes, or after several codes that were not used, in some hours.", nil
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
	fault, err := s.proves(w, r)
	if err != nil {
		return err
	}
	if fault != "" {
		return s.refuseLetters(w, r, "feed", fault, func(*lettersPage) {})
	}
	secret, err := s.Journal.OpenNews(r.Context(), signedOf(r).ID, zone)
	if err != nil {
		return err
	}
	s.Log.Info("feed opened", "person", signedOf(r).ID)
	out, err := s.lettersPage(r)
	if err != nil {
		return err
	}
	out.Made = s.baseOf(r).JoinPath("news", secret+".xml").String()
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
