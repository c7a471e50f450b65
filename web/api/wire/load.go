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
}

// Day is the windows of one day. Loads, sums and tidemarks are in the unit,
// chronic loads per seven days, averages per day.
type Day struct {
	Date  load.Day `json:"date"`
	Load  float64  `json:"load"`
	State string   `json:"state"`

	Acute            float64  `json:"acute"`
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
	Tidemark         *float64 `json:"tidemark"`
	HeldTidemark     *float64 `json:"held_tidemark"`
	Spike            *float64 `json:"spike"`
	SpikeClass       *string  `json:"spike_class"`

	KnownDays28   int  `json:"known_days_28"`
	AssumedDays28 int  `json:"assumed_days_28"`
	Provisional   bool `json:"provisional"`
	Settling      bool `json:"settling"`

	Undefined map[string]string `json:"undefined"` // field to reason
}

// Session is one bout of running: sessions less than half an hour apart are one.
type Session struct {
	ID           string   `json:"id"`
	Day          load.Day `json:"day"`
	Start        string   `json:"start"`
	Load         float64  `json:"load"`
	Tidemark     *float64 `json:"tidemark"`
	HeldTidemark *float64 `json:"held_tidemark"`
	Spike        *float64 `json:"spike"`
	SpikeClass   *string  `json:"spike_class"`
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
	Amount  float64      `json:"amount"`
	Unit    string       `json:"unit"`
	Decides string       `json:"decides"`
	Usual   *float64     `json:"usual"`
	Limits  []Limit      `json:"limits"`
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
		out.Findings = append(out.Findings, fromFinding(&p.Findings[i]))
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
		Tidemark:         field("tidemark", row.Tidemark),
		HeldTidemark:     field("held_tidemark", row.HeldTidemark),
		Spike:            field("spike", row.Spike),
		SpikeClass:       text(row.Class.String()),
		KnownDays28:      row.KnownDays28, AssumedDays28: row.AssumedDays28,
		Provisional: row.Provisional, Settling: row.Settling,
		Undefined: undefined,
	}
}

func fromSession(p *journal.Picture, row *load.SessionRow) Session {
	return Session{
		ID: row.ID, Day: row.Day, Start: Instant(row.Start, p.Offsets[row.ID]), Load: p.Measure.In(row.Load),
		Tidemark: number(row.Tidemark), HeldTidemark: number(row.HeldTidemark),
		Spike: number(row.Spike), SpikeClass: text(row.Class.String()), Provisional: row.Provisional,
	}
}

func fromFinding(f *journal.Finding) Finding {
	out := Finding{
		ID: f.ID, Rule: f.Rule, Level: f.Level, Subject: f.Subject, Day: f.Day, LastDay: f.LastDay,
		Value: f.Value, Limit: f.Limit, Unit: f.Unit, Advice: f.Advice,
		State: string(f.State), By: text(string(f.By)), Why: text(f.Why), Evidence: []Evidence{},
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
		Measure: room.Measure, State: string(room.State), Amount: room.Measure.In(room.Amount),
		Unit: room.Measure.Unit(), Decides: room.Decides, Usual: number(room.Usual), Limits: []Limit{},
	}
	for _, l := range room.Limits {
		out.Limits = append(out.Limits, Limit{
			Rule: l.Rule, Amount: room.Measure.In(l.Room()), Value: room.Measure.In(l.Value),
			Limit: room.Measure.In(l.Limit), Why: l.Why,
		})
	}
	return out
}
