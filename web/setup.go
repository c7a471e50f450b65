package web

import (
	"context"
	"errors"
	"net/http"
	"slices"
	"strconv"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// setupPage sets something that hurts up at once: what it is, the signs, the programme, the
// way back, what is allowed in advance and the next visit.
type setupPage struct {
	page
	Followed []nameLine // what is followed already, by its ID
	Again    []nameLine // what was ended so short a time ago that it would go on
	Stand    []flagLine // signs that stand
	WayBack  bool       // a way back stands, for all that is followed
	Gate     gateForm
	Form     setupForm
}

// setupForm is all of it as it was typed.
type setupForm struct {
	Action, Fault, Field         string // Field: the name of what is wrong
	Seen                         int
	Sites, Sides                 []option
	Onset, Pain, Stiffness, Note string
	Bone, Asked                  bool
	Signs                        []signChoice
	Places                       []programmePlace
	NoProgramme                  bool
	Started                      string
	Now                          bool // the way back begins, and is not for later
	Start, First, Reason         string
	Free                         []option
	Confirm                      bool
	Phase, Stage, Until, Next    string
}

// signChoice is a sign that is asked about.
type signChoice struct {
	rehab.RedFlag
	Chosen bool
}

// programmePlace is what can be set for one site, the usual first.
type programmePlace struct {
	Site   rehab.Site
	Name   string
	First  []programmeOption // one, or nothing
	Others []programmeOption
	Open   bool // one of the others is chosen
}

// setupDays is for how many days something is allowed in advance unless another day is typed:
// six weeks, project default.
const setupDays = 42

func (s *Server) setUp(w http.ResponseWriter, r *http.Request, v *visit) error {
	out, care, err := v.setupPage(r.Context())
	if err != nil {
		return err
	}
	site := rehab.Site(r.URL.Query().Get("site"))
	if _, err := rehab.FindSite(site); err != nil {
		site = rehab.Sites[0].Site
	}
	out.Form.Confirm, out.Form.Onset, out.Form.Started, out.Form.Start = true, v.today.String(), v.today.String(), v.today.String()
	out.Form.First = "1" // the most careful; by the longest run it may be the last
	out.Form.Until = (v.today + setupDays).String()
	out.Form.choose(care, site, r.URL.Query().Get("side"), usualProgramme(care, site), nil, [7]bool{true, true, true, true, true, true, true})
	out.Gate = v.gateForm(care.Gates, site)
	return s.render(w, http.StatusOK, "setup", out)
}

// programmesOf lists what can be set for a site, the usual first: of the published ones the one
// that allows the least pain in a set, of several the first that is listed. Project default:
// what is set without a word should be the most careful.
func programmesOf(care *assess.Care, site rehab.Site) []rehab.Programme {
	all := (rehab.Library{Own: care.Plan.Own}).For(site)
	least := 0
	for i := range rehab.ProgrammesFor(site) { // which stand before one's own
		if all[i].MostPain < all[least].MostPain {
			least = i
		}
	}
	if len(all) == 0 {
		return nil
	}
	return slices.Concat(all[least:least+1], all[:least], all[least+1:])
}

// usualProgramme is what is chosen for a site to begin with.
func usualProgramme(care *assess.Care, site rehab.Site) string {
	all := programmesOf(care, site)
	if len(all) == 0 {
		return ""
	}
	return placed(site, all[0].ID)
}

// placed is the value of a programme in the form: one may be listed at several sites.
func placed(site rehab.Site, programme string) string { return string(site) + "/" + programme }

// setupPage is the page without what is chosen in its form.
func (v *visit) setupPage(ctx context.Context) (out setupPage, care *assess.Care, err error) {
	if care, err = v.book.Care(ctx, v.today); err != nil {
		return out, nil, err
	}
	out = setupPage{page: v.page("Set up", "hurts"), WayBack: care.Ramp != nil, Form: setupForm{Action: v.link.Base() + "/set-up"}}
	for _, r := range care.Open(v.today) {
		out.Followed = append(out.Followed, nameLine{r.Complaint.ID, complaintName(&r.Complaint)})
	}
	for i := range care.Records {
		if c := &care.Records[i].Complaint; !c.Followed(v.today) && v.today-c.Steps[len(c.Steps)-1].Day <= journal.RelapseDays {
			out.Again = append(out.Again, nameLine{c.ID, complaintName(c)})
		}
	}
	for i := range care.Flags {
		if f := &care.Flags[i]; f.Stands(v.today) {
			out.Stand = append(out.Stand, flagLine{f.Flag, f.From})
		}
	}
	out.Form.Seen, err = v.book.Changes(ctx)
	return out, care, err
}

// choose lists what there is to choose with what is chosen.
func (f *setupForm) choose(care *assess.Care, site rehab.Site, side, programme string, signs []string, free [7]bool) {
	for _, info := range rehab.Sites {
		f.Sites = append(f.Sites, option{string(info.Site), info.Name, info.Site == site})
		f.Places = append(f.Places, placeOf(care, info, programme))
	}
	f.NoProgramme = programme == ""
	for _, o := range sideNames {
		f.Sides = append(f.Sides, option{o.Value, o.Text, o.Value == side})
	}
	for _, flag := range rehab.RedFlags {
		f.Signs = append(f.Signs, signChoice{flag, slices.Contains(signs, flag.ID)})
	}
	for _, d := range weekdayNames {
		f.Free = append(f.Free, option{strconv.Itoa(d.number), d.name, free[d.number]})
	}
}

func placeOf(care *assess.Care, info rehab.SiteInfo, chosen string) (place programmePlace) {
	place = programmePlace{Site: info.Site, Name: info.Name}
	for i, p := range programmesOf(care, info.Site) {
		value := placed(info.Site, p.ID)
		o := programmeOption{option{value, p.Name, value == chosen}, title(p.PainRule), title(p.Result), p.Source, p.Status}
		if i == 0 {
			place.First = append(place.First, o)
			continue
		}
		place.Others = append(place.Others, o)
		place.Open = place.Open || o.Chosen
	}
	return place
}

// keepSetUp keeps everything that was typed, or nothing and says what is wrong.
func (s *Server) keepSetUp(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	out, care, err := v.setupPage(r.Context())
	if err != nil {
		return err
	}
	in := setupReader{form: r.PostForm, care: care, today: v.today}
	all, fault := in.read()
	if fault.Text == "" {
		ids, err := v.book.SetUp(r.Context(), seenOf(r), all)
		to := v.link.Base() + "/happened?said=set-up" // a sign says what to do
		if len(ids) > 0 && len(all.Signs) == 0 {
			to = v.link.Base() + "/hurts/" + ids[0] + "?said=set-up"
		}
		switch {
		case err == nil:
			http.Redirect(w, r, to, http.StatusSeeOther)
			return nil
		case errors.Is(err, journal.ErrConflict):
			fault = fieldFault{"site", "Somebody changed what is set meanwhile, so nothing is kept yet. Look at what is followed, and press again if this still holds."}
		case errors.Is(err, journal.ErrNotInCharge):
			fault = fieldFault{"site", "A clinician is let in, who sets this once something is followed. Say what hurts on the page “Something hurts”; they see it at once."}
		case errors.Is(err, journal.ErrStopped):
			fault = fieldFault{"programme", "A sign stops running and loading. Until it is lifted the programme and the way back are for later."}
		default:
			return err
		}
	}
	out.Form.Fault, out.Form.Field = fault.Text, fault.Field
	in.keep(&out.Form)
	out.Gate = v.gateForm(care.Gates, all.Complaint.Site)
	return s.render(w, http.StatusUnprocessableEntity, "setup", out)
}

// stopsNow is the sign that stops running once what was ticked is kept; nil: none does.
func stopsNow(care *assess.Care, signs []string, today load.Day) *rehab.RedFlag {
	if f := care.Stopping(today); f != nil {
		return &f.Flag
	}
	for i := range rehab.RedFlags {
		if f := &rehab.RedFlags[i]; f.Act.Stops() && slices.Contains(signs, f.ID) {
			return f
		}
	}
	return nil
}

// gateOpen reports whether every bar before running was passed when it was last tried.
func gateOpen(gates []ramp.Found, site rehab.Site) bool {
	n := len(gates)
	return n > 0 && gates[n-1].Open(site)
}

// stoppedBy says what a sign asks for, as a fault.
func stoppedBy(f *rehab.RedFlag) string {
	return words.Sentenced(f.Sign + ": " + f.Do + "; until it is lifted no way back can be set. Choose “later”: nothing is kept yet, the sign neither")
}
