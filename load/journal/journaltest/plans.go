package journaltest

import (
	"errors"
	"testing"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/load/rehab"
)

func testPlans(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	id := get[[]string](t)(b.OpenComplaint(t.Context(), withOpening(firstUse-10), []rehab.Side{rehab.Left}, ""))[0]
	p := rehab.Prescription{Complaint: id, Programme: "combined", Started: firstUse - 7, Phase: 2, State: rehab.Running, From: firstUse - 7}
	must(t, b.Prescribe(t.Context(), p, "to begin with"))
	wantConflict(t, "by who saw none of one", b.PrescribeAfter(t.Context(), 0, p, ""))
	bad := p
	bad.Programme = "plantar-heavy"
	if err := b.Prescribe(t.Context(), bad, ""); err == nil {
		t.Error("a programme of another site was prescribed")
	}
	bad = p
	bad.Complaint = "calf-left"
	if err := b.Prescribe(t.Context(), bad, ""); !errors.Is(err, journal.ErrNotFound) {
		t.Errorf("for nothing: %v, want ErrNotFound", err)
	}
	pain := uint8(2)
	done := rehab.Done{Complaint: id, Day: firstUse, Exercise: "hold_raise_1", Sets: 5, Reps: 1, Hold: 45, Minutes: 1, Weight: 7.5, Pain: &pain, Note: "slow"}
	must(t, b.LogDone(t.Context(), []rehab.Done{done}))
	for name, edit := range map[string]func(*rehab.Done){"10,000 reps": func(d *rehab.Done) { d.Reps = 10_000 }, "tomorrow": func(d *rehab.Done) { d.Day++ }, "nothing followed": func(d *rehab.Done) { d.Complaint = "calf-left" }} {
		wrong := done
		edit(&wrong)
		if err := b.LogDone(t.Context(), []rehab.Done{done, wrong}); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
	dose := rehab.Dose{Exercise: "stand_raise_2", Sets: 3, Reps: 12, Hold: 2, Minutes: 1, Weight: 2.5, PerDay: 1, DaysPerWeek: 7, MinHours: 20, Side: "both", Note: "slow"}
	easier := rehab.Dose{Exercise: "ankle_pumps", Sets: 1, Reps: 60, PerDay: 2, DaysPerWeek: 7}
	own := get[string](t)(b.BuildRoutine(t.Context(), "At home", rehab.AchillesMid, 4, []rehab.Dose{dose, easier}))
	if _, err := b.BuildRoutine(t.Context(), "", rehab.AchillesMid, 4, []rehab.Dose{dose}); err == nil {
		t.Error("a routine without a name was taken")
	}
	home := p
	home.Programme, home.Phase, home.From = own, 0, firstUse
	must(t, b.Prescribe(t.Context(), home, "at home now"))
	order := rehab.Order{Complaint: id, Phase: 1, Stage: 6, Until: firstUse + 60}
	must(t, b.GiveOrder(t.Context(), order))
	days := load.DaySpan{First: firstUse - 3, Last: firstUse + 4}
	must(t, b.SayAway(t.Context(), days, journal.Ill))
	if err := b.SayAway(t.Context(), load.DaySpan{First: 5, Last: 4}, journal.OnTheRoad); err == nil {
		t.Error("days the wrong way round were taken")
	}
	if err := b.SayAway(t.Context(), days, "bored"); err == nil {
		t.Error("a reason that is none was taken")
	}
	routine := get[rehab.Programme](t)(rehab.Routine(own, "At home", rehab.AchillesMid, 4, []rehab.Dose{easier, dose}))
	same(t, "plan", get[journal.Plan](t)(b.Plan(t.Context())), journal.Plan{
		Prescriptions: []journal.Prescription{{Prescription: p, Why: "to begin with", By: journal.Local, At: noon}, {Prescription: home, Why: "at home now", By: journal.Local, At: noon}},
		Done:          []journal.Done{{Done: done, By: journal.Local, At: noon}},
		Aways:         []journal.Away{{DaySpan: days, Reason: journal.Ill, By: journal.Local, At: noon}},
		Routines:      []journal.Routine{{Programme: routine, By: journal.Local, At: noon}},
		Orders:        []journal.Order{{Order: order, By: journal.Local, At: noon}},
	})
	if orders := get[*assess.Care](t)(b.Care(t.Context(), firstUse)).Plan.Orders; len(orders) != 1 || orders[0].From != firstUse || orders[0].Stage != 6 {
		t.Errorf("orders %+v, want one from the day on which it was given", orders)
	}
	wantEveryField(t, journal.Done{Done: done, By: journal.Local, At: noon})
}
