package load

import "slices"

// The rules of this package.
const (
	RuleSessionSpike    = "session-spike"
	RuleWeekJump        = "week-jump"
	RuleAfterBreak      = "after-break"
	RuleNewDemand       = "new-demand"
	RuleRatio           = "ratio"
	RuleMonotoneWeek    = "monotone-week"
	RuleMorningFlared   = "morning-flared"
	RuleNotSettled      = "not-settled"
	RuleRedFlag         = "red-flag"
	RuleProgrammeBehind = "programme-behind"
	RuleOverPlan        = "over-plan"
	RuleData            = "data"
)

// Cause is what a rule's findings are about. Rules of one cause share a finding
// as long as the episode lasts; those of CauseNone stand alone, one a subject.
type Cause string

// The causes.
const (
	CauseNone      Cause = ""
	CauseLoad      Cause = "load"
	CauseComplaint Cause = "complaint" // medical: not for everybody's eyes
)

// Source is something that a rule rests on, and how well it carries.
type Source struct {
	Cite     string
	Strength string
}

// Rule is one row of the table of rules: what the engine, the pages, the
// documentation and the tests read.
type Rule struct {
	ID     string
	Cause  Cause
	Title  string
	When   string
	Rests  []Source
	Advice [3]string // by level; empty: the rule has no such level
}

// RulesVersion rises whenever a rule would find something else in the same
// sessions.
const RulesVersion = 8

