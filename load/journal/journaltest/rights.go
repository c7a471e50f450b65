package journaltest

import (
	"errors"
	"reflect"
	"strings"
	"testing"
	"time"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// asked are the columns of the table of rights, in order.
var asked = []string{
	"local",              // whoever sits at the machine
	"runner", "guardian", // who own the logbook, nobody else in charge
	"runner with a clinician", // while something is followed
	"coach", "coach, medical", // with leave for medical detail
	"coach, plan", "clinician", // with leave to brake the ramp
	"revoked", // who had everything
}

// act is a row of the table: y may, c sees that somebody else is in charge, - does not
// find it.
type act struct {
	method string
	who    string
	do     func(*testing.T, *journal.Book, *followedBook) error
}

// followedBook is a logbook with something of everything.
type followedBook struct {
	runner    journal.RunnerID
	complaint string
	session   string
	sum       journal.Sum
	finding   string
	link      string
	helper    journal.Person
	terms     ramp.Terms
}

// only is the error of a method that returns a value too.
func only[T any](_ T, err error) error { return err }

var prescription = rehab.Prescription{Programme: "combined", Started: firstUse, State: rehab.Running, From: firstUse}

// acts is the table of rights: every method of a book.
var acts = []act{
	//         local runner guardian led coach medical plan clinician revoked
	{"Runner", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Runner(t.Context())) }},
	{"Rights", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Rights(t.Context())) }},
	{"Role", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Role(t.Context())) }},
	{"Look", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return b.Look(t.Context(), journal.LookLoad)
	}},
	{"Removal", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		_, _, err := b.Removal(t.Context())
		return err
	}},
	{"Has", "yyyyyyyy-", func(t *testing.T, b *journal.Book, f *followedBook) error { return only(b.Has(t.Context(), f.sum)) }},
	{"Sessions", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Sessions(t.Context())) }},
	{"Session", "yyyyyyyy-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return only(b.Session(t.Context(), f.session))
	}},
	{"Rests", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Rests(t.Context())) }},
	{"Gaps", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Gaps(t.Context())) }},
	{"Edits", "yyyyyyyy-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return only(b.Edits(t.Context(), f.session))
	}},
	{"Originals", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Originals(t.Context())) }},
	{"Original", "yyyyyyyy-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return only(b.Original(t.Context(), f.sum))
	}},
	{"OriginalOf", "yyyyyyyy-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		_, _, err := b.OriginalOf(t.Context(), f.session)
		return err
	}},
	{"Races", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Races(t.Context())) }},
	{"Planned", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Planned(t.Context())) }},
	{"Settings", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Settings(t.Context())) }},
	{"Stale", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Stale(t.Context())) }},
	{"Rederive", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return b.Rederive(t.Context(), decoding(func(journal.Original) {}, recording(1)))
	}},
	{"Input", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return only(b.Input(t.Context(), firstUse+2))
	}},
	{"Measure", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return only(b.Measure(t.Context(), firstUse+2))
	}},
	{"Picture", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return only(b.Picture(t.Context(), firstUse, assess.Query{From: firstUse, To: firstUse}))
	}},
	{"Imagine", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return only(b.Imagine(t.Context(), firstUse, load.Distance, firstUse, load.Distance.Of(5)))
	}},
	{"Refresh", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return b.Refresh(t.Context(), firstUse+2) }},
	{"KeepFindings", "yyyyyyyy-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return b.KeepFindings(t.Context(), []load.Finding{spike(1, load.Caution)}, firstUse+2)
	}},
	{"Findings", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Findings(t.Context())) }},
	{"States", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.States(t.Context())) }},
	{"PutStanding", "yyyyyyyy-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		r, err := b.Runner(t.Context())
		if err != nil {
			return err
		}
		return b.PutStanding(t.Context(), journal.Standing{Runner: f.runner, Revision: r.Revision, Day: firstUse})
	}},
	{"Standing", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return only(b.Standing(t.Context(), firstUse))
	}},
	{"Answer", "yyyyyyyy-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return b.Answer(t.Context(), f.finding, journal.Seen, "talked about it")
	}},
	{"Notes", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Notes(t.Context())) }},
	{"PutGroup", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return b.PutGroup(t.Context(), "Tuesdays") }},
	{"PutNote", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return b.PutNote(t.Context(), journal.Note{Kind: journal.NoteToRunner, Day: firstUse, Text: "easy on Tuesday"})
	}},
	{"PlanRace", "yyyyyyyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return b.PlanRace(t.Context(), load.PlannedRace{Day: firstUse + 40, Name: "Pier mile"}, false)
	}},

	{"Care", "yyyy-y-y-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Care(t.Context(), firstUse)) }},
	{"Complaints", "yyyy-y-y-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Complaints(t.Context())) }},
	{"ComplaintSteps", "yyyy-y-y-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return only(b.ComplaintSteps(t.Context()))
	}},
	{"Entries", "yyyy-y-y-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Entries(t.Context())) }},
	{"RedFlags", "yyyy-y-y-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.RedFlags(t.Context())) }},
	{"Results", "yyyy-y-y-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Results(t.Context())) }},
	{"Plan", "yyyy-y-y-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Plan(t.Context())) }},
	{"Changes", "yyyy-y-y-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Changes(t.Context())) }},
	{"Ramps", "yyyy-y-y-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Ramps(t.Context())) }},
	{"Gates", "yyyy-y-y-", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Gates(t.Context())) }},
	{"Ramp", "yyyy-yyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return only(b.Ramp(t.Context(), firstUse))
	}},
	{"RampTerms", "yyyy-yyy-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		_, _, err := b.RampTerms(t.Context())
		return err
	}},

	{"Add", "yyyy-----", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return only(b.Add(t.Context(), []journal.Recording{recording(2)}))
	}},
	{"Edit", "yyyy-----", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return b.Edit(t.Context(), f.session, 0, map[string]string{"note": "windy"}, decoding(func(journal.Original) {}, recording(1)))
	}},
	{"AnswerGap", "yyyy-----", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return b.AnswerGap(t.Context(), load.Gap{DaySpan: load.DaySpan{First: firstUse + 10, Last: firstUse + 12}, Answer: load.GapRested})
	}},
	{"AddMornings", "yyyy-----", func(t *testing.T, b *journal.Book, f *followedBook) error {
		next := uint8(1)
		return only(b.AddMornings(t.Context(), []journal.Morning{{Morning: rehab.Morning{Complaint: f.complaint, Day: firstUse, Next: &next}}}))
	}},
	{"LogDone", "yyyy-----", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return b.LogDone(t.Context(), []rehab.Done{{Complaint: f.complaint, Day: firstUse, Exercise: "hold_raise_1", Sets: 5, Reps: 1, Hold: 45}})
	}},
	{"SayAway", "yyyy-----", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return b.SayAway(t.Context(), load.DaySpan{First: firstUse, Last: firstUse + 1}, journal.Ill)
	}},

	{"AddResult", "yyyy---y-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return b.AddResult(t.Context(), rehab.Result{Test: "knee-to-wall", Day: firstUse, Left: ptr(9.5), Right: ptr(10.0)})
	}},
	{"AddGate", "yyyy---y-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return b.AddGate(t.Context(), ramp.Gate{Day: firstUse})
	}},
	{"SayNothingNew", "yyyy---y-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return b.SayNothingNew(t.Context(), firstUse)
	}},
	{"RaiseFlag", "yyyy---y-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return b.RaiseFlag(t.Context(), "numb", firstUse, "it woke me")
	}},
	{"LiftFlag", "yyyy---y-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return b.LiftFlag(t.Context(), "both-heels", firstUse, "seen by a doctor")
	}},
	{"OpenComplaint", "yyyy---y-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		c := withOpening(firstUse)
		c.Site = rehab.Calf
		return only(b.OpenComplaint(t.Context(), c, []rehab.Side{rehab.Right}, ""))
	}},
	{"Set", "yyyy---y-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return b.Set(t.Context(), "heart-rest", firstUse, "52")
	}},

	{"SetAll", "yyyc---y-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return b.SetAll(t.Context(), firstUse, []journal.Choice{{Key: "session-share", Value: "0.2"}})
	}},
	{"PutNote of a visit", "yyyc---y-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return b.PutNote(t.Context(), journal.Note{Kind: journal.NoteVisit, Day: firstUse, Text: "calm"})
	}},
	{"SetBase", "yyyc---y-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return b.SetBase(t.Context(), f.complaint, rehab.Base{From: firstUse, Pain: ptr(1.0)})
	}},
	{"SetBaseAfter", "yyyc---y-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return b.SetBaseAfter(t.Context(), journal.Unseen, f.complaint, rehab.Base{From: firstUse, Pain: ptr(1.0)})
	}},
	{"SetUp", "yyyc---y-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return only(b.SetUp(t.Context(), journal.Unseen, journal.SetUp{Complaint: withOpening(firstUse), Sides: []rehab.Side{rehab.Right}, Programme: "combined", Started: firstUse}))
	}},
	{"Prescribe", "yyyc---y-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		p := prescription
		p.Complaint = f.complaint
		return b.Prescribe(t.Context(), p, "")
	}},
	{"BuildRoutine", "yyyc---y-", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return only(b.BuildRoutine(t.Context(), "At home", rehab.AchillesMid, 4, []rehab.Dose{{Exercise: "ankle_pumps", Sets: 1, Reps: 60, PerDay: 2, DaysPerWeek: 7}}))
	}},
	{"GiveOrder", "yyyc---y-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return b.GiveOrder(t.Context(), rehab.Order{Complaint: f.complaint, Phase: 2, Stage: 4, Until: firstUse + 30})
	}},
	{"GiveOrderAfter", "yyyc---y-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return b.GiveOrderAfter(t.Context(), journal.Unseen, rehab.Order{Complaint: f.complaint})
	}},
	{"PrescribeAndAllow", "yyyc---y-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		p := prescription
		p.Complaint = f.complaint
		return b.PrescribeAndAllow(t.Context(), journal.Unseen, p, journal.Unseen, rehab.Order{Complaint: f.complaint, Phase: 1, Until: firstUse + 30})
	}},
	{"SetRampAndAllow", "yyyc---y-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return b.SetRampAndAllow(t.Context(), journal.Unseen, f.terms, journal.Unseen, rehab.Order{Complaint: f.complaint, Stage: 4, Until: firstUse + 30})
	}},
	{"SetRamp", "yyyc--cy-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		more := f.terms
		more.Free[0] = true
		return b.SetRamp(t.Context(), more, "a day more")
	}},
	{"SetRampAfter", "yyyc--cy-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		more := f.terms
		more.Free[0] = true
		return b.SetRampAfter(t.Context(), journal.Unseen, more, "a day more")
	}},
	{"PrescribeAfter", "yyyc---y-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		p := prescription
		p.Complaint = f.complaint
		return b.PrescribeAfter(t.Context(), journal.Unseen, p, "")
	}},
	{"SetRamp down", "yyyy--yy-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		less := f.terms
		less.State = ramp.Held
		return b.SetRamp(t.Context(), less, "a cold")
	}},
	{"StepComplaintAfter", "yyyc---y-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return b.StepComplaintAfter(t.Context(), journal.Unseen, f.complaint, rehab.Step{Status: rehab.HandedOver, Day: firstUse + 9}, "")
	}},
	{"StepComplaint", "yyyc---y-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return b.StepComplaint(t.Context(), f.complaint, rehab.Step{Status: rehab.HandedOver, Day: firstUse}, "")
	}},

	{"HasFeed", "yyyy-----", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.HasFeed(t.Context())) }},
	{"OpenFeed", "yyyy-----", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.OpenFeed(t.Context())) }},
	{"CloseFeed", "yyyy-----", func(t *testing.T, b *journal.Book, _ *followedBook) error { return b.CloseFeed(t.Context()) }},
	{"Whole", "yyyy-----", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return only(b.Whole(t.Context(), firstUse))
	}},
	{"TakeOver", "yyyc-----", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return only(b.TakeOver(t.Context(), &journal.Kept{Name: "x", Home: "UTC", FirstUse: firstUse}, nil))
	}},
	{"SessionsOf", "yyyyyyyy-", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return only(b.SessionsOf(t.Context(), f.sum))
	}},
	{"Team", "yyyy-----", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Team(t.Context())) }},
	{"Grants", "yyyy-----", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Grants(t.Context())) }},
	{"Looks", "yyyy-----", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Looks(t.Context(), 9)) }},
	{"Invitations", "yyyy-----", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.Invitations(t.Context())) }},
	{"Invite", "yyyy-----", func(t *testing.T, b *journal.Book, _ *followedBook) error {
		return only(b.Invite(t.Context(), "Rafe", journal.RoleCoach, false, false))
	}},
	{"RevokeInvitation", "yyyy-----", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return b.RevokeInvitation(t.Context(), f.link)
	}},
	{"Grant", "yyyy-----", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return b.Grant(t.Context(), f.helper, journal.RoleCoach, true, true)
	}},
	{"ChangeCoach", "yyyy-----", func(t *testing.T, b *journal.Book, f *followedBook) error {
		return b.ChangeCoach(t.Context(), f.helper, false, true)
	}},
	{"Revoke", "yyyy-----", func(t *testing.T, b *journal.Book, f *followedBook) error { return b.Revoke(t.Context(), f.helper) }},
	{"AskRemoval", "yyyy-----", func(t *testing.T, b *journal.Book, _ *followedBook) error { return only(b.AskRemoval(t.Context())) }},
	{"KeepAfterAll", "yyyy-----", func(t *testing.T, b *journal.Book, _ *followedBook) error { return b.KeepAfterAll(t.Context()) }},
}

