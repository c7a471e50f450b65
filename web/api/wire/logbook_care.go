package wire

import "tidemark/load"

// KeptComplaint is something that hurts and is followed, as it was opened.
type KeptComplaint struct {
	ID     string   `json:"id"`
	Site   string   `json:"site"`
	Side   string   `json:"side"`
	Onset  load.Day `json:"onset"`
	Bone   bool     `json:"bone"`
	Linked *string  `json:"linked"` // the same on the other side
}

// ComplaintStep is one change of a complaint's state.
type ComplaintStep struct {
	Complaint string    `json:"complaint"`
	Day       load.Day  `json:"day"`
	Status    string    `json:"status"`
	Onset     *load.Day `json:"onset"`  // of one that opens it again: when it began again
	Linked    *string   `json:"linked"` // and the same on the other side
	Why       string    `json:"why"`
	Said
}

// ComplaintBase is what is usual of a complaint, from a day on.
type ComplaintBase struct {
	Complaint string   `json:"complaint"`
	From      load.Day `json:"from"`
	Pain      *float64 `json:"pain"`
	Stiffness *float64 `json:"stiffness_min"`
	Said
}

// MorningEntry is one entry about a morning; of each part the last that says something
// stands.
type MorningEntry struct {
	Complaint string   `json:"complaint"`
	On        load.Day `json:"on"` // the waking date
	Before    *uint8   `json:"before"`
	During    *uint8   `json:"during"`
	After     *uint8   `json:"after"`
	Next      *uint8   `json:"next"`
	Stiffness *int     `json:"stiffness_min"`
	Limp      *bool    `json:"limp"`
	Entered   Moment   `json:"entered"`
	By        string   `json:"by"`
}

// RedFlag is what was said of a sign.
type RedFlag struct {
	Flag   string   `json:"flag"`
	Day    load.Day `json:"day"`
	Lifted bool     `json:"lifted"`
	Why    string   `json:"why"`
	Said
}

// Result is a result of a test, of each side or a total.
type Result struct {
	Test  string   `json:"test"`
	Day   load.Day `json:"day"`
	Left  *float64 `json:"left"`
	Right *float64 `json:"right"`
	Total *float64 `json:"total"`
	Note  string   `json:"note"`
	Said
}

// Prescription is a change of what is done for a complaint.
type Prescription struct {
	Complaint string   `json:"complaint"`
	Programme string   `json:"programme"`
	Started   load.Day `json:"started"`
	Phase     *int     `json:"phase"` // null: by the week
	State     string   `json:"state"`
	From      load.Day `json:"from"`
	Why       string   `json:"why"`
	Said
}

// Done is what was done of an exercise.
type Done struct {
	Complaint string   `json:"complaint"`
	Day       load.Day `json:"day"`
	Exercise  string   `json:"exercise"`
	Sets      int      `json:"sets"`
	Reps      int      `json:"reps"`
	Hold      int      `json:"hold_s"`
	Minutes   int      `json:"minutes"`
	Weight    float64  `json:"weight_kg"`
	Pain      *uint8   `json:"pain"`
	Note      string   `json:"note"`
	Said
}

// Routine is a programme of one's own.
type Routine struct {
	ID       string `json:"id"`
	Name     string `json:"name"`
	Site     string `json:"site"`
	MostPain int    `json:"most_pain"`
	Doses    []Dose `json:"doses"`
	Said
}

// Dose is one exercise of a routine.
type Dose struct {
	Exercise    string  `json:"exercise"`
	Sets        int     `json:"sets"`
	Reps        int     `json:"reps"`
	Hold        int     `json:"hold_s"`
	Minutes     int     `json:"minutes"`
	Weight      float64 `json:"weight_kg"`
	PerDay      int     `json:"per_day"`
	DaysPerWeek int     `json:"days_per_week"`
	MinHours    int     `json:"least_hours_between"`
	Side        string  `json:"side"`
	Note        string  `json:"note"`
}

// Order is what is allowed of a complaint in advance.
type Order struct {
	Complaint string   `json:"complaint"`
	Phase     int      `json:"phase"`
	Stage     int      `json:"stage"`
	Until     load.Day `json:"until"`
	Said
}

// Away is some days on which nobody asks for a programme.
type Away struct {
	First  load.Day `json:"first"`
	Last   load.Day `json:"last"`
	Reason *string  `json:"reason"` // null: taken back
	Said
}

// RampTerms is what was set of the way back to running.
type RampTerms struct {
	Start   load.Day  `json:"start"`
	Weeks   int       `json:"weeks"`
	Free    []string  `json:"free"` // days of the week, as mon
	GoalKm  *float64  `json:"goal_km"`
	Pace    *float64  `json:"pace_min_per_km"`
	GoalBy  *load.Day `json:"goal_by"`
	BMI     *float64  `json:"bmi"`
	Novice  bool      `json:"novice"`
	Ladder  *string   `json:"ladder"` // null: the default, or own
	Own     []string  `json:"own"`    // stages as 10x1:1
	First   *int      `json:"first_stage"`
	Confirm bool      `json:"confirm"`
	Roof    int       `json:"roof"`
	State   string    `json:"state"`
	Until   *load.Day `json:"until"`
	Why     string    `json:"why"`
	Said
}

// Gate is what was found of whether running can begin.
type Gate struct {
	Day         load.Day `json:"day"`
	DailyPain   *uint8   `json:"daily_pain"`
	Walk        *int     `json:"walk_min"`
	WalkSettled bool     `json:"walk_settled"`
	Raises      *int     `json:"raises"`
	Hops        *int     `json:"hops"`
	LoadPain    *uint8   `json:"load_pain"`
	Said
}

// Note is what somebody wrote to the runner, or of a visit.
type Note struct {
	Kind string    `json:"kind"`
	Day  load.Day  `json:"day"`
	Next *load.Day `json:"next"` // of the next visit
	Text string    `json:"text"`
	Said
}
