package rehab_test

import (
	"testing"

	"tidemark/load"
	"tidemark/load/rehab"
)

// TestRecord: a run that no morning answers is missing once the date has passed, of a
// closed complaint nothing is asked, and of several the worst counts.
func TestRecord(t *testing.T) {
	left := rehab.Complaint{ID: "left", Site: rehab.AchillesMid, Side: rehab.Left, Onset: monday, Steps: []rehab.Step{{Day: monday, Status: rehab.Open}, {Day: monday + 7, Status: rehab.Closed}, {Day: monday + 14, Status: rehab.Open}}}
	right := rehab.Complaint{ID: "right", Site: rehab.Calf, Side: rehab.Right, Onset: monday, Steps: []rehab.Step{{Day: monday, Status: rehab.Open}, {Day: monday + 3, Status: rehab.HandedOver}}}
	everyOther := func(day load.Day) bool { return day%2 == monday%2 }
	mornings := []rehab.Morning{
		{Complaint: "left", Day: monday + 1, Next: score(1)},
		{Complaint: "right", Day: monday + 1, Next: score(9)},
		{Complaint: "left", Day: monday + 3, Next: score(1)},
	}
	today := monday + 6
	records := []rehab.Record{
		rehab.RecordOf(left, mornings, everyOther, today, rehab.DefaultZones),
		rehab.RecordOf(right, mornings, everyOther, today, rehab.DefaultZones),
	}
	for day, want := range map[load.Day]load.Verdict{
		monday:     load.Flared,  // 9 on the right
		monday + 2: load.Missing, // settled on the left, nothing said of the right
		monday + 4: load.Missing,
		monday + 6: load.NoVerdict, // today's run: tomorrow answers
	} {
		if got := rehab.Answer(records, day); got != want {
			t.Errorf("%v: %v, want %v", day, got, want)
		}
	}
	spans := left.Spans(monday + 20)
	if len(spans) != 2 || spans[0] != (load.DaySpan{First: monday, Last: monday + 6}) || spans[1] != (load.DaySpan{First: monday + 14, Last: monday + 20}) {
		t.Errorf("followed %v", spans)
	}
	if spans := right.Spans(monday + 5); len(spans) != 1 || spans[0].Last != monday+5 {
		t.Errorf("followed %v, want through the handing over", spans)
	}
}

func TestChecks(t *testing.T) {
	c := rehab.Complaint{ID: "c", Site: rehab.Calf, Side: rehab.Left, Onset: monday, Steps: []rehab.Step{{Day: monday, Status: rehab.Open}}}
	if err := c.Check(); err != nil {
		t.Errorf("refused: %v", err)
	}
	for name, edit := range map[string]func(*rehab.Complaint){
		"no such site":            func(c *rehab.Complaint) { c.Site = "knee" },
		"no side":                 func(c *rehab.Complaint) { c.Side = "both" },
		"closed before it began":  func(c *rehab.Complaint) { c.Steps = append(c.Steps, rehab.Step{Day: monday - 1, Status: rehab.Closed}) },
		"began after it was open": func(c *rehab.Complaint) { c.Onset = monday + 1 },
		"never opened":            func(c *rehab.Complaint) { c.Steps = nil },
		"usual score of 11":       func(c *rehab.Complaint) { c.Bases = []rehab.Base{{Pain: float(11)}} },
	} {
		bad := c
		bad.Steps = append([]rehab.Step{}, c.Steps...)
		edit(&bad)
		if bad.Check() == nil {
			t.Errorf("%s: taken", name)
		}
	}
	today := monday + 10
	for name, m := range map[string]rehab.Morning{
		"11":                     {Day: today, Next: score(11)},
		"tomorrow's score":       {Day: today + 1, Next: score(1)},
		"tomorrow's stiffness":   {Day: today + 1, Stiffness: minutes(1)},
		"the day after tomorrow": {Day: today + 2, During: score(1)},
		"a day of stiffness":     {Day: today, Next: score(1), Stiffness: minutes(601)},
		"nothing":                {Day: today},
	} {
		if m.Check(today) == nil {
			t.Errorf("%s: taken", name)
		}
	}
	early := rehab.Morning{Day: today + 1, During: score(2), After: score(1)}
	if err := early.Check(today); err != nil {
		t.Errorf("during and after of today's run: %v", err)
	}
}

