package web

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"net/http"
	"regexp"
	"strings"

	"tidemark/load"
	"tidemark/load/rehab"
	"tidemark/web/chart"
	"tidemark/web/words"
)

//go:embed templates/*.tmpl
var templateFiles embed.FS

// pages are the templates that are pages, each with the struct that it is made
// from. Parsing and the test that checks their types read this table.
var pages = map[string]any{
	"account":      accountPage{},
	"add":          addPage{},
	"brake":        brakePage{},
	"care":         carePage{},
	"caseload":     caseloadPage{},
	"docs":         docsPage{},
	"error":        errorPage{},
	"gaps":         gapsPage{},
	"happened":     happenedPage{},
	"hurt":         hurtPage{},
	"hurts":        hurtsPage{},
	"invited":      invitedPage{},
	"letters":      lettersPage{},
	"letters_stop": stopPage{},
	"load":         loadPage{},
	"mornings":     morningsPage{},
	"orders":       ordersPage{},
	"races":        racesPage{},
	"ramp":         rampPage{},
	"rehab":        rehabPage{},
	"rests_on":     restsOnPage{},
	"routine":      routinePage{},
	"run":          runPage{},
	"runners":      runnersPage{},
	"runs":         runsPage{},
	"settings":     settingsPage{},
	"setup":        setupPage{},
	"sign_in":      signInPage{},
	"squad":        squadPage{},
	"take_home":    takeHomePage{},
	"tests":        testsPage{},
	"today":        todayPage{},
	"visit":        visitPage{},
}

// page is what all pages share.
type page struct {
	Title  string
	Nonce  string
	Runner runnerLink // zero: of no runner
	At     string     // which entry of the navigation it is
	Who    string     // is signed in; empty: nobody, or there are no accounts
	May    may        // with the runner's logbook
}

// page is the part of a page that is of no runner.
func (s *Server) page(r *http.Request, title string) page {
	p := page{Title: title, Nonce: nonceOf(r)}
	if who := signedOf(r); who != nil {
		p.Who = who.Name
	}
	return p
}

// runnerLink is the runner that a page is about.
type runnerLink struct {
	ID, Name string
	Several  bool // there are others to go to
}

// Base is the start of the runner's addresses.
func (r runnerLink) Base() string { return "/r/" + r.ID }

type templates map[string]*template.Template

// parseTemplates reads the templates of all pages. Those whose names begin with
// an underscore are parts of several.
func parseTemplates(a assets, emergency string) templates {
	base := template.New("").Funcs(template.FuncMap{
		"asset":        a.path,
		"percent":      chart.Percent,
		"day":          words.Day,
		"shortday":     words.ShortDay,
		"weekday":      words.Weekday,
		"together":     together,
		"level":        words.Level,
		"unit":         words.Unit,
		"shortweekday": func(d load.Day) string { return d.Noon().Format("Mon 2 Jan 2006") },
		"weekdayshort": shortWeekday,
		"fromtop":      chart.PercentDown,
		"roof":         func() string { return words.Roof },
		"redflags":     func() []rehab.RedFlag { return rehab.RedFlags },
		"act":          func(do string) string { return callWords(do, emergency) },
		"clinician":    func() string { return words.FollowClinician },
		"held":         func() string { return words.Held },
		"ratiocaveat":  func() string { return words.RatioCaveat },
	})
	base = template.Must(base.ParseFS(templateFiles, "templates/_*.tmpl"))
	out := make(templates, len(pages))
	for name := range pages {
		out[name] = template.Must(template.Must(base.Clone()).ParseFS(templateFiles, "templates/"+name+".tmpl"))
	}
	return out
}

// callWords says whom to call with the number that the host has set, if any.
func callWords(do, emergency string) string {
	if emergency == "" {
		return do
	}
	return strings.ReplaceAll(do, "the emergency number", emergency+", the emergency number")
}

var numberUnit = regexp.MustCompile(`(\d) (km|min|%|days|m/s|h|m|bpm|kB|MB)\b`)

// together keeps numbers and their units on one line.
func together(text string) string {
	text = strings.ReplaceAll(text, " %", "\u00a0%")
	return numberUnit.ReplaceAllString(text, "$1\u00a0$2")
}

// render makes the whole page before the first byte of it is sent.
func (s *Server) render(w http.ResponseWriter, status int, name string, data any) error {
	var b bytes.Buffer
	if err := s.templates[name].ExecuteTemplate(&b, "layout", data); err != nil {
		return fmt.Errorf("render page %s: %w", name, err)
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, err := b.WriteTo(w)
	return err
}

// handle makes a handler of a function that may return an error.
func (s *Server) handle(f func(http.ResponseWriter, *http.Request) error) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		if err := f(w, r); err != nil {
			s.fail(w, r, err)
		}
	}
}

// number is a value as people read it, with all its digits beside.
type number struct {
	Field string // its name in the JSON of the load command
	Exact string
	Text  string
}

func (n number) Known() bool { return n.Exact != "" }

// numberOf writes a value with the text that format gives it, or why there is
// none.
func numberOf(field string, v load.Value, format func(float64) string) number {
	n, ok := v.Get()
	if !ok {
		return number{Field: field, Text: words.NotYet(v.Reason())}
	}
	return number{field, exact(n), format(n)}
}

// size writes a number of bytes for people.
func size(bytes int64) string {
	switch {
	case bytes >= 1<<20:
		return strings.TrimSuffix(fmt.Sprintf("%.1f", float64(bytes)/(1<<20)), ".0") + " MB"
	case bytes >= 1<<10:
		return fmt.Sprintf("%.0f kB", float64(bytes)/(1<<10))
	}
	return fmt.Sprintf("%d bytes", bytes)
}
