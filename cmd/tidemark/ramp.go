package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
	"tidemark/web/api/wire"
	"tidemark/web/words"
)

type rampCommand struct {
	Site          string   `placeholder:"SITE" help:"ach-mid, ach-ins, calf, patellar, plantar, shin or other. Without it the plan of the journal is shown."`
	Start         load.Day `placeholder:"YYYY-MM-DD" help:"First day of the plan; by default today."`
	Weeks         int      `default:"8" placeholder:"N" help:"How many weeks are shown."`
	Days          []string `placeholder:"mon,tue" help:"Days of the week that are free; by default all."`
	Past          []string `placeholder:"DATE=MIN" help:"Runs that were done, in minutes of running."`
	BasePain      float64  `placeholder:"SCORE" help:"The usual score in the morning, 0 to 10."`
	BaseStiffness *float64 `placeholder:"MIN" help:"The usual stiffness in the morning, in minutes."`
	GoalKM        float64  `name:"goal-km" placeholder:"KM" help:"The longest single run that is wanted."`
	Pace          string   `placeholder:"MIN:SEC" help:"The easy pace for a kilometre; needed with --goal-km."`
	By            load.Day `placeholder:"YYYY-MM-DD" help:"By when it is wanted."`
	BMI           float64  `name:"bmi" placeholder:"N" help:"Body mass index."`
	Novice        bool     `help:"Running for less than six months before."`
	Bone          bool     `help:"A bone hurts: no plan is made of it."`
	Ladder        string   `placeholder:"STAGES" help:"Stages of your own as 10x1:1,6x2:1 (times, minutes of running, of walking), or the name of a published ladder."`
	Mornings      string   `placeholder:"FILE" help:"What the mornings say, as a CSV: date,during,after,next,stiffness[,limp]; date is the day of the run."`
	Verify        string   `placeholder:"FILE" help:"Test a printed plan again; exit 1 and the rule that it breaks if it breaks one."`
}

func (*rampCommand) examples() string {
	return `  tidemark ramp                         # the plan of the journal
  tidemark ramp --site ach-mid --start 2026-03-02 --past 2026-02-26=10 --base-pain 1 --base-stiffness 5 --days mon,tue,thu,sat
  tidemark ramp --site shin --goal-km 10 --pace 6:30 --by 2026-09-01
  tidemark ramp --site ach-mid --json > plan.json; tidemark ramp --verify plan.json`
}

// Run prints a plan, or tests one.
func (c *rampCommand) Run(a *app) error {
	if c.Verify != "" {
		return c.verify(a)
	}
	if c.Site == "" {
		return c.kept(a)
	}
	in, err := c.inputs(a)
	if err != nil {
		return &failure{exitUse, fmt.Errorf("ramp: %w", err), ""}
	}
	plan := ramp.Make(in)
	if err := ramp.Verify(&plan); err != nil {
		return &failure{exitRefused, fmt.Errorf("ramp: the plan does not pass its own check, so it is not shown: %w", err), ""}
	}
	plan.Checked = true
	if today := load.DayOf(a.now()); in.Start < today && a.On == 0 || a.On > in.Start {
		plan.Reasons = append(plan.Reasons, "the start lies before today")
	}
	return a.tellRamp(&plan)
}

// kept shows the plan of the journal's runner.
func (c *rampCommand) kept(a *app) error {
	book, today, done, err := a.reading(false)
	if err != nil {
		return err
	}
	defer done()
	care, err := book.Care(a.ctx, today)
	if err != nil {
		return a.journalFailure(err)
	}
	switch r := care.Ramp; {
	case r == nil && len(care.Open(today)) == 0:
		return &failure{exitRefused, fmt.Errorf("ramp: %w", assess.ErrNothingHurts), "tidemark complaint add, or preview one: tidemark ramp --site ach-mid"}
	case r == nil:
		return &failure{exitRefused, errors.New("ramp: none is set"), "set one on the page of the way back, or preview one: tidemark ramp --site ach-mid"}
	case r.Refused != nil:
		return &failure{exitRefused, fmt.Errorf("ramp: %w", r.Refused), ""}
	default:
		return a.tellRamp(&r.Plan)
	}
}

// inputs reads the flags.
func (c *rampCommand) inputs(a *app) (in *ramp.Inputs, err error) {
	in = &ramp.Inputs{
		Site: rehab.Site(c.Site), Bone: c.Bone, Start: c.Start, Weeks: c.Weeks, Base: rehab.Baseline{Pain: c.BasePain},
		Goal: ramp.Goal{Km: c.GoalKM, By: c.By, IsBy: c.By != 0}, BMI: c.BMI, Novice: c.Novice,
	}
	if in.Start == 0 {
		if in.Start = a.On; in.Start == 0 {
			in.Start = load.DayOf(a.now())
		}
	}
	if c.BaseStiffness != nil {
		in.Base.Stiffness, in.Base.HasStiffness = *c.BaseStiffness, true
	}
	if in.Goal.Pace, err = readPace(c.Pace); err != nil {
		return nil, err
	}
	if in.Free, err = readFree(c.Days); err != nil {
		return nil, err
	}
	if in.Past, err = readPast(c.Past); err != nil {
		return nil, err
	}
	if in.Ladder, err = readLadder(c.Ladder); err != nil {
		return nil, err
	}
	if c.Mornings != "" {
		if in.Mornings, err = readRunMornings(c.Mornings); err != nil {
			return nil, err
		}
	}
	return in, in.Check()
}

