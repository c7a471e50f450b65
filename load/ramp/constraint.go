package ramp

// What the constraints and the table of adaptation ask for. Minutes are of running.
const (
	SessionDays          = 30   // C4: days before, whose longest run a session grows from
	SessionShare         = 0.10 // C4
	SessionLeast Minutes = 3    // C4: growth that is always allowed
	WeekDays             = 28   // C5: days before, whose best sum of seven days a week grows from
	WeekShare            = 0.30 // C5
	WeekLeast    Minutes = 10   // C5: growth that is always allowed

	DwellRuns    = 2 // C3: settled runs of a stage
	FrequentRuns = 4 // settled runs in a row that take a rest day from the gap

	FlaredGap    = 3  // C1: rest days before each of the runs after a flare
	FlaredRuns   = 2  // so many of them
	PauseFlares  = 2  // flares
	PauseWithin  = 14 // in so many days
	PauseDays    = 7  // make so many days without running
	EndFlares    = 3  // flares
	EndWithin    = 28 // in so many days end the plan
	FreezeMissed = 2  // missing mornings
	FreezeWithin = 7  // in so many days freeze the plan
	FreezeOnTime = 2  // until so many in a row were on time

	MedianDays              = 7   // of each of the two blocks of waking dates
	MedianLeast             = 4   // mornings in both
	MedianPain              = 1.0 // rise that holds
	MedianStiff             = 5.0 // min, rise that holds
	MedianHold              = 7   // days, at most
	MissedGoOn              = 3   // days late, up to which the plan goes on
	MissedRepeat            = 7   // up to which the stage is repeated
	MissedBackOne           = 14  // up to which it is one stage back
	MissedBackThree         = 28  // up to which it is three; beyond it a new test run is due
	DoneShare               = 0.9 // of the minutes that were due, from which a run that was done counts as one of the stage
	DoneOver        Minutes = 1   // over a cap, which a watch may measure differently
	StartDays               = 14  // before the start, whose longest run sets the first stage
	FirstWeekKm             = 3.0 // C10
	FirstWeekBMI            = 30.0
	paceUnsaid              = 6.0 // min per km, for C10 where no pace was said; quick, so that few minutes follow
	GrowthOther             = 0.70
	GrowthWeek              = 0.15
	GrowthEasy              = 0.75
	growthEvery             = 4 // weeks, of which the last is easy
	growthFrom              = 7 // days ago ended the youngest week that the growth of a week is held against
	growthTo                = 34
	AdditionDays            = 14 // at least with one addition before the next; rehab reference 5.3, project default
	AdditionRuns            = 2  // settled runs with it before the next; as C3
	AdditionFrom    Minutes = 30 // without a walk, run twice, before the first; C1, C7
	horizonWeeks            = 104
	MaxWeeks                = 104
	hair            Minutes = 1e-9 // sums of fractions meet their caps
)

// Constraint is one rule of the planner in words.
type Constraint struct {
	ID      string
	Rule    string
	Default string
	Source  string
	Status  string // where the value is from: read, value from memory, project default
}

// Constraints lists the rules (rehab reference 5.2). C2, C7, C8 and C9 are said to the
// runner; the days of a plan know minutes only.
var Constraints = []Constraint{
	{"C1", "rest days between runs", "by site 2, then 1 after four settled runs in a row, or 1; 3 before each of two runs after a flare; never 0 before 30 min continuous", "Silbernagel and Crossley 2015, J Orthop Sports Phys Ther 45:876; Trials 2023, doi 10.1186/s13063-023-07502-x", "first from memory, second read; four runs: project default"},
	{"C2", "one thing changes at a time", "frequency, then duration; once the goal has settled twice more run days, then strides, hills and speed, 14 days each at least, hills last where the ground comes last", "Green et al. 2022, George et al. 2024, Esculier", "read about; 14 days project default"},
	{"C3", "settled runs of each stage", "2", "Trials 2023, doi 10.1186/s13063-023-07502-x", "read"},
	{"C4", "longest run of a day", "longest of the last 30 days and 10 % more, or 3 min more if that is more", "Frandsen et al. 2025, Br J Sports Med 59:1203", "10 % read, of runners whom nothing hurt; 3 min project default"},
	{"C5", "running of seven days", "best seven days of the last 28 and 30 % more, or 10 min more if that is more", "Nielsen et al. 2014, J Orthop Sports Phys Ther 44:739", "project default; 30 % echoes the paper"},
	{"C6", "last week against the weeks before", "shown, blocks nothing", "Frandsen et al. 2025, Br J Sports Med 59:1203", "read"},
	{"C7", "effort", "at most 4 of 10 until two settled runs of 30 min continuous", "Trials 2023, doi 10.1186/s13063-023-07502-x; George et al. 2024", "read"},
	{"C8", "ground", "flat first; for the knee downhill and stairs last, for the heel bone uphill last", "Trials 2023; Esculier", "read about; uphill project default"},
	{"C9", "strength", "three times a week, 48 h apart, on days with a run after it", "Beyer et al. 2015; Green et al. 2022", "read about"},
	{"C10", "first week of a novice with a body mass index above 30", "at most 3 km of running", "Nielsen et al. 2014, Int J Sports Phys Ther 9:338", "read"},
	{"C11", "a goal that comes too early", "answered with the earliest date that the rules allow; nothing is squeezed", "project default", "project default"},
}