func ptr[T any](v T) *T { return &v }

// testRights asks every column for everything: each has a logbook of its own to ask of.
func testRights(t *testing.T, s journal.Store) {
	j := newJournal(s)
	for column, name := range asked {
		f, b := follow(t, j, name)
		for _, a := range acts {
			switch err := a.do(t, b, f); a.who[column] {
			case 'y':
				if err != nil {
					t.Errorf("%s by %s: %v", a.method, name, err)
				}
			case 'c':
				if !errors.Is(err, journal.ErrNotInCharge) {
					t.Errorf("%s by %s: %v, want not in charge", a.method, name, err)
				}
			default:
				wantNotFound(t, a.method+" by "+name, err)
			}
		}
	}
	everyMethod(t)
}

// everyMethod fails for a method of a book that has no row.
func everyMethod(t *testing.T) {
	have := make(map[string]bool)
	for _, a := range acts {
		method, _, _ := strings.Cut(a.method, " ")
		have[method] = true
		if len(a.who) != len(asked) {
			t.Errorf("%s: %d columns, want %d", a.method, len(a.who), len(asked))
		}
	}
	of := reflect.TypeFor[*journal.Book]()
	for i := range of.NumMethod() {
		if name := of.Method(i).Name; !have[name] {
			t.Errorf("Book.%s has no row in the table of rights", name)
		}
	}
}

