package rehab

import "slices"

// Dose is how much of an exercise: sets of repetitions, of seconds held or of minutes, so
// many times a day on so many days a week. Zero is "not given".
type Dose struct {
	Exercise    string
	Sets, Reps  int
	Hold        int     // seconds, instead of repetitions
	Minutes     int     // instead of both
	Weight      float64 // kg added; 0: not said
	RM          int     // as heavy as can be lifted so many times
	Up, Down    int     // seconds of each repetition
	PerDay      int
	DaysPerWeek int
	MinHours    int    // between two times
	Side        string // one: of the side that hurts; both
	Note        string
}

// RepsPerDay returns the repetitions of a day.
func (d Dose) RepsPerDay() int { return d.Sets * d.Reps * d.PerDay }

// Seconds returns how long the muscle works in one time, as far as the tempo is given.
func (d Dose) Seconds() int {
	if d.Hold > 0 {
		return d.Sets * d.Hold
	}
	return d.Sets * d.Reps * (d.Up + d.Down)
}

// Phase is a part of a programme. One is left for the next by status, and where the weeks
// are given by them too.
type Phase struct {
	Name     string
	From, To int // weeks, from 1; To 0: as long as it needs
	Enter    string
	Doses    []Dose
}

// Programme is a published way to load a tendon, with the pain rule of its own.
type Programme struct {
	ID       string
	Name     string
	Sites    []Site
	PainRule string
	MostPain int // in a set, by that rule; 10: through pain
	Result   string
	Source   string
	Status   string
	Phases   []Phase
}

var achilles = []Site{AchillesMid}

