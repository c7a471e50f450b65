package rehab_test

import (
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/rehab"
)

// TestUsual: what is outside common practice is asked about, with the range and its source;
// what is inside is not (model 8: massage at most 5 min, stretches of 20 to 30 s).
func TestUsual(t *testing.T) {
	for _, one := range []struct {
		dose rehab.Dose
		want string
	}{
		{rehab.Dose{Exercise: "massage", Minutes: 40}, "at most 5 min (common practice, no source)"},
		{rehab.Dose{Exercise: "massage", Minutes: 5}, ""},
		{rehab.Dose{Exercise: "stretch_bent", Sets: 3, Hold: 30}, ""},
		{rehab.Dose{Exercise: "stretch_bent", Sets: 3, Hold: 90}, "90 s held"},
		{rehab.Dose{Exercise: "ankle_pumps", Sets: 1, Reps: 20}, "20 repetitions"},
		{rehab.Dose{Exercise: "stand_raise_2", Sets: 3, Reps: 15}, ""},
	} {
		if got := one.dose.Unusual(); one.want == "" && got != "" || !strings.Contains(got, one.want) {
			t.Errorf("%+v: %q, want %q", one.dose, got, one.want)
		}
	}
	for _, p := range rehab.Programmes {
		for _, phase := range p.Phases {
			for _, d := range phase.Doses {
				if said := d.Unusual(); said != "" {
					t.Errorf("%s: %s", p.ID, said)
				}
			}
		}
	}
}

func TestRoutine(t *testing.T) {
	raise := rehab.Dose{Exercise: "stand_raise_1", Sets: 3, Reps: 10, PerDay: 1, DaysPerWeek: 7}
	pumps := rehab.Dose{Exercise: "ankle_pumps", Sets: 1, Reps: 60, PerDay: 2, DaysPerWeek: 7}
	p, err := rehab.Routine("own-1", " At home ", rehab.AchillesMid, 4, []rehab.Dose{raise, pumps})
	if err != nil {
		t.Fatal(err)
	}
	if p.Name != "At home" || p.Phases[0].Doses[0] != pumps || p.Phases[0].Doses[1] != raise {
		t.Errorf("%+v, want the easiest first", p)
	}
	l := rehab.Library{Own: []rehab.Programme{p}}
	if got, err := l.Find("own-1"); err != nil || got.Name != p.Name {
		t.Errorf("found %q, %v", got.Name, err)
	}
	if n := len(l.For(rehab.AchillesMid)) - len(rehab.ProgrammesFor(rehab.AchillesMid)); n != 1 {
		t.Errorf("%d of one's own for its site, want 1", n)
	}
	if n := len(l.For(rehab.Plantar)) - len(rehab.ProgrammesFor(rehab.Plantar)); n != 0 {
		t.Errorf("%d of one's own for another site, want none", n)
	}
	for name, edit := range map[string]func(d *rehab.Dose){
		"10,000 reps":      func(d *rehab.Dose) { d.Reps = 10_000 },
		"nothing at all":   func(d *rehab.Dose) { d.Reps = 0 },
		"never":            func(d *rehab.Dose) { d.DaysPerWeek = 0 },
		"all day":          func(d *rehab.Dose) { d.PerDay = 40 },
		"no such exercise": func(d *rehab.Dose) { d.Exercise = "backflip" },
		"a ton":            func(d *rehab.Dose) { d.Weight = 1000 },
	} {
		bad := raise
		edit(&bad)
		if _, err := rehab.Routine("own-1", "x", rehab.AchillesMid, 4, []rehab.Dose{bad}); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
	step := rehab.Dose{Exercise: "step_lower_1", Sets: 3, Reps: 15, PerDay: 1, DaysPerWeek: 7}
	if _, err := rehab.Routine("own-1", "x", rehab.AchillesIns, 4, []rehab.Dose{step}); err == nil || !strings.Contains(err.Error(), "lowering on one leg to the floor instead") {
		t.Errorf("off a step at the heel bone: %v, want the floor instead", err)
	}
	if _, err := rehab.Routine("own-1", "x", rehab.AchillesIns, 4, []rehab.Dose{{Exercise: "stretch_bent", Sets: 3, Hold: 30, PerDay: 1, DaysPerWeek: 7}}); err == nil {
		t.Error("a stretch at the heel bone was taken")
	}
}

// TestAntibiotic: an antibiotic of that kind last month stops, and whoever prescribed it is
// called the same day (FDA boxed warning 2008, as cited; rehab reference 8, check 47).
func TestAntibiotic(t *testing.T) {
	f, err := rehab.FindRedFlag("antibiotic")
	if err != nil {
		t.Fatal(err)
	}
	if f.Act != rehab.SameDay || !f.Act.Stops() || !strings.Contains(f.Do, "who prescribed it") {
		t.Errorf("%+v, want the same day, a stop, and the prescriber", f)
	}
	raised := rehab.Raised{Flag: f, From: monday}
	if !raised.Stands(monday+30) || raised.Stands(monday-1) {
		t.Error("a month after it was said it must still stand, and not before")
	}
}

// TestAskNew: four weeks after it was opened or last answered (model 7).
func TestAskNew(t *testing.T) {
	for _, one := range []struct {
		opened, said, today int
		want                bool
	}{{0, -1000, 27, false}, {0, -1000, 28, true}, {0, 20, 47, false}, {0, 20, 48, true}} {
		if got := rehab.AskNew(monday+load.Day(one.opened), monday+load.Day(one.said), monday+load.Day(one.today)); got != one.want {
			t.Errorf("%+v: %v", one, got)
		}
	}
}
