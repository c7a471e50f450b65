package wire

import (
	"tidemark/load"
	"tidemark/load/journal"
)

// Load is one runner's load over a span of days in one measure.
type Load struct {
	Runner   string       `json:"runner"`
	Measure  load.Measure `json:"measure"`
	Unit     string       `json:"unit"`
	AsOf     load.Day     `json:"as_of"`
	Days     []Day        `json:"days"`
	Sessions []Session    `json:"sessions"`
	Findings []Finding    `json:"findings"`
	Headroom *Headroom    `json:"headroom"`
	WhatIf   *WhatIf      `json:"what_if,omitempty"` // where it was asked
}

// Day is the windows of one day. Loads, sums and tidemarks are in the unit,
// chronic loads per seven days, averages per day.
type Day struct {
	Date  load.Day `json:"date"`
	Load  float64  `json:"load"`
	State string   `json:"state"`

	Acute            float64  `json:"acute"`
	AcuteMost        *float64 `json:"acute_most"` // if on each unknown day a long run was missed
	ChronicCoupled   *float64 `json:"chronic_coupled"`
	ChronicUncoupled *float64 `json:"chronic_uncoupled"`
	RatioCoupled     *float64 `json:"ratio_coupled"`
	RatioUncoupled   *float64 `json:"ratio_uncoupled"`
	EWMAAcute        *float64 `json:"ewma_acute"`
	EWMAChronic      *float64 `json:"ewma_chronic"`
	RatioEWMA        *float64 `json:"ratio_ewma"`
	WeekChange       *float64 `json:"week_change"`
	WeekChangeShare  *float64 `json:"week_change_share"`
	Monotony         *float64 `json:"monotony"`
	Strain           *float64 `json:"strain"`
	SDConvention     string   `json:"sd_convention"` // sample (n-1) or population (n)
	Tidemark         *float64 `json:"tidemark"`
	HeldTidemark     *float64 `json:"held_tidemark"`
	Spike            *float64 `json:"spike"`
	SpikeClass       *string  `json:"spike_class"`

	KnownDays7      int  `json:"known_days_7"`
	KnownDays28     int  `json:"known_days_28"`
	KnownDays30     int  `json:"known_days_30"` // of the 30 before this one
	AssumedDays28   int  `json:"assumed_days_28"`
	SpikeUpperBound bool `json:"spike_upper_bound"`
	Provisional     bool `json:"provisional"`
	Settling        bool `json:"settling"`

	Undefined map[string]string `json:"undefined"` // field to reason
}

// Session is one bout of running: sessions less than half an hour apart are one.
type Session struct {
	ID           string   `json:"id"`
	Day          load.Day `json:"day"`
	Start        string   `json:"start"`
	Load         *float64 `json:"load"` // null where it lacks the measure
	Tidemark     *float64 `json:"tidemark"`
	HeldTidemark *float64 `json:"held_tidemark"`
	Spike        *float64 `json:"spike"`
	SpikeClass   *string  `json:"spike_class"`
	LoadLow      *float64 `json:"load_low"` // the band of an estimate, null for what is none
	LoadHigh     *float64 `json:"load_high"`
	Race         bool     `json:"race"`
	UpperBound   bool     `json:"spike_upper_bound"`
	Provisional  bool     `json:"provisional"`
}

// Finding is one warning with its state.
type Finding struct {
	ID       string     `json:"id"`
	Rule     string     `json:"rule"`
	Level    load.Level `json:"level"`
	Subject  string     `json:"subject"`
	Day      load.Day   `json:"day"`
	LastDay  load.Day   `json:"last_day"`
	Value    float64    `json:"value"`
	Limit    float64    `json:"limit"`
	Unit     string     `json:"unit"`
	Evidence []Evidence `json:"evidence"`
	Advice   string     `json:"advice"`
	State    string     `json:"state"`
	By       *string    `json:"by"`
	Why      *string    `json:"why"`
}

// Evidence is one thing that a finding rests on.
type Evidence struct {
	Rule     string     `json:"rule"`
	Level    load.Level `json:"level"`
	Subject  string     `json:"subject"`
	Day      load.Day   `json:"day"`
	Value    float64    `json:"value"`
	Limit    float64    `json:"limit"`
	Unit     string     `json:"unit"`
	Text     string     `json:"text"`
	Source   string     `json:"source"`
	Strength string     `json:"strength"`
}

