package web

import (
	"bytes"
	"errors"
	"net/http"
	"strings"

	"tidemark/load/journal"
	"tidemark/web/export"
	"tidemark/web/letter"
	"tidemark/web/words"
)

// news is the feed of evenings under its secret address. It says as much as a letter does,
// and no more than its owner may see now.
func (s *Server) news(w http.ResponseWriter, r *http.Request) error {
	w.Header().Set("Referrer-Policy", "no-referrer")
	f, err := s.Journal.NewsBy(r.Context(), strings.TrimSuffix(r.PathValue("secret"), ".xml"))
	if errors.Is(err, journal.ErrNotFound) {
		return &problem{http.StatusNotFound, "This feed has ended. Its owner makes a new address on the page “Evening letter”.", err}
	}
	if err != nil {
		return err
	}
	var out bytes.Buffer
	if err := export.Atom(&out, s.newsFeed(r, &f)); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/atom+xml; charset=utf-8")
	_, err = out.WriteTo(w)
	return err
}

func (s *Server) newsFeed(r *http.Request, f *journal.NewsFeed) export.Feed {
	base := s.baseOf(r)
	tag := "tag:" + base.Hostname() + ",2026:" // RFC 4151
	feed := export.Feed{
		ID: tag + "news/" + f.Hash, Title: "New in the evening, for " + f.Name, Author: "tidemark", Self: base.JoinPath(r.URL.Path).String(),
	}
	for i := range f.Evenings {
		e := &f.Evenings[i]
		lines := letter.Lines(f.Evenings[i:i+1], f.Runners, f.Detail)
		entry := export.Entry{ID: tag + "evening/" + e.ID, Title: "Something to look at: " + words.Weekday(e.Day), Updated: e.At, Link: base.String()}
		for _, line := range lines {
			entry.Text = append(entry.Text, strings.Join(append([]string{line.Name}, line.News...), ": "))
			if len(lines) == 1 {
				entry.Link = base.JoinPath("r", string(line.Runner)).String()
			}
		}
		if f.Detail {
			entry.Text = append(entry.Text, words.FollowClinician)
		}
		feed.Updated = max(feed.Updated, e.At)
		feed.Entries = append([]export.Entry{entry}, feed.Entries...)
	}
	if len(f.Evenings) == 0 {
		feed.Updated = s.instant() // it has just told that nothing is new
	}
	return feed
}
