package web

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"time"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/web/words"
)

// runsPage lists what is in the logbook, newest first.
type runsPage struct {
	page
	Runs           []runLine
	Total          int
	Newer, Older   string // addresses, empty: there is none
	First, Through load.Day
}

// runLine is one recording of the list.
type runLine struct {
	Day     load.Day
	Kind    string
	Run     bool
	Figures figures
	Marks   []string // what is special about it, in words
	Address string
}

// figures are the sums of a session in words; empty where there is none.
type figures struct{ Distance, Time, Pace, Heart, Ascent, Steps, Exertion string }

// perPage is how many recordings a list shows.
const perPage = 100

func (s *Server) runs(w http.ResponseWriter, r *http.Request, v *visit) error {
	all, err := v.book.Sessions(r.Context())
	if err != nil {
		return err
	}
	until := load.Day(1 << 30)
	if text := r.URL.Query().Get("until"); text != "" {
		if until, err = load.ParseDay(text); err != nil {
			return &problem{http.StatusUnprocessableEntity, fmt.Sprintf("%q is no date as 2026-05-03.", text), nil}
		}
	}
	slices.Reverse(all)
	out := runsPage{page: v.page("Runs", "runs"), Total: len(all)}
	shown := out.choose(all, until)
	if len(shown) > 0 {
		if err := out.list(r.Context(), v, all, shown); err != nil {
			return err
		}
	}
	return s.render(w, http.StatusOK, "runs", out)
}

// choose returns the recordings of the page that begins with the day, of all, the
// latest first, and notes the ways to the others. A day is not parted.
func (p *runsPage) choose(all []load.Session, until load.Day) []load.Session {
	base := p.Runner.Base() + "/runs"
	from := slices.IndexFunc(all, func(s load.Session) bool { return s.Day <= until })
	if from < 0 {
		from = len(all)
	}
	to := min(len(all), from+perPage)
	for to > from && to < len(all) && all[to].Day == all[to-1].Day {
		to++
	}
	if from > 0 {
		p.Newer = base
		if at := from - perPage; at > 0 {
			p.Newer += "?until=" + all[at].Day.String()
		}
	}
	if to < len(all) {
		p.Older = base + "?until=" + all[to].Day.String()
	}
	return all[from:to]
}

// list writes a line for each recording that is shown. All of them are needed to
// know which stands for which.
func (p *runsPage) list(ctx context.Context, v *visit, all, shown []load.Session) error {
	p.First, p.Through = shown[len(shown)-1].Day, shown[0].Day
	picture, err := v.book.Picture(ctx, v.today, assess.Query{Measure: load.Distance, From: p.First, To: p.Through})
	if err != nil {
		return err
	}
	rows := make(map[string]*load.SessionRow, len(picture.Sessions))
	for i := range picture.Sessions {
		rows[picture.Sessions[i].ID] = &picture.Sessions[i]
	}
	doubles, strays := load.Doubles(all), load.Strays(all)
	for i := range shown {
		s := &shown[i]
		p.Runs = append(p.Runs, runLine{
			Day: s.Day, Kind: kinds[s.Sport], Run: s.Sport == load.Running, Figures: figuresOf(s),
			Marks: marks(s, rows[s.ID], doubles[s.ID] != "", strays[s.ID] > 0), Address: p.Runner.Base() + "/runs/" + s.ID,
		})
	}
	return nil
}

// kinds are the sports as runners call an outing.
var kinds = map[load.Sport]string{
	load.UnknownSport: "not known", load.Running: "run", load.Walking: "walk", load.Cycling: "ride",
	load.Swimming: "swim", load.OtherSport: "other",
}

// marks says what is special about a recording.
func marks(s *load.Session, row *load.SessionRow, double, stray bool) (out []string) {
	if row != nil && row.Class > load.NoSpike {
		spike, _ := row.Spike.Get()
		tidemark, _ := row.Tidemark.Get()
		with := ""
		if own, _ := s.Measures.Get(load.Distance); own != row.Load {
			with = "with what followed, " + words.Amount(load.Distance, row.Load) + ": "
		}
		out = append(out, with+fmt.Sprintf("%s the longest of 30 days (%s)", words.Over(spike), words.Value(load.Distance, tidemark)))
	}
	if s.Race {
		out = append(out, "race")
	}
	if stray {
		out = append(out, "years from all others: was the watch's clock right?")
	}
	switch {
	case s.Excluded:
		out = append(out, "left out of the load")
	case double:
		out = append(out, "not counted: another recording of the same run counts")
	}
	if s.Surface == load.Treadmill {
		out = append(out, "treadmill")
	}
	if s.Typed {
		out = append(out, "typed")
	}
	return out
}

func figuresOf(s *load.Session) (f figures) {
	if s.DistanceSource != "" {
		f.Distance = fmt.Sprintf("%.1f km", float64(s.Distance)/1000)
	}
	if amount, ok := s.Measures.Get(load.Time); ok {
		moving := time.Duration(amount) * time.Millisecond
		f.Time = clock(moving)
		if s.DistanceSource != "" && s.Distance >= 100 && s.Sport != load.Cycling {
			f.Pace = pace(float64(s.Distance) / moving.Seconds())
		}
	}
	if s.HeartMean > 0 {
		f.Heart = fmt.Sprintf("%d bpm", s.HeartMean)
	}
	if s.HasAscent {
		f.Ascent = fmt.Sprintf("%.0f m", float64(s.Ascent))
	}
	if s.StepsSource != "" {
		f.Steps = fmt.Sprint(s.Steps)
	}
	if amount, ok := s.Measures.Get(load.Exertion); ok {
		f.Exertion = words.Amount(load.Exertion, amount)
	}
	return f
}

// clock writes a duration: 48:05, or 1:02:09 from an hour on.
func clock(d time.Duration) string {
	seconds := int(d.Round(time.Second) / time.Second)
	if seconds >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", seconds/3600, seconds/60%60, seconds%60)
	}
	return fmt.Sprintf("%d:%02d", seconds/60, seconds%60)
}

// pace writes a speed in m/s as the minutes of a kilometre: 5:42 /km. Slower
// than 30 min it says nothing.
func pace(speed float64) string {
	if speed < 1000.0/1800 {
		return ""
	}
	return clock(time.Duration(1000/speed*float64(time.Second))) + " /km"
}