// readPace reads minutes and seconds for a kilometre.
func readPace(text string) (pace float64, err error) {
	if text == "" {
		return 0, nil
	}
	min, sec, ok := strings.Cut(text, ":")
	m, err1 := strconv.Atoi(min)
	s, err2 := strconv.Atoi(sec)
	if !ok || err1 != nil || err2 != nil || m < 0 || s < 0 || s > 59 {
		return 0, fmt.Errorf("pace %.20q: want MIN:SEC, as 6:30", text)
	}
	return float64(m) + float64(s)/60, nil
}

func readFree(names []string) (free [7]bool, err error) {
	if len(names) == 0 {
		return [7]bool{true, true, true, true, true, true, true}, nil
	}
	for _, name := range names {
		day, ok := wire.Weekday(name)
		if !ok {
			return free, fmt.Errorf("day %.20q: want mon, tue, wed, thu, fri, sat or sun", name)
		}
		free[day] = true
	}
	return free, nil
}

func readPast(runs []string) (past []ramp.Past, err error) {
	for _, text := range runs {
		date, min, ok := strings.Cut(text, "=")
		day, err1 := load.ParseDay(strings.TrimSpace(date))
		m, err2 := strconv.ParseFloat(strings.TrimSpace(min), 64)
		if !ok || err1 != nil || err2 != nil {
			return nil, fmt.Errorf("past run %.40q: want DATE=MIN, as 2026-02-26=10", text)
		}
		past = append(past, ramp.Past{Day: day, Run: ramp.Minutes(m)})
	}
	return past, nil
}

// readLadder reads stages, or takes those of a published table; nil is the default.
func readLadder(text string) ([]ramp.Stage, error) {
	if text == "" {
		return nil, nil
	}
	if table, err := ramp.FindTable(text); err == nil {
		return table.Ladder(), nil
	}
	stages, err := ramp.ParseLadder(text)
	if err != nil {
		names := make([]string, 0, len(ramp.Tables))
		for _, t := range ramp.Tables {
			names = append(names, t.ID)
		}
		return nil, fmt.Errorf("ladder: %w; or one of %s", err, strings.Join(names, ", "))
	}
	return stages, nil
}

// verify tests a printed plan again.
func (c *rampCommand) verify(a *app) error {
	file, err := os.Open(c.Verify)
	if err != nil {
		return &failure{exitUse, fmt.Errorf("verify plan: %w", err), ""}
	}
	defer file.Close()
	var out wire.Ramp
	d := json.NewDecoder(io.LimitReader(file, mostPlanBytes))
	if err := d.Decode(&out); err != nil {
		return &failure{exitUse, fmt.Errorf("verify plan: read %s: %w", c.Verify, err), "tidemark ramp --json writes one"}
	}
	plan, err := out.Plan()
	if err != nil {
		return &failure{exitUse, fmt.Errorf("verify plan: %w", err), ""}
	}
	if err := ramp.Verify(&plan); err != nil {
		return &failure{exitRefused, err, ""}
	}
	if a.JSON {
		return a.writeJSON(map[string]bool{"checked": true})
	}
	fmt.Fprint(a.out, "The plan breaks no rule that is checked: spacing, stages, what is added after them, session and weekly caps, flares, what stands against days, the first week, free days, verdicts and sums.\n")
	return nil
}

// mostPlanBytes bounds what is read of a plan; two years are 300 kB.
const mostPlanBytes = 8 << 20

// tellRamp prints a plan.
func (a *app) tellRamp(p *ramp.Plan) error {
	if a.JSON {
		return a.writeJSON(wire.RampOf(p))
	}
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
	fmt.Fprintf(t, "day\twhat\tmin\tcap\tweek\tcap\tmorning\twhy\n")
	for i := range p.Days {
		d := &p.Days[i]
		what := words.Planned(d)
		total := ""
		if d.Kind == ramp.Run {
			total = strconv.FormatFloat(float64(d.Total), 'f', -1, 64)
		}
		fmt.Fprintf(t, "%s\t%s\t%s\t%.1f\t%.0f\t%.1f\t%s\t%s\n", d.Day.Noon().Format("Mon 2 Jan 2006"), what, total, float64(d.Session), float64(d.Week), float64(d.WeekCap), morningWord(p, d), d.Reason)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	for _, reason := range p.Reasons {
		fmt.Fprintln(a.out, wrap("- "+reason, 100, "  "))
	}
	fmt.Fprintln(a.out, words.FollowClinician)
	return nil
}

// morningWord is the verdict on a run, in brackets where it is only assumed.
func morningWord(p *ramp.Plan, d *ramp.Day) string {
	if d.Kind != ramp.Run {
		return ""
	}
	word := strings.ToLower(words.Verdict(d.Verdict))
	if !slices.ContainsFunc(p.Inputs.Mornings, func(m rehab.Morning) bool { return m.Day == d.Day+1 }) {
		word = "(" + word + ")"
	}
	return word
}
