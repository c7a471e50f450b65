package web

import (
	"fmt"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// causeCard is what lay in the three days before a flare, for who looks for its cause.
type causeCard struct {
	Name    string
	Morning load.Day
	New     []string // what was new
	Rest    []string // what else there was
}

// causeShown is for how many days after a flare its card is shown on the page of mornings;
// project default, as long as two flares count together.
const causeShown = 14

// causes are the cards of the flares of the last days.
func causes(care *assess.Care, p *assess.Picture, today load.Day, days int) (cards []causeCard) {
	for _, r := range care.Open(today) {
		morning, ok := assess.LastFlare(r, today, days)
		if !ok {
			continue
		}
		cause := care.CauseOf(r, p, morning)
		cards = append(cards, causeCardOf(complaintName(&r.Complaint), &cause, p.Measure))
	}
	return cards
}

func causeCardOf(name string, c *assess.Cause, m load.Measure) causeCard {
	card := causeCard{Name: name, Morning: c.Morning}
	for _, e := range c.New {
		card.New = append(card.New, words.Weekday(e.Day)+": "+e.Text)
	}
	for _, l := range c.Longer {
		card.New = append(card.New, fmt.Sprintf("%s: %s, and at most %s in the two weeks before", words.Weekday(l.Day), words.Amount(m, l.Load), words.Amount(m, l.Before)))
	}
	for _, s := range c.Set {
		card.New = append(card.New, fmt.Sprintf("%s: another programme or phase began", words.Weekday(s.From)))
	}
	for _, s := range c.Moved {
		card.New = append(card.New, fmt.Sprintf("%s: the programme went to phase %d, because %s", words.Weekday(s.Day), s.Phase, s.Why))
	}
	for _, row := range c.Runs {
		card.Rest = append(card.Rest, words.Weekday(row.Day)+": ran "+words.Amount(m, row.Load))
	}
	card.Rest = append(card.Rest, exercisesOf(c.Done)...)
	return card
}

// exercisesOf tells a day's exercises in a line, with the worst pain in them.
func exercisesOf(done []rehab.Done) (lines []string) {
	for i := 0; i < len(done); {
		day, n, worst := done[i].Day, 0, -1
		for ; i < len(done) && done[i].Day == day; i++ {
			n++
			if done[i].Pain != nil {
				worst = max(worst, int(*done[i].Pain))
			}
		}
		line := words.Weekday(day) + ": " + words.Plural(n, "exercise")
		if worst >= 0 {
			line += fmt.Sprintf(", at worst %d of 10", worst)
		}
		lines = append(lines, line)
	}
	return lines
}