// follow makes a logbook with something of everything, and opens it as a column.
func follow(t *testing.T, j *journal.Journal, name string) (*followedBook, *journal.Book) {
	t.Helper()
	b := book(t, j, "Logbook of "+name)
	r := get[journal.Runner](t)(b.Runner(t.Context()))
	rec := unedited(1)
	get[[]journal.Outcome](t)(b.Add(t.Context(), []journal.Recording{rec}))
	must(t, b.KeepFindings(t.Context(), []load.Finding{spike(1, load.Caution)}, firstUse+2))
	must(t, b.RaiseFlag(t.Context(), "both-heels", firstUse-1, ""))
	f := &followedBook{runner: r.ID, session: idOf(rec), sum: rec.Sum, finding: spike(1, load.Caution).ID}
	f.complaint = get[[]string](t)(b.OpenComplaint(t.Context(), withOpening(firstUse-10), []rehab.Side{rehab.Left}, ""))[0]
	f.terms = ramp.Terms{Start: firstUse, Weeks: 8, Free: [7]bool{1: true, 3: true, 5: true}, State: ramp.Running}
	must(t, b.SetRamp(t.Context(), f.terms, ""))
	get[string](t)(b.Invite(t.Context(), "", journal.RoleCoach, false, false))
	f.link = get[[]journal.Invitation](t)(b.Invitations(t.Context()))[0].Hash
	f.helper = join(t, j, "Helper of "+name, "").ID
	must(t, b.Grant(t.Context(), f.helper, journal.RoleCoach, false, false))
	if name == "local" {
		return f, b
	}
	must(t, b.Grant(t.Context(), join(t, j, "Owner with "+name, "").ID, journal.RoleRunner, false, false))
	me := join(t, j, name, "").ID
	g := map[string]journal.Grant{
		"runner": {Role: journal.RoleRunner}, "guardian": {Role: journal.RoleGuardian}, "runner with a clinician": {Role: journal.RoleRunner},
		"coach": {Role: journal.RoleCoach}, "coach, medical": {Role: journal.RoleCoach, Medical: true}, "coach, plan": {Role: journal.RoleCoach, Plan: true},
		"clinician": {Role: journal.RoleClinician}, "revoked": {Role: journal.RoleGuardian},
	}[name]
	must(t, b.Grant(t.Context(), me, g.Role, g.Medical, g.Plan))
	opened := get[*journal.Book](t)(j.Open(t.Context(), me, r.ID))
	switch name {
	case "runner with a clinician":
		must(t, b.Grant(t.Context(), join(t, j, "In charge", "").ID, journal.RoleClinician, false, false))
	case "revoked":
		must(t, b.Revoke(t.Context(), me))
	}
	return f, opened
}