// Programmes lists the published ones (rehab reference 3).
var Programmes = []Programme{
	{
		ID: "eccentric-step", Name: "Lowering off a step, twice a day", Sites: achilles, PainRule: "go on through pain unless it is disabling", MostPain: 10,
		Result: "89 % of tendons hurting in the middle satisfied (90 of 101), at the heel bone 32 %", Source: "Alfredson et al. 1998, Am J Sports Med 26:360; Fahlström et al. 2003", Status: "dose as cited, results read in the paper",
		Phases: []Phase{{Name: "12 weeks", From: 1, To: 12, Doses: []Dose{
			{Exercise: "step_lower_1", Sets: 3, Reps: 15, PerDay: 2, DaysPerWeek: 7, Side: "one", Note: "add weight, 5 kg at a time, when it does not hurt"},
			{Exercise: "step_lower_1_bent", Sets: 3, Reps: 15, PerDay: 2, DaysPerWeek: 7, Side: "one", Note: "add weight, 5 kg at a time, when it does not hurt"},
		}}},
	},
	{
		ID: "eccentric-floor", Name: "Lowering to the floor, twice a day", Sites: []Site{AchillesIns}, PainRule: "may hurt", MostPain: 10,
		Result: "67 % satisfied (18 of 27) after four months", Source: "Jonsson et al. 2008, Br J Sports Med 42:746", Status: "read in the paper",
		Phases: []Phase{{Name: "12 weeks", From: 1, To: 12, Doses: []Dose{
			{Exercise: "floor_lower_1", Sets: 3, Reps: 15, PerDay: 2, DaysPerWeek: 7, Side: "one"},
			{Exercise: "floor_lower_1_bent", Sets: 3, Reps: 15, PerDay: 2, DaysPerWeek: 7, Side: "one"},
		}}},
	},
	{
		ID: "combined", Name: "Combined programme by status, four phases", Sites: achilles, PainRule: "up to 5 of 10, and as usual by the next morning", MostPain: 5,
		Result: "running and jumping under the pain rule was not worse than six weeks without", Source: "Silbernagel et al. 2001, 2007; Griffin et al. 2021, Table 1", Status: "phases 1 and 2 read, 3 and 4 from memory",
		Phases: []Phase{
			{Name: "1", From: 1, To: 2, Enter: "pain in everything; ten heel raises on one leg are hard", Doses: []Dose{
				{Exercise: "ankle_pumps", Sets: 1, Reps: 60, PerDay: 1, DaysPerWeek: 7},
				{Exercise: "stand_raise_2", Sets: 3, Reps: 15, PerDay: 1, DaysPerWeek: 7},
				{Exercise: "stand_raise_1", Sets: 3, Reps: 10, PerDay: 1, DaysPerWeek: 7, Side: "one"},
				{Exercise: "seated_raise_1", Sets: 3, Reps: 10, PerDay: 1, DaysPerWeek: 7, Side: "one"},
				{Exercise: "floor_lower_1", Sets: 3, Reps: 10, PerDay: 1, DaysPerWeek: 7, Side: "one"},
			}},
			{Name: "2", From: 2, To: 5, Enter: "pain with exercise, stiffness in the morning, pain in raises", Doses: []Dose{
				{Exercise: "step_raise_2", Sets: 3, Reps: 15, PerDay: 1, DaysPerWeek: 7},
				{Exercise: "step_raise_1", Sets: 3, Reps: 10, PerDay: 1, DaysPerWeek: 7, Side: "one"},
				{Exercise: "seated_raise_1", Sets: 3, Reps: 15, PerDay: 1, DaysPerWeek: 7, Side: "one"},
				{Exercise: "step_lower_1", Sets: 3, Reps: 15, PerDay: 1, DaysPerWeek: 7, Side: "one"},
				{Exercise: "rebound_raise", Sets: 3, Reps: 20, PerDay: 1, DaysPerWeek: 7},
			}},
			{Name: "3", From: 3, To: 12, Enter: "coped with phase 2, no pain at the heel bone, stiffness the same or less", Doses: []Dose{
				{Exercise: "step_raise_1_loaded", Sets: 3, Reps: 15, PerDay: 1, DaysPerWeek: 3, MinHours: 48, Side: "one"},
				{Exercise: "seated_raise_1", Sets: 3, Reps: 15, PerDay: 1, DaysPerWeek: 7, Side: "one"},
				{Exercise: "step_lower_1", Sets: 3, Reps: 15, PerDay: 1, DaysPerWeek: 7, Side: "one", Note: "with weight"},
				{Exercise: "rebound_raise", Sets: 3, Reps: 20, PerDay: 1, DaysPerWeek: 7},
			}},
			{Name: "4", From: 12, Enter: "few symptoms, not stiff every day, in sport", Doses: []Dose{
				{Exercise: "step_raise_1_loaded", Sets: 3, Reps: 15, PerDay: 1, DaysPerWeek: 3, MinHours: 48, Side: "one"},
				{Exercise: "step_lower_1", Sets: 3, Reps: 15, PerDay: 1, DaysPerWeek: 3, MinHours: 48, Side: "one"},
				{Exercise: "rebound_raise", Sets: 3, Reps: 20, PerDay: 1, DaysPerWeek: 3, MinHours: 48},
			}},
		},
	},
	{
		ID: "heavy-slow", Name: "Heavy and slow, three times a week", Sites: achilles, PainRule: "may hurt in the set, no more afterwards", MostPain: 10,
		Result: "as good as lowering off a step after 12 and 52 weeks; 92 % of the sessions done, against 78 %", Source: "Beyer et al. 2015, Am J Sports Med 43:1704", Status: "as cited; week 6 to 8 on a second page",
		Phases: heavySlow(),
	},
	{
		ID: "speed-up", Name: "Lowering, faster by the day", Sites: achilles, PainRule: "only in the last set", MostPain: 5,
		Source: "Stanish and Curwin 1986, Clin Orthop 208:65", Status: "value from memory",
		Phases: []Phase{{Name: "6 weeks", From: 1, To: 6, Doses: []Dose{{Exercise: "step_lower_1", Sets: 3, Reps: 10, PerDay: 1, DaysPerWeek: 7, Side: "one", Note: "day 1-2 slow, 3-5 moderate, 6-7 fast; then more weight, slow again"}}}},
	},
	{
		ID: "load-it-heavy", Name: "Six repetitions at most, slow", Sites: achilles, PainRule: "none published", MostPain: 5,
		Source: "pilot protocol, Pilot Feasib Stud 2020, doi 10.1186/s40814-020-00639-5", Status: "read in the paper: a design, no result",
		Phases: []Phase{{Name: "12 weeks", From: 1, To: 12, Doses: []Dose{
			{Exercise: "seated_raise_1", Sets: 4, Reps: 6, RM: 6, Up: 3, Down: 3, PerDay: 1, DaysPerWeek: 3, MinHours: 48, Side: "both"},
			{Exercise: "stand_raise_1_loaded", Sets: 4, Reps: 6, RM: 6, Up: 3, Down: 3, PerDay: 1, DaysPerWeek: 3, MinHours: 48, Side: "both"},
		}}},
	},
	{
		ID: "load-it-light", Name: "Eighteen repetitions at most, a second up and down", Sites: achilles, PainRule: "none published", MostPain: 5,
		Source: "pilot protocol, Pilot Feasib Stud 2020, doi 10.1186/s40814-020-00639-5", Status: "read in the paper: a design, no result; that the tempo goes with this load is derived, both arms take 288 s",
		Phases: []Phase{{Name: "12 weeks", From: 1, To: 12, Doses: []Dose{
			{Exercise: "seated_raise_1", Sets: 4, Reps: 18, RM: 18, Up: 1, Down: 1, PerDay: 1, DaysPerWeek: 3, MinHours: 48, Side: "both"},
			{Exercise: "stand_raise_1_loaded", Sets: 4, Reps: 18, RM: 18, Up: 1, Down: 1, PerDay: 1, DaysPerWeek: 3, MinHours: 48, Side: "both"},
		}}},
	},
	{
		ID: "plantar-heavy", Name: "Heel raises with a towel, every second day", Sites: []Site{Plantar}, PainRule: "none published", MostPain: 5,
		Result: "29 points better after 3 months; no difference after 1, 6 and 12", Source: "Rathleff et al. 2015, doi 10.1111/sms.12313", Status: "result read, dose as cited",
		Phases: []Phase{
			{Name: "1", From: 1, To: 2, Doses: []Dose{{Exercise: "towel_raise_1", Sets: 3, Reps: 12, RM: 12, Up: 3, Down: 3, PerDay: 1, DaysPerWeek: 3, MinHours: 48, Side: "one"}}},
			{Name: "2", From: 3, To: 4, Doses: []Dose{{Exercise: "towel_raise_1", Sets: 4, Reps: 10, RM: 10, Up: 3, Down: 3, PerDay: 1, DaysPerWeek: 3, MinHours: 48, Side: "one"}}},
			{Name: "3", From: 5, To: 12, Doses: []Dose{{Exercise: "towel_raise_1", Sets: 5, Reps: 8, RM: 8, Up: 3, Down: 3, PerDay: 1, DaysPerWeek: 3, MinHours: 48, Side: "one"}}},
		},
	},
	{
		ID: "patellar-stages", Name: "Patellar tendon in four stages", Sites: []Site{Patellar}, PainRule: "up to 3 of 10 to go on", MostPain: 3,
		Result: "28 points better after 24 weeks, against 18; back to sport 43 and 27 %, no difference shown", Source: "Breda et al. 2021, doi 10.1136/bjsports-2020-103403; Rio et al. 2015", Status: "result read; 5 times 45 s from memory",
		Phases: []Phase{
			{Name: "1, holding", Doses: []Dose{{Exercise: "leg_extension_hold", Sets: 5, Hold: 45, PerDay: 1, DaysPerWeek: 7, Side: "one"}}},
			{Name: "2, and moving", Doses: []Dose{{Exercise: "leg_extension_hold", Sets: 5, Hold: 45, PerDay: 1, DaysPerWeek: 4, Side: "one"}, {Exercise: "leg_press", Sets: 4, Reps: 15, PerDay: 1, DaysPerWeek: 3, MinHours: 48, Side: "one"}}},
			{Name: "3, jumping and running", Doses: []Dose{{Exercise: "jump_2", Sets: 3, Reps: 10, PerDay: 1, DaysPerWeek: 2, MinHours: 72}}},
			{Name: "4, sport", Doses: []Dose{{Exercise: "leg_press", Sets: 4, Reps: 15, PerDay: 1, DaysPerWeek: 2, MinHours: 48, Side: "one"}}},
		},
	},
}

