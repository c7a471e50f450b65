package web

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// fieldFault is what is wrong with a field of a form.
type fieldFault struct{ Field, Text string }

// setupReader reads the form that sets something up.
type setupReader struct {
	form  url.Values
	care  *assess.Care
	today load.Day
}

func (in *setupReader) get(key string) string { return strings.TrimSpace(in.form.Get(key)) }

// read returns everything that is to be set, or the first thing that is wrong.
func (in *setupReader) read() (all journal.SetUp, fault fieldFault) {
	all.Complaint.Site = rehab.Site(in.get("site"))
	for _, part := range []func(*journal.SetUp) fieldFault{in.hurts, in.usual, in.signs, in.programme, in.wayBack, in.order, in.next} {
		if fault = part(&all); fault.Text != "" {
			return all, fault
		}
	}
	return all, fault
}

// longAgo is how many days ago something may have begun; project default: 30 years.
const longAgo = 30 * 366

// hurts reads what hurts, where and since when.
func (in *setupReader) hurts(all *journal.SetUp) fieldFault {
	info, err := rehab.FindSite(all.Complaint.Site)
	if err != nil {
		return fieldFault{"site", "Say where it hurts: choose from the list."}
	}
	all.Sides = map[string][]rehab.Side{"left": {rehab.Left}, "right": {rehab.Right}, "both": {rehab.Left, rehab.Right}}[in.get("side")]
	if all.Sides == nil {
		return fieldFault{"side", "Say on which side it is."}
	}
	all.Complaint.Bone = in.get("bone") == "yes"
	for _, r := range in.care.Open(in.today) {
		c := &r.Complaint
		if c.Site == info.Site && c.Bone == all.Complaint.Bone && slices.Contains(all.Sides, c.Side) {
			return fieldFault{"side", complaintName(c) + " is followed already: its page is linked above."}
		}
	}
	all.Complaint.Onset, err = load.ParseDay(in.get("onset"))
	switch {
	case err != nil:
		return fieldFault{"onset", "Say when it began, about."}
	case all.Complaint.Onset > in.today:
		return fieldFault{"onset", "It began today or before: that day has not come yet."}
	case all.Complaint.Onset < in.today-longAgo:
		return fieldFault{"onset", "It began within the last 30 years, as far as this can tell."}
	}
	all.Complaint.Steps = []rehab.Step{{Day: in.today, Status: rehab.Open}}
	if all.Why = in.get("note"); len(all.Why) > maxWhy {
		return fieldFault{"note", "The note is longer than " + size(maxWhy) + "."}
	}
	return fieldFault{}
}

// usual reads what is usual in the morning.
func (in *setupReader) usual(all *journal.SetUp) fieldFault {
	base := rehab.Base{From: in.today}
	for _, f := range []struct {
		field string
		to    **float64
	}{{"pain", &base.Pain}, {"stiffness", &base.Stiffness}} {
		v, ok := optionalNumber(in.get(f.field))
		*f.to = v
		if !ok {
			return fieldFault{f.field, "What is usual in the morning is a number, or nothing: 1, or 2.5."}
		}
		if err := base.Check(); err != nil {
			return fieldFault{f.field, words.Sentenced(err.Error())}
		}
	}
	if base.Pain != nil || base.Stiffness != nil {
		all.Complaint.Bases = []rehab.Base{base}
	}
	return fieldFault{}
}

// signs reads which are there. That all were asked must be said: a sign that nobody asked
// about is not one that is not so.
func (in *setupReader) signs(all *journal.SetUp) fieldFault {
	all.Signs = in.form["sign"]
	for _, id := range all.Signs {
		if _, err := rehab.FindRedFlag(id); err != nil {
			return fieldFault{"asked", "There is no such sign: choose from the list."}
		}
	}
	if in.get("asked") != "yes" {
		return fieldFault{"asked", "Ask about each of the signs, and say that you did."}
	}
	return fieldFault{}
}

// programme reads what is done for it. Without scripts every site's programmes are listed, so
// one of another may be chosen.
func (in *setupReader) programme(all *journal.SetUp) fieldFault {
	chosen := in.get("programme")
	if chosen == "" {
		return fieldFault{}
	}
	if f := stopsNow(in.care, all.Signs, in.today); f != nil {
		return fieldFault{"programme", words.Sentenced(f.Sign + ": " + f.Do + "; until it is lifted nothing is loaded. Choose “none for now” and “later”: nothing is kept yet, the sign neither")}
	}
	site, id, _ := strings.Cut(chosen, "/")
	library := (rehab.Library{Own: in.care.Plan.Own}).For(all.Complaint.Site)
	there := slices.ContainsFunc(library, func(p rehab.Programme) bool { return p.ID == id })
	switch {
	case all.Complaint.Bone:
		return fieldFault{"programme", "A bone hurts: there is no programme for it here. Choose none for now."}
	case len(library) == 0:
		return fieldFault{"programme", "Nothing is listed here for this place. Choose none for now; a routine can be built on the page Rehab."}
	case site != string(all.Complaint.Site) || !there:
		return fieldFault{"programme", "The programme that is chosen is of another place. Choose one of this place, or none for now."}
	}
	var err error
	all.Programme = id
	if all.Started, err = load.ParseDay(in.get("started")); err != nil {
		return fieldFault{"started", "Say on which day the programme begins."}
	}
	if all.Started > in.today+365 || all.Started < in.today-3650 {
		return fieldFault{"started", "The programme begins within a year, or began within the last ten."}
	}
	return fieldFault{}
}