// testStrangers: who has another's logbook, or looks after the program, finds none.
func testStrangers(t *testing.T, s journal.Store) {
	j := newJournal(s)
	r := get[journal.Runner](t)(book(t, j, "Ada").Runner(t.Context()))
	foreign := join(t, j, "Edda", journal.RoleRunner).ID
	secret := get[string](t)(j.Invite(t.Context(), journal.Invitation{Kind: journal.InviteHost, By: journal.Local}))
	host := get[journal.Account](t)(j.Join(t.Context(), secret, journal.Newcomer{Name: "Host", Password: "x"}))
	same(t, "host", host.Host, true)
	for _, person := range []journal.Person{foreign, host.ID} {
		_, err := j.Open(t.Context(), person, r.ID)
		wantNotFound(t, "Open", err)
		_, err = j.Find(t.Context(), person, "Ada")
		wantNotFound(t, "Find", err)
	}
	same(t, "the host's logbooks", len(get[[]journal.Runner](t)(j.Runners(t.Context(), host.ID))), 0)
	same(t, "the other's own", get[[]journal.Runner](t)(j.Runners(t.Context(), foreign))[0].Name, "Edda")
}

// testGrants: a team changes, and somebody always owns the logbook.
func testGrants(t *testing.T, s journal.Store) {
	j := newJournal(s)
	edda, rafe := join(t, j, "Edda", journal.RoleRunner), join(t, j, "Rafe", "")
	r := get[[]journal.Runner](t)(j.Runners(t.Context(), edda.ID))[0]
	b := get[*journal.Book](t)(j.Open(t.Context(), edda.ID, r.ID))
	must(t, b.Grant(t.Context(), rafe.ID, journal.RoleCoach, false, false))
	must(t, b.Grant(t.Context(), rafe.ID, journal.RoleCoach, true, true))
	team := get[[]journal.Member](t)(b.Team(t.Context()))
	same(t, "team", team, []journal.Member{
		{Grant: journal.Grant{Person: edda.ID, Role: journal.RoleRunner, By: journal.Local, At: noon}, Name: "Edda"},
		{Grant: journal.Grant{Person: rafe.ID, Role: journal.RoleCoach, Medical: true, Plan: true, By: edda.ID, At: noon}, Name: "Rafe"},
	})
	wantEveryField(t, journal.Grant{Person: rafe.ID, Role: journal.RoleCoach, Medical: true, Plan: true, Revoked: true, By: edda.ID, At: noon})
	if err := b.Revoke(t.Context(), edda.ID); !journal.IsLastOwner(err) {
		t.Errorf("the last owner leaves: %v", err)
	}
	if err := b.Grant(t.Context(), edda.ID, journal.RoleCoach, false, false); !journal.IsLastOwner(err) {
		t.Errorf("the last owner becomes a coach: %v", err)
	}
	if err := b.Grant(t.Context(), rafe.ID, "friend", false, false); err == nil {
		t.Error("a role that is none was granted")
	}
	of := get[*journal.Book](t)(j.Open(t.Context(), rafe.ID, r.ID))
	must(t, of.Revoke(t.Context(), rafe.ID)) // who was let in may leave
	same(t, "team without the coach", len(get[[]journal.Member](t)(b.Team(t.Context()))), 1)
	same(t, "logbooks of who left", len(get[[]journal.Runner](t)(j.Runners(t.Context(), rafe.ID))), 0)
	wantNotFound(t, "revoking nobody", b.Revoke(t.Context(), rafe.ID))
	must(t, b.Grant(t.Context(), rafe.ID, journal.RoleClinician, false, false))
	same(t, "let in again", len(get[[]journal.Runner](t)(j.Runners(t.Context(), rafe.ID))), 1)
	same(t, "everything that was granted", len(get[[]journal.Grant](t)(b.Grants(t.Context()))), 5)
}

