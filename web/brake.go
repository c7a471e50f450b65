package web

import (
	"net/http"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/web/words"
)

// brakePage is the way back for somebody who may brake it and sees no medical detail: what
// is planned, and nothing of why.
type brakePage struct {
	page
	Answer string
	Days   []brakeLine
	Hold   holdForm
	Seen   int
}

// brakeLine is a day ahead.
type brakeLine struct {
	Day  load.Day
	What string
	Run  bool
}

// brake shows the way back without what it follows from.
func (s *Server) brake(w http.ResponseWriter, r *http.Request, v *visit, status int, hold holdForm) error {
	way, err := v.book.Ramp(r.Context(), v.today)
	if err != nil {
		return err
	}
	out := brakePage{page: v.page("The way back to running", "ramp"), Answer: "No way back to running is planned.", Hold: hold}
	out.Hold.Action = v.link.Base() + "/ramp/state"
	if way == nil || way.Refused != nil {
		return s.render(w, status, "brake", out)
	}
	if _, out.Seen, err = v.book.RampTerms(r.Context()); err != nil {
		return err
	}
	out.Answer = "The next two weeks of the way back to running."
	if _, stopped := way.Stopped(v.today); stopped {
		out.Answer = "The way back to running is held."
	}
	for day := v.today; day < v.today+rampShown; day++ {
		if d, ok := way.On(day); ok {
			line := brakeLine{day, "rest", d.Kind == ramp.Run}
			if line.Run {
				line.What = words.Planned(d)
			}
			out.Days = append(out.Days, line)
		}
	}
	return s.render(w, status, "brake", out)
}
