package main

import (
	"fmt"
	"text/tabwriter"

	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/web/api/wire"
	"tidemark/web/words"
)

type evidenceCommand struct {
	Everyone bool `help:"Of all runners of the journal together."`
}

func (*evidenceCommand) examples() string {
	return "  tidemark evidence\n  tidemark evidence --json | jq '.by_spike'"
}

// Run counts the days of one runner's logbook, or of all.
func (c *evidenceCommand) Run(a *app) error {
	if c.Everyone {
		return c.everyone(a)
	}
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
		return a.writeJSON(wire.FromEvidence(runner.Name, &e))
	}
	tellEvidence(a, runner.Name, &e)
	tellCannotShow(a, assess.CannotShow)
	return nil
}

// everyone counts the days of all logbooks together.
func (*evidenceCommand) everyone(a *app) error {
	j, err := a.open(false)
	if err != nil {
		return err
	}
	defer j.Close()
	e, n, err := j.Evidence(a.ctx, journal.Local, a.On)
	if err != nil {
		return a.journalFailure(err)
	}
	if a.JSON {
		return a.writeJSON(wire.FromPooled(&e, n))
	}
	tellEvidence(a, words.Plural(n, "runner"), &e)
	tellCannotShow(a, assess.CannotShowPooled())
	return nil
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
}

func tellCannotShow(a *app, texts []string) {
	fmt.Fprintln(a.out, "\nWhat these counts cannot show")
	for _, text := range texts {
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