// Headroom is what the limits of a day still allow.
type Headroom struct {
	Measure load.Measure `json:"measure"`
	State   string       `json:"state"`
	Amount  *float64     `json:"amount"` // null on the day of a race
	Unit    string       `json:"unit"`
	Decides string       `json:"decides"`
	Usual   *float64     `json:"usual"`
	Race    *Race        `json:"race,omitempty"`
	Limits  []Limit      `json:"limits"`
}

// Race is a race that somebody accepted for the day.
type Race struct {
	Name       string   `json:"name"`
	DistanceKM *float64 `json:"distance_km"`
	SpikeClass *string  `json:"spike_class"`
	By         string   `json:"by"`
}

// WhatIf is what one imagined run would do: every limit before and after it, and the
// windows of the day with it.
type WhatIf struct {
	Runner         string       `json:"runner"`
	Day            load.Day     `json:"day"`
	Measure        load.Measure `json:"measure"`
	Amount         float64      `json:"amount"`
	Unit           string       `json:"unit"`
	State          string       `json:"state"`
	Over           []string     `json:"over"`
	Before         []Limit      `json:"before"`
	After          []Limit      `json:"after"`
	Tidemark       *float64     `json:"tidemark"`
	Spike          *float64     `json:"spike"`
	SpikeClass     *string      `json:"spike_class"`
	UpperBound     bool         `json:"spike_upper_bound"`
	Acute          float64      `json:"acute"`
	WeekChange     *float64     `json:"week_change"`
	RatioUncoupled *float64     `json:"ratio_uncoupled"`
	KnownDays28    int          `json:"known_days_28"`
	Provisional    bool         `json:"provisional"`
}

// FromWhatIf translates the answer about an imagined run of the runner with the name.
func FromWhatIf(runner string, w *load.WhatIf) *WhatIf {
	m := w.Headroom.Measure
	return &WhatIf{
		Runner: runner, Day: w.Headroom.Day, Measure: m, Amount: m.In(w.Amount), Unit: m.Unit(), State: string(w.Headroom.State),
		Over: append([]string{}, w.Over...), Before: fromLimits(m, w.Headroom.Limits), After: fromLimits(m, w.After.Limits),
		Tidemark: number(w.Session.Tidemark), Spike: number(w.Session.Spike), SpikeClass: text(w.Session.Class.String()),
		UpperBound: w.Session.UpperBound, Acute: w.Row.Acute, WeekChange: number(w.Row.WeekChange),
		RatioUncoupled: number(w.Row.RatioUncoupled), KnownDays28: w.Row.KnownDays28, Provisional: w.Row.Provisional,
	}
}

// Limit is one limit: its ceiling, what counts against it already, and what it
// still allows.
type Limit struct {
	Rule   string  `json:"rule"`
	Amount float64 `json:"amount"`
	Value  float64 `json:"value"`
	Limit  float64 `json:"limit"`
	Why    string  `json:"why"`
}

// FromPicture translates a picture of the runner with the name.
func FromPicture(runner string, p *journal.Picture) Load {
	out := Load{
		Runner: runner, Measure: p.Measure, Unit: p.Measure.Unit(), AsOf: p.Day,
		Days: []Day{}, Sessions: []Session{}, Findings: []Finding{},
	}
	for i := range p.Days {
		out.Days = append(out.Days, fromDay(&p.Days[i]))
	}
	for i := range p.Sessions {
		out.Sessions = append(out.Sessions, fromSession(p, &p.Sessions[i]))
	}
	for i := range p.Findings {
		out.Findings = append(out.Findings, fromFinding(&p.Findings[i], p.Names))
	}
	if p.Headroom != nil {
		out.Headroom = fromHeadroom(p.Headroom)
	}
	return out
}

