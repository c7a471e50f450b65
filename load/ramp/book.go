package ramp

import (
	"math"
	"slices"
	"strconv"

	"tidemark/load"
)

// lead is how many days before the start are kept: the last week that is looked at ended
// growthTo days ago and has seven.
const lead = growthTo + 6

// book keeps what was run, day by day, from lead days before the start.
type book struct {
	origin  load.Day
	run     []Minutes // of the day
	longest []Minutes // single run of the day
	sum     []Minutes // of the seven days that end with it
	base    Minutes   // sum of the week before the start: one of the sums for good
}

func newBook(start load.Day, days int) book {
	n := lead + days
	all := make([]Minutes, 3*n)
	return book{origin: start - lead, run: all[:n:n], longest: all[n : 2*n : 2*n], sum: all[2*n:]}
}

func (b *book) at(d load.Day) int { return int(d - b.origin) }

// add enters a run. Days outside the book are passed over.
func (b *book) add(d load.Day, run Minutes) {
	i := b.at(d)
	if i < 0 || i >= len(b.run) {
		return
	}
	b.run[i] += run
	b.longest[i] = max(b.longest[i], run)
	for j := i; j < min(i+7, len(b.sum)); j++ {
		b.sum[j] += run
	}
}

// session returns the session cap of a day (C4).
func (b *book) session(d load.Day) Minutes {
	return grownBy(b.longestBefore(d))
}

func (b *book) longestBefore(d load.Day) Minutes {
	i := b.at(d)
	return slices.Max(b.longest[i-SessionDays : i])
}

// grownBy is a run with what C4 lets it grow by.
func grownBy(run Minutes) Minutes {
	return run + max(SessionLeast, Minutes(SessionShare*float64(run)))
}

// week returns the weekly cap of a day (C5).
func (b *book) week(d load.Day) Minutes {
	i := b.at(d)
	best := max(b.base, slices.Max(b.sum[i-WeekDays:i]))
	return best + max(WeekLeast, Minutes(WeekShare*float64(best)))
}

// level returns what the week of a day may come to without growth: the best of C5, and at
// least the longest run of C4.
func (b *book) level(d load.Day) Minutes {
	i := b.at(d)
	return max(b.base, slices.Max(b.sum[i-WeekDays:i]), b.longestBefore(d))
}

// growth returns what the week may come to after the ladder (model 9).
func (b *book) growth(d load.Day) Minutes {
	i := b.at(d)
	best := slices.Max(b.sum[i-growthTo : i-growthFrom+1])
	return best + Minutes(GrowthWeek*float64(best))
}

// wholeMinutes rounds minutes down to a whole one.
func wholeMinutes(m Minutes) Minutes { return Minutes(math.Floor(float64(m + hair))) }

// inWords is minutes with up to two decimals.
func inWords(m Minutes) string {
	return strconv.FormatFloat(math.Round(float64(m)*100)/100, 'f', -1, 64)
}
