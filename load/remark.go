package load

import "fmt"

// dataRemarks lists what the runner should look at.
func (h *History) dataRemarks() (found []Trigger) {
	if h.measure == Distance {
		for _, s := range h.book.sessions {
			if s.Sport != Running || s.Excluded {
				continue
			}
			if text, limit := h.remark(s); text != "" {
				found = append(found, dataTrigger(s.Day, s.ID, text, float64(s.Distance)/1000, float64(limit)/1000, Distance.Unit()))
			}
		}
	}
	found = append(found, h.missedRecordings()...)
	return append(found, h.heartRemarks()...)
}

func dataTrigger(day Day, subject, text string, value, limit float64, unit string) Trigger {
	e := evidence(RuleData, day, subject, Remark)
	e.Text, e.Value, e.Limit, e.Unit = text, value, limit, unit
	return Trigger{e, day}
}

// remark says what is odd about a run, and what its distance disagrees with.
func (h *History) remark(s *Session) (text string, limit Metres) {
	doubled := h.book.doubles[s.ID] != ""
	switch {
	case s.NoStart && doubled:
		return "typed without a time of day and within 10 % of a recorded run of that day: kept, not counted", 0
	case doubled:
		return "", 0
	case s.Surface == Treadmill && s.DistanceSource != DistanceTyped:
		return "a treadmill run: the watch only estimates its distance, which counts in sums and sets no tidemark until it is confirmed", 0
	case s.Notes.Has(NoteDistance) && s.DistanceSource != DistanceTyped:
		return fmt.Sprintf("the device says %.2f km, its track %.2f km", float64(s.DeviceDistance)/1000, float64(s.TrackDistance)/1000), s.TrackDistance
	}
	return "", 0
}

// regularRuns is how many days of the four weeks before a gap must have a run for the
// gap to be a likely missed recording: two a week, project default.
const regularRuns = 8

// missedRecordings finds the spans of which nothing is known after weeks of regular
// running. An answer about the span takes the finding back.
func (h *History) missedRecordings() (found []Trigger) {
	for _, gap := range h.Gaps() {
		ran := 0
		for day := max(h.first, gap.First-chronicDays); day < gap.First; day++ {
			ran += flag(h.days[day-h.first].runs > 0)
		}
		if ran < regularRuns {
			continue
		}
		days := float64(gap.Last-gap.First) + 1
		t := dataTrigger(gap.First, gap.First.String(),
			fmt.Sprintf("no record from %s to %s, after %d days with a run in the four weeks before: a recording may be missing", gap.First.Spoken(), gap.Last.Spoken(), ran),
			days, h.in.Settings.on(gap.Last).AssumedRestDays, "days")
		t.LastDay = gap.Last
		found = append(found, t)
	}
	return found
}

// The subjects of remarks on heart rates.
const (
	subjectHeartMax      = "heart-max-%.0f"  // and the highest rate as it is set
	subjectHeartCoverage = "heart-coverage-" // and the first day
)

// heartRemarks finds a highest heart rate that a recording has proved too low, each
// time by more, and spells of recordings with too little of it.
func (h *History) heartRemarks() (found []Trigger) {
	passed, spell, held := BPM(0), -1, 0.0
	for _, s := range h.runs {
		set := h.in.Settings.on(s.Day)
		most, ok := set.HeartMax(s.Day)
		if !ok || s.HeartMean == 0 {
			continue
		}
		if most.BPM != held {
			held, passed = most.BPM, 0
		}
		if s.HeartPeak > passed && float64(s.HeartPeak) > most.BPM {
			passed = s.HeartPeak
			estimated := ""
			if !most.Measured {
				estimated = " by the estimate"
			}
			found = append(found, dataTrigger(s.Day, fmt.Sprintf(subjectHeartMax, most.BPM),
				fmt.Sprintf("%d bpm were held for 10 s: the highest heart rate, %.0f bpm%s, is too low, and so the load by heart rate too high", s.HeartPeak, most.BPM, estimated),
				float64(s.HeartPeak), most.BPM, "bpm"))
		}
		if covered := s.HeartCoverage(); covered < fullCoverage {
			if spell >= 0 && s.Day-found[spell].LastDay <= QuietDays {
				found[spell].LastDay = max(found[spell].LastDay, s.Day)
				continue
			}
			spell = len(found)
			found = append(found, dataTrigger(s.Day, subjectHeartCoverage+s.Day.String(),
				fmt.Sprintf("a heart rate for %.0f %% of the moving time: the load by heart rate is a lower bound", 100*covered),
				100*covered, 100*fullCoverage, "%"))
		}
	}
	return found
}