// Rules lists the rules of this package.
var Rules = []Rule{
	{
		ID: RuleSessionSpike, Cause: CauseLoad, Title: "One run much longer than the runs before it",
		When: "a run more than 10 % over the longest of the 30 x 24 h before it; note, caution above 100 % or while something that hurts is followed; " +
			"not for a run within the limits of its day, nor for a race",
		Rests: []Source{{
			"Frandsen et al. 2025, Br J Sports Med 59:1203",
			"one cohort of 5,205 runners, distance only, observational: over 10 to 30 % hazard ratio 1.64 (1.31 to 2.05), " +
				"30 to 100 % 1.52 (1.16 to 2.00), above 100 % 2.28 (1.50 to 3.48), against up to 10 %",
		}},
		Advice: [3]string{
			"give it a week before the next run of this length; watch how the tendon is on the next mornings",
			"keep the next runs at or below the length from before; if the tendon is worse tomorrow morning than usual, take a rest day and tell your clinician",
		},
	},
	{
		ID: RuleWeekJump, Cause: CauseLoad, Title: "A week much larger than the best week before it",
		When: "seven days more than 30 % and 5 km (or 30 min) over the best held week that ended 7 to 34 days before, or over what a break " +
			"in force leaves of it; note, caution for who has run for less than six months",
		Rests: []Source{
			{"Nielsen et al. 2014, J Orthop Sports Phys Ther 44:739", "weak: one cohort of novices, hazard ratio 1.59 (0.96 to 2.66) in a subgroup"},
			{"Damsted et al. 2019, J Orthop Sports Phys Ther 49:230", "weak: a difference at 21 days, none at 56 or 98"},
		},
		Advice: [3]string{
			"let the coming week be no larger than the one before",
			"let the coming week be smaller than the one before",
		},
	},
	{
		ID: RuleAfterBreak, Cause: CauseLoad, Title: "The first run after a break",
		When: "the first run 8 days or more after the last; note, caution if it is over the limits of its day; " +
			"and every later run over them while the break still limits",
		Rests: []Source{{"project default", "no source: the limits after a break follow common return-to-run practice"}},
		Advice: [3]string{
			"build up again from here: shorter runs than before the break, for as many weeks as it lasted",
			"the run was longer than a break of this length leaves room for: the next ones shorter, with a rest day between",
		},
	},
	{
		ID: RuleNewDemand, Cause: CauseLoad, Title: "Something new besides the length",
		When: "fast minutes (above 1.15 x the median speed of the 28 days before), ascent or tendon load of one run over 1.3 x the best of the 30 days before, " +
			"by 5 min, 100 m or 2 km at least, or shoes not worn in them; note, caution while something that hurts is followed; not in the first 30 days",
		Rests: []Source{
			{"Starbuck et al. 2021, Scand J Med Sci Sports 31:1657; Ertman et al. 2023, J Sports Sci 41:495", "laboratory: the force on the tendon rises with speed; no study of injuries"},
			{"project default", "no source for 1.15 and 1.3; hills and shoes are expert opinion"},
		},
		Advice: [3]string{
			"one new thing at a time: keep the next runs as they were, and watch the tendon on the next mornings",
			"leave it out until the tendon has been quiet for a week of mornings, and tell your clinician of it",
		},
	},
	{
		ID: RuleRatio, Cause: CauseLoad, Title: "A week far over the mean of the three before",
		When: "off unless switched on: the last seven days at 1.5 x the mean of the three weeks before, or more, with at least 24 of 28 days known",
		Rests: []Source{
			{"Gabbett 2016, Br J Sports Med 50:273", "team sports; value from memory"},
			{"Nakaoka et al. 2021, Sports Med 51:2437; Frandsen et al. 2025, Br J Sports Med 59:1203", "against the rule: in runners more injuries went with lower ratios"},
		},
		Advice: [3]string{"look at which run made the week large; the ratio itself says nothing that a limit is made of"},
	},
	{
		ID: RuleMonotoneWeek, Cause: CauseLoad, Title: "Seven days that are much alike",
		When:   "off unless switched on: monotony, the mean of seven days over their spread, above 2",
		Rests:  []Source{{"Foster 1998, Med Sci Sports Exerc 30:1164", "value from memory; no study of runners was seen, and the number mostly counts rest days"}},
		Advice: [3]string{"put a rest day or a short day between the others"},
	},
	{
		ID: RuleMorningFlared, Cause: CauseComplaint, Title: "A morning that flared",
		When: "a score above 5 during a run, an hour after or on the next morning; a morning 2 or more above what is usual, from 3 on; " +
			"more than 20 min stiffer than usual; limping; at a bone any score",
		Rests: []Source{
			{"Thomeé 1997, Phys Ther 77:1690; Silbernagel et al. 2007, Am J Sports Med 35:897", "the pain-monitoring model: one trial of 38 people with and without running under it, no difference; its edges are values from memory"},
			{"Salaffi et al. 2004, Eur J Pain 8:283", "a change of 2 of 10 was meant as real by 825 people with lasting pain"},
			{"project default", "no source: the minutes of stiffness"},
		},
		Advice: [3]string{
			1: "no run until a morning is as usual again and three rest days have passed; what is new, sudden or there at night is no matter of limits: see a doctor",
		},
	},
	{
		ID: RuleNotSettled, Cause: CauseComplaint, Title: "Mornings that do not settle",
		When: "two mornings running after a run that were not settled, or the middle of a week up by 1 point or 5 min, with four mornings or more in both weeks",
		Rests: []Source{
			{"Silbernagel et al. 2001, Scand J Med Sci Sports 11:197", "the pain-monitoring model: pain and stiffness must not rise from week to week; value from memory"},
			{"project default", "no source: two mornings, one point, five minutes"},
		},
		Advice: [3]string{
			1: "less for the next runs, with a rest day more between them; tell your clinician",
		},
	},
	{
		ID: RuleRedFlag, Cause: CauseComplaint, Title: "A sign that is no matter of limits",
		When:  "somebody said yes to one of the signs under “Stop, and get help”; stop where a doctor must see it at once, caution where it is to be seen or a clinician leads; until it is lifted",
		Rests: []Source{{"red flags of guidelines", "each with its source on the page where it is asked; some are values from memory"}},
		Advice: [3]string{
			1: "have it seen as the sign says; until then nothing grows",
			2: "do not run; do what the sign says, today",
		},
	},
	{
		ID: RuleProgrammeBehind, Cause: CauseNone, Title: "Less than half of the programme",
		When:   "less than half of the prescribed sets and repetitions of seven days, in the mean over the exercises; not in days away or ill, and not while it is paused",
		Rests:  []Source{{"Musculoskelet Sci Pract 2025: 127 people, 12 weeks", "sets, repetitions and weight went with the outcome, how often did not; one trial"}},
		Advice: [3]string{"do less rather than nothing, and tell your clinician what is in the way"},
	},
	{
		ID: RuleOverPlan, Cause: CauseNone, Title: "A run that the way back did not have",
		When: "while a way back to running is planned: a run over the session cap of its day or the cap of its week, or on a day of rest",
		Rests: []Source{
			{"Sancho et al. 2019, Phys Ther Sport, 15 runners", "three had a setback, all of them from doing more than advised"},
			{"project default", "no source: it counts as a morning that was not settled at best, and three rest days follow"},
		},
		Advice: [3]string{1: "rest as the plan says now; the next run is shorter or later because of it"},
	},
	{
		ID: RuleData, Cause: CauseNone, Title: "Something in the data to look at",
		When: "device and track disagree about a distance by more than 3 %, a treadmill's distance is not confirmed, a typed run looks like a recorded one, " +
			"nothing is known of many days after weeks of regular running, a heart rate above the highest that is set, " +
			"or a heart rate for less than 90 % of a run",
		Rests:  []Source{{"project default", "no source needed"}},
		Advice: [3]string{"look at the run and correct it if it is wrong: the limits rest on it"},
	},
}

// RestsOn returns the sources of all rules that a finding's evidence is of, each once.
func (f *Finding) RestsOn() (sources []Source) {
	for _, e := range f.Evidence {
		for _, source := range FindRule(e.Rule).Rests {
			if !slices.Contains(sources, source) {
				sources = append(sources, source)
			}
		}
	}
	return sources
}

// FindRule returns the rule of an ID, and panics if there is none: rule names
// are written in code only.
func FindRule(id string) Rule {
	i := slices.IndexFunc(Rules, func(r Rule) bool { return r.ID == id })
	if i < 0 {
		panic("load: FindRule: no rule " + id)
	}
	return Rules[i]
}

// Medical reports whether findings of the rule tell what hurts or what is done for it, and
// so are not for everybody's eyes.
func (r *Rule) Medical() bool {
	return r.Cause == CauseComplaint || r.ID == RuleProgrammeBehind || r.ID == RuleOverPlan
}

// Medical reports whether a finding tells what hurts or what is done for it.
func (f *Finding) Medical() bool {
	rule := FindRule(f.Rule)
	return rule.Medical()
}