// wayBack reads the way back to running, where it is not for later.
func (in *setupReader) wayBack(all *journal.SetUp) fieldFault {
	if in.get("way") != "now" {
		return fieldFault{}
	}
	_, bone := in.care.RampSite(in.today)
	switch {
	case in.care.Ramp != nil:
		return fieldFault{"way", "A way back stands already, for everything that is followed. Set it anew on its own page."}
	case all.Complaint.Bone || bone != nil && len(in.care.Open(in.today)) > 0:
		return fieldFault{"way", "A bone hurts: there is no way back to plan for it here. Choose “later”."}
	}
	if f := stopsNow(in.care, all.Signs, in.today); f != nil {
		return fieldFault{"way", stoppedBy(f)}
	}
	for i := range in.care.Flags {
		if f := &in.care.Flags[i]; f.Stands(in.today) && f.Flag.Act == rehab.ClinicianLed {
			return fieldFault{"way", words.Sentenced(f.Flag.Sign + ": " + f.Flag.Do + "; the way back is set on its own page, or once that was lifted. Choose “later”: nothing is kept yet")}
		}
	}
	for _, id := range all.Signs {
		if f, err := rehab.FindRedFlag(id); err == nil && f.Act == rehab.ClinicianLed {
			return fieldFault{"way", words.Sentenced(f.Sign + ": " + f.Do + "; the way back is set after it, on its own page. Choose “later”: nothing is kept yet, the sign neither")}
		}
	}
	t := ramp.Terms{Weeks: rampWeeks, Free: in.free(), Confirm: in.get("confirm") == "yes", State: ramp.Running}
	var err error
	if t.Start, err = load.ParseDay(in.get("start")); err != nil || t.Start < in.today || t.Start > in.today+365 {
		return fieldFault{"start", "The way back begins today or within a year."}
	}
	switch {
	case t.Free == [7]bool{}:
		return fieldFault{"free", "Say on which days of the week there may be a run."}
	case !wholeNumbers([]string{in.get("first")}, &t.First) || t.First < 0 || t.First > len(t.Ladder()):
		return fieldFault{"first", fmt.Sprintf("The first stage is a whole number from 1 to %d, or nothing.", len(t.Ladder()))}
	}
	if all.RampWhy = in.get("reason"); len(all.RampWhy) > maxWhy {
		return fieldFault{"reason", "The reason is longer than " + size(maxWhy) + "."}
	}
	if all.RampWhy == "" && !gateOpen(in.care.Gates, all.Complaint.Site) {
		return fieldFault{"reason", "Not every bar before running is passed. Say why the way back begins all the same, or choose “later”."}
	}
	if err := t.Check(all.Complaint.Site); err != nil {
		return fieldFault{"first", words.Sentenced(err.Error())}
	}
	all.Ramp = &t
	return fieldFault{}
}

func (in *setupReader) free() (free [7]bool) {
	for _, text := range in.form["free"] {
		if n, err := strconv.Atoi(text); err == nil && n >= 0 && n < len(free) {
			free[n] = true
		}
	}
	return free
}

// order reads what is allowed in advance.
func (in *setupReader) order(all *journal.SetUp) fieldFault {
	o, fault := readOrder(in.get("phase"), in.get("stage"), in.get("until"), in.today)
	if fault.Text != "" {
		return fault
	}
	if p, err := (rehab.Library{Own: in.care.Plan.Own}).Find(all.Programme); err == nil && o.Phase > len(p.Phases) {
		return fieldFault{"phase", fmt.Sprintf("There are %d phases in it.", len(p.Phases))}
	}
	terms := all.Ramp
	if terms == nil {
		terms = &ramp.Terms{}
		if in.care.Ramp != nil {
			terms = &in.care.Ramp.Terms
		}
	}
	if fault := beyondLadder(o.Stage, terms); fault != "" {
		return fieldFault{"stage", fault}
	}
	if all.Ramp != nil && o.Stage > 0 && (all.Ramp.First == 0 || all.Ramp.First > o.Stage) {
		return fieldFault{"first", fmt.Sprintf("Stages up to %d are allowed in advance, so say at which of them it begins: by the longest run it may begin above.", o.Stage)}
	}
	all.Order = o
	return fieldFault{}
}

// next reads the day of the next visit.
func (in *setupReader) next(all *journal.SetUp) (fault fieldFault) {
	all.Next, all.HasNext, fault = readNext(in.get("next"), in.today)
	return fault
}

// readNext reads the day of the next visit, or nothing.
func readNext(text string, today load.Day) (day load.Day, has bool, fault fieldFault) {
	if text == "" {
		return 0, false, fieldFault{}
	}
	day, err := load.ParseDay(text)
	if err != nil || day <= today || day > today+366 {
		return 0, false, fieldFault{"next", "The next visit is on a day after today, within a year."}
	}
	return day, true, fieldFault{}
}

// keep puts everything that was typed back into the form.
func (in *setupReader) keep(f *setupForm) {
	f.Onset, f.Pain, f.Stiffness, f.Note = in.get("onset"), in.get("pain"), in.get("stiffness"), in.get("note")
	f.Bone, f.Asked = in.get("bone") == "yes", in.get("asked") == "yes"
	f.Started, f.Now, f.Start, f.First, f.Reason = in.get("started"), in.get("way") == "now", in.get("start"), in.get("first"), in.get("reason")
	f.Confirm = in.get("confirm") == "yes"
	f.Phase, f.Stage, f.Until, f.Next = in.get("phase"), in.get("stage"), in.get("until"), in.get("next")
	f.choose(in.care, rehab.Site(in.get("site")), in.get("side"), in.get("programme"), in.form["sign"], in.free())
}