// heavySlow are the weeks of Beyer et al. 2015: two legs, 3 s up and 3 s down.
func heavySlow() (phases []Phase) {
	for _, p := range []struct {
		name               string
		from, to, sets, rm int
	}{{"week 1", 1, 1, 3, 15}, {"weeks 2-3", 2, 3, 3, 12}, {"weeks 4-5", 4, 5, 4, 10}, {"weeks 6-8", 6, 8, 4, 8}, {"weeks 9-12", 9, 12, 4, 6}} {
		phase := Phase{Name: p.name, From: p.from, To: p.to}
		for _, exercise := range []string{"seated_raise_2", "leg_press_raise", "stand_raise_loaded"} {
			phase.Doses = append(phase.Doses, Dose{Exercise: exercise, Sets: p.sets, Reps: p.rm, RM: p.rm, Up: 3, Down: 3, PerDay: 1, DaysPerWeek: 3, MinHours: 48, Side: "both"})
		}
		phases = append(phases, phase)
	}
	return phases
}

// In returns the phase of a week, from 1, where a programme has weeks; the first that holds
// it. ok is false past its end.
func (p *Programme) In(week int) (phase Phase, ok bool) {
	i, ok := p.inWeek(week)
	if !ok {
		return Phase{}, false
	}
	return p.Phases[i], true
}

func (p *Programme) inWeek(week int) (index int, ok bool) {
	index = slices.IndexFunc(p.Phases, func(f Phase) bool { return f.From > 0 && week >= f.From && (f.To == 0 || week <= f.To) })
	return index, index >= 0
}

// ForInsertion returns the programme with every exercise at floor level, without what has
// no such version.
func (p *Programme) ForInsertion() Programme {
	out := *p
	out.ID, out.Name, out.Sites = p.ID+"-floor", p.Name+", at floor level", []Site{AchillesIns}
	out.Phases = nil
	for _, phase := range p.Phases {
		phase.Doses = slices.Clone(phase.Doses)
		phase.Doses = slices.DeleteFunc(phase.Doses, func(d Dose) bool {
			e, err := FindExercise(d.Exercise)
			_, ok := e.ForInsertion()
			return err != nil || !ok
		})
		for i := range phase.Doses {
			e, _ := FindExercise(phase.Doses[i].Exercise) // it was found above
			instead, _ := e.ForInsertion()
			phase.Doses[i].Exercise = instead.ID
		}
		out.Phases = append(out.Phases, phase)
	}
	return out
}
