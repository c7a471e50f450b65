package main

import (
	"fmt"
	"text/tabwriter"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/web/words"
)

type evidenceCommand struct{}

func (*evidenceCommand) examples() string {
	return "  tidemark evidence\n  tidemark evidence --json | jq '.by_spike'"
}

// evidenceOut is the JSON of the command.
type evidenceOut struct {
	Runner        string      `json:"runner"`
	First         *load.Day   `json:"first"`
	Last          *load.Day   `json:"last"`
	PersonDays    int         `json:"person_days"`
	LeftOut       int         `json:"left_out"`
	BySpike       []countLine `json:"by_spike"`
	ByRatio       []countLine `json:"by_ratio_uncoupled"`
	OnsetsBySpike []onsetLine `json:"complaints_by_spike"`
	OnsetsByRatio []onsetLine `json:"complaints_by_ratio_uncoupled"`
	CannotShow    []string    `json:"cannot_show"`
}

// onsetLine is how many complaints began on the days of one class, per 1000 person-days.
type onsetLine struct {
	Class      string  `json:"class"`
	Days       int     `json:"days"`
	Complaints int     `json:"complaints"`
	Rate       float64 `json:"per_1000_days"`
	Low        float64 `json:"low"`
	High       float64 `json:"high"`
}

// countLine is one class of days, its rates per 100 person-days with their exact 95 %
// interval.
type countLine struct {
	Class string  `json:"class"`
	Days  int     `json:"days"`
	Rate  float64 `json:"per_100_days"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// Run counts the days of one runner's logbook.
func (*evidenceCommand) Run(a *app) error {
	book, today, done, err := a.reading(false)
	if err != nil {
		return err
	}
	defer done()
	runner, err := book.Runner(a.ctx)
	if err != nil {
		return a.journalFailure(err)
	}
	in, err := book.Input(a.ctx, today)
	if err != nil {
		return a.journalFailure(err)
	}
	complaints, err := book.Complaints(a.ctx)
	if err != nil {
		return a.journalFailure(err)
	}
	e := assess.EvidenceOf(in, complaints)
	if a.JSON {
		out := evidenceOut{
			Runner: runner.Name, PersonDays: e.PersonDays, LeftOut: e.LeftOut,
			BySpike: countLines(e.BySpike), ByRatio: countLines(e.ByRatio),
			OnsetsBySpike: onsetLines(e.OnsetsBySpike), OnsetsByRatio: onsetLines(e.OnsetsByRatio), CannotShow: assess.CannotShow,
		}
		if e.BySpike != nil {
			out.First, out.Last = &e.First, &e.Last
		}
		return a.writeJSON(out)
	}
	tellEvidence(a, runner.Name, &e)
	return nil
}

func countLines(counts []assess.Count) []countLine {
	lines := []countLine{}
	for _, c := range counts {
		lines = append(lines, countLine(c))
	}
	return lines
}

func onsetLines(onsets []assess.Onsets) []onsetLine {
	lines := []onsetLine{}
	for _, o := range onsets {
		lines = append(lines, onsetLine(o))
	}
	return lines
}

func tellEvidence(a *app, name string, e *assess.Evidence) {
	if e.BySpike == nil {
		fmt.Fprintf(a.out, "%s has no run in the logbook: there is nothing to count.\n", name)
		return
	}
	fmt.Fprintf(a.out, "%s, %s to %s: %s; %s left out, unknown or among the first 30.\n",
		name, words.Day(e.First), words.Day(e.Last), words.Plural(e.PersonDays, "person-day"), words.Plural(e.LeftOut, "day"))
	tellCounts(a, "Days by the worst run against the longest of the 30 days before (classes of Frandsen et al. 2025)", e.BySpike)
	tellCounts(a, "Days by the ratio of seven days to the mean of the three weeks before (bounds from team sports, no limits here)", e.ByRatio)
	if e.OnsetsBySpike != nil {
		tellOnsets(a, "Complaints that began, by the worst run of the three days up to it", e.OnsetsBySpike)
		tellOnsets(a, "Complaints that began, by the ratio of the day", e.OnsetsByRatio)
	}
	fmt.Fprintln(a.out, "\nWhat these counts cannot show")
	for _, text := range assess.CannotShow {
		fmt.Fprintln(a.out, wrap("- "+text, 78, "  "))
	}
}

func tellCounts(a *app, heading string, counts []assess.Count) {
	fmt.Fprintf(a.out, "\n%s\n", wrap(heading, 78, ""))
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(t, "  class\tdays\tper 100 days\texact 95 %% interval\t\n")
	for _, c := range counts {
		fmt.Fprintf(t, "  %s\t%d\t%.1f\t%.1f to %.1f\t\n", c.Class, c.Days, c.Rate, c.Low, c.High)
	}
	_ = t.Flush()
}

func tellOnsets(a *app, heading string, onsets []assess.Onsets) {
	fmt.Fprintf(a.out, "\n%s\n", wrap(heading, 78, ""))
	t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintf(t, "  class\tdays\tbegan\tper 1000 days\texact 95 %% interval\t\n")
	for _, o := range onsets {
		if o.Days == 0 {
			fmt.Fprintf(t, "  %s\t0\t0\t\t\t\n", o.Class)
			continue
		}
		fmt.Fprintf(t, "  %s\t%d\t%d\t%.1f\t%.1f to %.1f\t\n", o.Class, o.Days, o.Complaints, o.Rate, o.Low, o.High)
	}
	_ = t.Flush()
}