// testLooks: who looked is kept once in half an hour, and of others only.
func testLooks(t *testing.T, s journal.Store) {
	j, w := watched(s)
	edda, rafe := join(t, j, "Edda", journal.RoleRunner), join(t, j, "Rafe", "")
	r := get[[]journal.Runner](t)(j.Runners(t.Context(), edda.ID))[0]
	b := get[*journal.Book](t)(j.Open(t.Context(), edda.ID, r.ID))
	must(t, b.Grant(t.Context(), rafe.ID, journal.RoleCoach, true, false))
	of := get[*journal.Book](t)(j.Open(t.Context(), rafe.ID, r.ID))
	before := revision(t, b)
	must(t, b.Look(t.Context(), journal.LookLoad)) // one's own
	must(t, of.Look(t.Context(), journal.LookLoad))
	must(t, of.Look(t.Context(), journal.LookLoad))
	w.wait(lookApart)
	must(t, of.Look(t.Context(), journal.LookLoad))
	must(t, of.Look(t.Context(), journal.LookMedical))
	same(t, "looks", get[[]journal.Look](t)(b.Looks(t.Context(), 10)), []journal.Look{
		{Person: rafe.ID, What: journal.LookMedical, At: noon.Add(lookApart)},
		{Person: rafe.ID, What: journal.LookLoad, At: noon.Add(lookApart)},
		{Person: rafe.ID, What: journal.LookLoad, At: noon},
	})
	same(t, "the last look", len(get[[]journal.Look](t)(b.Looks(t.Context(), 1))), 1)
	same(t, "revision", revision(t, b), before)
}

