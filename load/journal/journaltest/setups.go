package journaltest

import (
	"errors"
	"strings"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// allAtOnce is everything that can be set up at once, on both sides.
func allAtOnce() journal.SetUp {
	return journal.SetUp{
		Complaint: withOpening(firstUse), Sides: []rehab.Side{rehab.Left, rehab.Right}, Why: "since the hill run", Signs: []string{"both-heels"},
		Programme: "combined", Started: firstUse + 1,
		Ramp: &ramp.Terms{Start: firstUse + 2, Weeks: 12, Free: [7]bool{1: true, 3: true, 5: true}, First: 1, Confirm: true, State: ramp.Running}, RampWhy: "it settles",
		Order: rehab.Order{Phase: 2, Stage: 3, Until: firstUse + 40}, Next: firstUse + 14, HasNext: true,
	}
}

// testSetUp: everything is kept of each side, in one change of the logbook.
func testSetUp(t *testing.T, s journal.Store) {
	j := newJournal(s)
	b := book(t, j, "Ada")
	wantEveryField(t, allAtOnce())
	before := revision(t, b)
	same(t, "IDs", get[[]string](t)(b.SetUp(t.Context(), 0, allAtOnce())), []string{"ach-mid-left", "ach-mid-right"})
	same(t, "revision", revision(t, b), before+1)
	same(t, "changes", get[int](t)(b.Changes(t.Context())), 2+2+2+2+1) // steps, what is usual, programmes, orders; one way back
	care := get[*assess.Care](t)(b.Care(t.Context(), firstUse))
	if len(care.Open(firstUse)) != 2 || len(care.Plan.Prescriptions) != 2 || len(care.Plan.Orders) != 2 || care.Ramp == nil || len(care.Flags) != 1 {
		t.Errorf("what is followed: %+v", care)
	}
	p := get[journal.Plan](t)(b.Plan(t.Context()))
	same(t, "programme of the right", p.Prescriptions[1], journal.Prescription{
		Prescription: rehab.Prescription{Complaint: "ach-mid-right", Programme: "combined", Started: firstUse + 1, State: rehab.Running, From: firstUse + 1}, By: journal.Local, At: noon,
	})
	same(t, "order of the right", p.Orders[1].Order, rehab.Order{Complaint: "ach-mid-right", Phase: 2, Stage: 3, Until: firstUse + 40})
	same(t, "way back", get[[]journal.RampTerms](t)(b.Ramps(t.Context())), []journal.RampTerms{{Terms: *allAtOnce().Ramp, Why: "it settles", By: journal.Local, At: noon}})
	same(t, "visit", get[[]journal.Note](t)(b.Notes(t.Context())), []journal.Note{{Kind: journal.NoteVisit, Day: firstUse, Next: firstUse + 14, HasNext: true, By: journal.Local, At: noon}})

	// Of the least there is that nothing is so.
	least := journal.SetUp{Complaint: withOpening(firstUse), Sides: []rehab.Side{rehab.Left}}
	least.Complaint.Site = rehab.Shin
	get[[]string](t)(b.SetUp(t.Context(), journal.Unseen, least))
	rows := get[[]journal.RedFlag](t)(b.RedFlags(t.Context()))
	same(t, "the last said of signs", rows[len(rows)-1], journal.RedFlag{Flag: rehab.NothingNew, Day: firstUse, By: journal.Local, At: noon})
	wantConflict(t, "by who saw none of them", only(b.SetUp(t.Context(), 0, journal.SetUp{Complaint: withOpening(firstUse), Sides: []rehab.Side{rehab.Left}})))
}

// testSetUpAgain: what is set up again does not go on with the programme, the order and the
// way back of the time before, unless they are chosen; of something else that is followed the
// way back stands.
func testSetUpAgain(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	ids := get[[]string](t)(b.SetUp(t.Context(), journal.Unseen, allAtOnce()))
	least := journal.SetUp{Complaint: withOpening(firstUse), Sides: []rehab.Side{rehab.Left}}
	must(t, b.StepComplaint(t.Context(), ids[0], rehab.Step{Day: firstUse, Status: rehab.Closed}, ""))
	get[[]string](t)(b.SetUp(t.Context(), journal.Unseen, least))
	care := get[*assess.Care](t)(b.Care(t.Context(), firstUse))
	order := care.Plan.OrderOn(ids[0], firstUse)
	if _, stands := care.Plan.CourseOn(care.Open(firstUse)[0], nil, firstUse); stands || order.Allows() {
		t.Error("the programme or the order of the time before stands")
	}
	if care.Ramp == nil {
		t.Error("the way back of the other side was ended")
	}
	for _, id := range ids {
		must(t, b.StepComplaint(t.Context(), id, rehab.Step{Day: firstUse, Status: rehab.Closed}, ""))
	}
	must(t, b.RaiseFlag(t.Context(), "steroid", firstUse, ""))
	led := journal.SetUp{Complaint: least.Complaint, Sides: least.Sides, Ramp: allAtOnce().Ramp, RampWhy: "it settles"}
	if _, err := b.SetUp(t.Context(), journal.Unseen, led); err == nil || errors.Is(err, journal.ErrConflict) {
		t.Errorf("a way back beside a sign for a clinician that stands: %v", err)
	}
	least.Complaint.Site = rehab.Calf
	get[[]string](t)(b.SetUp(t.Context(), journal.Unseen, least))
	if care := get[*assess.Care](t)(b.Care(t.Context(), firstUse)); care.Ramp != nil {
		t.Errorf("the way back of what was ended stands: %+v", care.Ramp.Terms)
	}
}

// testSetUpRefused: what cannot be leaves nothing behind, also not for who reads next.
func testSetUpRefused(t *testing.T, s journal.Store) {
	j := newJournal(s)
	b := book(t, j, "Ada")
	for name, edit := range map[string]func(*journal.SetUp){
		"a day to come":               func(s *journal.SetUp) { s.Complaint.Onset = firstUse + 1 },
		"a programme of another site": func(s *journal.SetUp) { s.Programme = "plantar-heavy" },
		"a programme that is none":    func(s *journal.SetUp) { s.Programme = "x" },
		"a sign that is none":         func(s *journal.SetUp) { s.Signs = []string{"mood"} },
		"no free day":                 func(s *journal.SetUp) { s.Ramp.Free = [7]bool{} },
		"a stage beyond the ladder":   func(s *journal.SetUp) { s.Order.Stage = 99 },
		"a phase beyond the last":     func(s *journal.SetUp) { s.Order.Phase = 5 },
		"until yesterday":             func(s *journal.SetUp) { s.Order.Until = firstUse - 1 },
		"the next visit today":        func(s *journal.SetUp) { s.Next = firstUse },
		"a bone":                      func(s *journal.SetUp) { s.Complaint.Bone = true },
		"a sign for a clinician":      func(s *journal.SetUp) { s.Signs = []string{"steroid"} },
		"a sign that stops":           func(s *journal.SetUp) { s.Signs, s.Programme = []string{"rupture"}, "" },
		"a sign that stops exercises": func(s *journal.SetUp) { s.Signs, s.Ramp = []string{"rupture"}, nil },
	} {
		all := allAtOnce()
		edit(&all)
		ids, err := b.SetUp(t.Context(), journal.Unseen, all)
		if err == nil {
			t.Fatalf("%s: taken", name)
		}
		if stopped := errors.Is(err, journal.ErrStopped); stopped != strings.HasPrefix(name, "a sign that stops") {
			t.Errorf("%s: %v", name, err)
		}
		if care := get[*assess.Care](t)(b.Care(t.Context(), firstUse)); len(care.Records)+len(care.Flags) != 0 || get[int](t)(b.Changes(t.Context())) != 0 {
			t.Errorf("%s: kept %v and %+v", name, ids, care)
		}
	}
	get[[]string](t)(b.SetUp(t.Context(), journal.Unseen, allAtOnce()))
	wantConflict(t, "followed already", only(b.SetUp(t.Context(), journal.Unseen, allAtOnce())))
}

// testSetUpLed: the owner is in charge of what nobody follows, but not of what they would open
// with a clinician let in.
func testSetUpLed(t *testing.T, s journal.Store) {
	j := newJournal(s)
	b := book(t, j, "Ada")
	r := get[journal.Runner](t)(b.Runner(t.Context()))
	owner, clinician := join(t, j, "Owner", "").ID, join(t, j, "In charge", "").ID
	must(t, b.Grant(t.Context(), owner, journal.RoleRunner, false, false))
	must(t, b.Grant(t.Context(), clinician, journal.RoleClinician, false, false))
	own := get[*journal.Book](t)(j.Open(t.Context(), owner, r.ID))
	if err := only(own.SetUp(t.Context(), journal.Unseen, allAtOnce())); !errors.Is(err, journal.ErrNotInCharge) {
		t.Errorf("by who will be led: %v, want not in charge", err)
	}
	same(t, "changes", get[int](t)(own.Changes(t.Context())), 0)
	led := get[*journal.Book](t)(j.Open(t.Context(), clinician, r.ID))
	get[[]string](t)(led.SetUp(t.Context(), journal.Unseen, allAtOnce()))
}

// testHandingOver: who is in charge changes on the day that was said, and what was said of a
// day to come does not stand once something else is.
func testHandingOver(t *testing.T, s journal.Store) {
	j, w := watched(s)
	b := book(t, j, "Ada")
	r := get[journal.Runner](t)(b.Runner(t.Context()))
	owner, clinician := join(t, j, "Owner", "").ID, join(t, j, "In charge", "").ID
	must(t, b.Grant(t.Context(), owner, journal.RoleRunner, false, false))
	must(t, b.Grant(t.Context(), clinician, journal.RoleClinician, false, false))
	own, led := get[*journal.Book](t)(j.Open(t.Context(), owner, r.ID)), get[*journal.Book](t)(j.Open(t.Context(), clinician, r.ID))
	id := get[[]string](t)(b.OpenComplaint(t.Context(), withOpening(firstUse-10), []rehab.Side{rehab.Left}, ""))[0]
	inCharge := func() bool { return get[journal.Rights](t)(own.Rights(t.Context())).Has(journal.RightTreat) }
	step := func(day load.Day, status rehab.Status) error {
		return led.StepComplaint(t.Context(), id, rehab.Step{Day: day, Status: status}, "")
	}
	spans := func(day load.Day) []load.DaySpan {
		all := get[[]rehab.Complaint](t)(b.Complaints(t.Context()))
		return all[0].Spans(day)
	}
	if step(firstUse+367, rehab.HandedOver) == nil {
		t.Error("handed over in more than a year")
	}
	must(t, step(firstUse+2, rehab.HandedOver))
	same(t, "in charge before the day", inCharge(), false)
	must(t, step(firstUse+4, rehab.HandedOver)) // later
	must(t, step(firstUse+3, rehab.HandedOver)) // and earlier again
	wantConflict(t, "the same day again", step(firstUse+3, rehab.HandedOver))
	for day, want := range map[load.Day]bool{2: false, 3: true} {
		w.now = noon.Add(time.Duration(day) * 24 * time.Hour)
		same(t, "in charge "+(firstUse+day).String(), inCharge(), want)
	}
	w.now = noon.Add(3 * 24 * time.Hour)
	must(t, own.GiveOrder(t.Context(), rehab.Order{Complaint: id, Phase: 1, Until: firstUse + 9}))
	must(t, step(firstUse+3, rehab.Open)) // taken back
	same(t, "in charge after it was taken back", inCharge(), false)
	must(t, step(firstUse+9, rehab.HandedOver))
	must(t, step(firstUse+3, rehab.Open)) // before it came
	all := get[[]rehab.Complaint](t)(b.Complaints(t.Context()))
	if coming, ok := all[0].Coming(firstUse + 3); ok {
		t.Errorf("%+v is to come though it was taken back", coming)
	}
	must(t, step(firstUse+9, rehab.HandedOver))
	must(t, step(firstUse+3, rehab.Closed))
	same(t, "days on which it was followed", spans(firstUse+20), []load.DaySpan{{First: firstUse - 10, Last: firstUse + 2}})
	again := withOpening(firstUse + 3)
	same(t, "opened again on the day", get[[]string](t)(b.OpenComplaint(t.Context(), again, []rehab.Side{rehab.Left}, "a slip")), []string{id})
	same(t, "days without a gap", spans(firstUse+20), []load.DaySpan{{First: firstUse - 10, Last: firstUse + 20}})
	wantConflict(t, "by who saw fewer changes", led.StepComplaintAfter(t.Context(), 2, id, rehab.Step{Day: firstUse + 3, Status: rehab.Closed}, ""))
	wantConflict(t, "what is usual, by who saw fewer", led.SetBaseAfter(t.Context(), 2, id, rehab.Base{From: firstUse, Pain: ptr(1.0)}))
	same(t, "problems", len(get[[]journal.Problem](t)(j.Check(t.Context()))), 0)

	// Steps that do not stand any more are carried too, and are none elsewhere either.
	kept := whole(t, b)
	there := book(t, j, "Ada elsewhere")
	if _, err := there.TakeOver(t.Context(), &kept, nil); err != nil {
		t.Fatal(err)
	}
	all = get[[]rehab.Complaint](t)(there.Complaints(t.Context()))
	same(t, "days on which it was followed there", all[0].Spans(firstUse+20), spans(firstUse+20))
}
