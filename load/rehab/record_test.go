package rehab_test

import (
	"testing"

	"tidemark/load"
	"tidemark/load/rehab"
)

// TestRecord: a run that no morning answers is missing once the date has passed, of a
// closed complaint nothing is asked, and of several the worst counts.
func TestRecord(t *testing.T) {
	left := rehab.Complaint{ID: "left", Site: rehab.AchillesMid, Side: rehab.Left, Onset: monday, Steps: []rehab.Step{{monday, rehab.Open}, {monday + 7, rehab.Closed}, {monday + 14, rehab.Open}}}
	right := rehab.Complaint{ID: "right", Site: rehab.Calf, Side: rehab.Right, Onset: monday, Steps: []rehab.Step{{monday, rehab.Open}, {monday + 3, rehab.HandedOver}}}
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
	c := rehab.Complaint{ID: "c", Site: rehab.Calf, Side: rehab.Left, Onset: monday, Steps: []rehab.Step{{monday, rehab.Open}}}
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