func fromDay(row *load.DayRow) Day {
	undefined := make(map[string]string)
	field := func(name string, v load.Value) *float64 {
		if n, ok := v.Get(); ok {
			return &n
		}
		undefined[name] = v.Reason().String()
		return nil
	}
	return Day{
		Date: row.Date, Load: row.Load, State: row.State.String(), Acute: row.Acute,
		AcuteMost:        field("acute_most", row.AcuteMost),
		ChronicCoupled:   field("chronic_coupled", row.ChronicCoupled),
		ChronicUncoupled: field("chronic_uncoupled", row.ChronicUncoupled),
		RatioCoupled:     field("ratio_coupled", row.RatioCoupled),
		RatioUncoupled:   field("ratio_uncoupled", row.RatioUncoupled),
		EWMAAcute:        field("ewma_acute", row.EWMAAcute),
		EWMAChronic:      field("ewma_chronic", row.EWMAChronic),
		RatioEWMA:        field("ratio_ewma", row.RatioEWMA),
		WeekChange:       field("week_change", row.WeekChange),
		WeekChangeShare:  field("week_change_share", row.WeekChangeShare),
		Monotony:         field("monotony", row.Monotony),
		Strain:           field("strain", row.Strain),
		SDConvention:     deviation(row),
		Tidemark:         field("tidemark", row.Tidemark),
		HeldTidemark:     field("held_tidemark", row.HeldTidemark),
		Spike:            field("spike", row.Spike),
		SpikeClass:       text(row.Class.String()),
		KnownDays7:       row.KnownDays7, KnownDays28: row.KnownDays28, KnownDays30: row.KnownDays30, AssumedDays28: row.AssumedDays28,
		SpikeUpperBound: row.UpperBound, Provisional: row.Provisional, Settling: row.Settling,
		Undefined: undefined,
	}
}

func deviation(row *load.DayRow) string {
	if row.PopulationSD {
		return "population"
	}
	return "sample"
}

func fromSession(p *journal.Picture, row *load.SessionRow) Session {
	amount := load.Undefined(load.ReasonNotRecorded)
	if !row.Lacking {
		amount = load.Known(p.Measure.In(row.Load))
	}
	return Session{
		ID: row.ID, Day: row.Day, Start: Instant(row.Start, p.Offsets[row.ID]), Load: number(amount),
		Tidemark: number(row.Tidemark), HeldTidemark: number(row.HeldTidemark),
		Spike: number(row.Spike), SpikeClass: text(row.Class.String()), LoadLow: number(row.Low), LoadHigh: number(row.High),
		Race: row.Race, UpperBound: row.UpperBound, Provisional: row.Provisional,
	}
}

func fromFinding(f *journal.Finding, names map[journal.Person]string) Finding {
	out := Finding{
		ID: f.ID, Rule: f.Rule, Level: f.Level, Subject: f.Subject, Day: f.Day, LastDay: f.LastDay,
		Value: f.Value, Limit: f.Limit, Unit: f.Unit, Advice: f.Advice,
		State: string(f.State), By: text(names[f.By]), Why: text(f.Why), Evidence: []Evidence{},
	}
	for _, e := range f.Evidence {
		out.Evidence = append(out.Evidence, Evidence{
			Rule: e.Rule, Level: e.Level, Subject: e.Subject, Day: e.Day, Value: e.Value,
			Limit: e.Limit, Unit: e.Unit, Text: e.Text, Source: e.Source, Strength: e.Strength,
		})
	}
	return out
}

func fromHeadroom(room *load.Headroom) *Headroom {
	out := &Headroom{
		Measure: room.Measure, State: string(room.State), Unit: room.Measure.Unit(), Decides: room.Decides,
		Usual: number(room.Usual), Limits: fromLimits(room.Measure, room.Limits),
	}
	if room.State != load.RaceDay {
		amount := room.Measure.In(room.Amount)
		out.Amount = &amount
	}
	if r := room.Race; r != nil {
		out.Race = &Race{Name: r.Name, SpikeClass: text(room.RaceClass.String()), By: r.By}
		if km := load.Distance.In(r.Distance); r.Distance > 0 {
			out.Race.DistanceKM = &km
		}
	}
	return out
}

func fromLimits(m load.Measure, limits []load.Limit) []Limit {
	out := []Limit{}
	for _, l := range limits {
		out = append(out, Limit{Rule: l.Rule, Amount: m.In(l.Room()), Value: m.In(l.Value), Limit: m.In(l.Limit), Why: l.Why})
	}
	return out
}
