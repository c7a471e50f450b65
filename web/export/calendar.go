package export

import (
	"fmt"
	"io"
	"strings"
	"time"

	ics "github.com/arran4/golang-ical"

	"tidemark/load"
)

// Event is one entry of a calendar: something that is planned on a day.
type Event struct {
	ID       string // the same whenever the calendar is written, so that a client moves it
	Day      load.Day
	At       time.Duration // after midnight where the runner is
	Length   time.Duration
	Title    string
	Text     string
	Revision int // rises whenever the plan has changed
}

// The times of a calendar without a zone: they are the local ones wherever it is read (RFC
// 5545 3.3.5, form 1), which is what "at seven" means to a runner who travels.
const floating = "20060102T150405"

// refresh is how often a client should fetch the calendar again (RFC 7986 5.7); project
// default.
const refresh = "PT6H"

// A carriage return has no escape of its own (RFC 5545 3.3.11), and a title is one line.
var (
	carriage = strings.NewReplacer("\r", "")
	oneLine  = strings.NewReplacer("\r", "", "\n", " ")
)

// Calendar writes events as an iCalendar file (RFC 5545) with a name; written is when.
func Calendar(w io.Writer, name string, events []Event, written load.Instant) error {
	c := ics.NewCalendarFor("tidemark")
	c.SetProductId("-//tidemark//tidemark//EN")
	c.SetMethod(ics.MethodPublish)
	c.SetName(name)
	c.SetXWRCalName(name)
	c.SetRefreshInterval(refresh)
	c.SetXPublishedTTL(refresh)
	for _, e := range events {
		v := c.AddEvent(e.ID)
		start := time.Unix(0, 0).UTC().AddDate(0, 0, int(e.Day)).Add(e.At)
		v.SetDtStampTime(written.Time())
		v.SetProperty(ics.ComponentPropertyDtStart, start.Format(floating))
		v.SetProperty(ics.ComponentPropertyDtEnd, start.Add(e.Length).Format(floating))
		v.SetSequence(e.Revision)
		v.SetSummary(oneLine.Replace(e.Title))
		if e.Text != "" {
			v.SetDescription(carriage.Replace(e.Text))
		}
		v.SetTimeTransparency(ics.TransparencyTransparent)
	}
	if err := c.SerializeTo(w, ics.WithNewLineWindows); err != nil {
		return fmt.Errorf("write calendar: %w", err)
	}
	return nil
}