// TestSaidLate: of each part the worst of what was said on time and later counts; what was
// said late alone locks and moves nothing on (model 7). Usual are 1 and 5 min.
func TestSaidLate(t *testing.T) {
	usual := rehab.Baseline{Pain: 1, Stiffness: 5, HasStiffness: true}
	limping := rehab.Morning{Limp: new(bool)}
	*limping.Limp = true
	for _, tt := range []struct {
		name         string
		onTime, late rehab.Morning
		want         load.Verdict
		advances     bool
		marked       bool
	}{
		{"nothing late", *said(1, 1, 1, 5), rehab.Morning{}, load.Settled, true, false},
		{"7 taken back", *said(1, 1, 7, 5), *said(-1, -1, 1, -1), load.Flared, false, false},
		{"8 during taken back", *said(8, 1, 1, 5), *said(2, -1, -1, -1), load.Flared, false, false},
		{"1 made 4", *said(1, 1, 1, 5), *said(-1, -1, 4, -1), load.Flared, false, true},
		{"stiff 5 made 30", *said(1, 1, 1, 5), *said(-1, -1, -1, 30), load.Flared, false, true},
		{"limped after all", *said(1, 1, 1, 5), limping, load.Flared, false, false},
		{"the rest late", *said(-1, -1, 1, -1), *said(1, 1, -1, 5), load.Settled, false, true},
		{"only an hour after late", *said(1, -1, 1, 5), *said(-1, 1, -1, -1), load.Settled, false, true},
		{"only stiffness late", *said(1, 1, 1, -1), *said(-1, -1, -1, 5), load.Settled, false, true},
		{"3 during, late", *said(-1, 1, 1, 5), *said(3, -1, -1, -1), load.Unsettled, false, true},
		{"a good score late", *said(1, 1, -1, 5), *said(-1, -1, 1, -1), load.Missing, false, true},
		{"a bad score late", *said(1, 1, -1, 5), *said(-1, -1, 2, -1), load.Unsettled, false, true},
	} {
		m := tt.onTime.WithLate(&tt.late)
		j := rehab.Judge(&m, usual, true, false, rehab.DefaultZones)
		if j.Verdict != tt.want || j.Advances != tt.advances || m.SaidLate() != tt.marked {
			t.Errorf("%s: %+v, marked %v; want %v, advances %v, marked %v", tt.name, j, m.SaidLate(), tt.want, tt.advances, tt.marked)
		}
	}
}

// TestLateBaseline: what is usual comes of what was said on time. 1, 1, 1, each made 5 later,
// stay 1, and so does the middle of the week.
func TestLateBaseline(t *testing.T) {
	c := rehab.Complaint{ID: "c", Site: rehab.Calf, Side: rehab.Left, Onset: monday, Steps: []rehab.Step{{Day: monday, Status: rehab.Open}}}
	var mornings []rehab.Morning
	for day := range load.Day(3) {
		m := said(-1, -1, 1, 5).WithLate(said(-1, -1, 5, 60))
		m.Day = monday + day
		mornings = append(mornings, m)
	}
	r := rehab.RecordOf(c, mornings, func(load.Day) bool { return false }, monday+2, rehab.DefaultZones)
	last := r.Mornings[2]
	if last.Base != (rehab.Baseline{Pain: 1, Stiffness: 5, HasStiffness: true}) || *last.Next != 5 || last.Judgement.Verdict != load.Flared {
		t.Errorf("%+v, want a usual 1 and 5 min, and a flare", last)
	}
	if w := r.Week(monday + 2); w.Pain != 1 || w.Stiffness != 5 {
		t.Errorf("the week is %+v, want 1 and 5 min", w)
	}
}

// TestEarly: a flare of the run itself stands as soon as it is said, of yesterday's run and of
// today's; anything else waits for the morning.
func TestEarly(t *testing.T) {
	c := rehab.Complaint{ID: "c", Site: rehab.Calf, Side: rehab.Left, Onset: monday, Steps: []rehab.Step{{Day: monday, Status: rehab.Open}}}
	limped := true
	verdict := func(m rehab.Morning, today load.Day, ran bool) (load.Verdict, bool) {
		m.Complaint, m.Day = "c", monday+2
		r := rehab.RecordOf(c, []rehab.Morning{m}, func(day load.Day) bool { return ran && day == monday+1 }, today, rehab.DefaultZones)
		if len(r.Mornings) == 0 {
			return load.NoVerdict, false
		}
		return r.Mornings[0].Judgement.Verdict, r.Mornings[0].Early
	}
	for _, tt := range []struct {
		name  string
		m     rehab.Morning
		today load.Day
		ran   bool
		want  load.Verdict
		early bool
	}{
		{"9 in today's run", *said(9, -1, -1, -1), monday + 1, true, load.Flared, true},
		{"limping in it", rehab.Morning{Limp: &limped}, monday + 1, true, load.Flared, true},
		{"3 in it", *said(3, -1, -1, -1), monday + 1, true, load.NoVerdict, false},
		{"9 of yesterday's run", *said(9, -1, -1, -1), monday + 2, true, load.Flared, false},
		{"3 of yesterday's run", *said(3, -1, -1, -1), monday + 2, true, load.NoVerdict, false},
		{"9 without a run", *said(9, -1, -1, -1), monday + 1, false, load.NoVerdict, false},
		{"the morning of tomorrow, seen from today", *said(1, 1, 9, 90), monday + 1, true, load.NoVerdict, false},
		{"two days ahead", *said(9, -1, -1, -1), monday, true, load.NoVerdict, false},
	} {
		if got, early := verdict(tt.m, tt.today, tt.ran); got != tt.want || early != tt.early {
			t.Errorf("%s: %v, early %v; want %v, %v", tt.name, got, early, tt.want, tt.early)
		}
	}
}