const lookApart = 30 * time.Minute

// testRemoval: a logbook goes after a week and leaves nothing, unless it is kept after all.
func testRemoval(t *testing.T, s journal.Store) {
	j, w := watched(s)
	f, b := follow(t, j, "local")
	keep := book(t, j, "Kept")
	due := get[load.Instant](t)(b.AskRemoval(t.Context()))
	same(t, "due", due, noon.Add(7*24*time.Hour))
	_, err := b.AskRemoval(t.Context())
	wantConflict(t, "asked twice", err)
	must(t, b.KeepAfterAll(t.Context()))
	wantNotFound(t, "taken back twice", b.KeepAfterAll(t.Context()))
	w.wait(8 * 24 * time.Hour)
	same(t, "removed though it is kept", get[int](t)(j.RemoveDue(t.Context())), 0)
	due = get[load.Instant](t)(b.AskRemoval(t.Context()))
	same(t, "removed before it is due", get[int](t)(j.RemoveDue(t.Context())), 0)
	w.wait(due.Sub(w.now))
	same(t, "removed", get[int](t)(j.RemoveDue(t.Context())), 1)
	_, err = j.Open(t.Context(), journal.Local, f.runner)
	wantNotFound(t, "the logbook", err)
	same(t, "others", get[journal.Runner](t)(keep.Runner(t.Context())).Name, "Kept")
	problems := get[[]journal.Problem](t)(j.Check(t.Context()))
	same(t, "problems after it", len(problems), 0)
}
