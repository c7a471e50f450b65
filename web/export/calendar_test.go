package export_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/apognu/gocal"

	"tidemark/load"
	"tidemark/web/export"
)

// TestCalendar: another reader finds the events with their days, times and texts; what a
// name or a text holds breaks no line (RFC 5545 3.1, 3.3.11).
func TestCalendar(t *testing.T) {
	day := load.Date(2026, time.March, 2)
	events := []export.Event{
		{ID: "ramp-2026-03-02@a", Day: day, At: 7 * time.Hour, Length: 19 * time.Minute, Title: "Run 10 × 1 min, walk 1 min", Text: "10 min of running; flat, easy\nthen the exercises", Revision: 3},
		{ID: "ramp-2026-03-05@a", Day: day + 3, At: 7*time.Hour + 30*time.Minute, Length: 30 * time.Minute, Title: strings.Repeat("läng", 40) + ", \\ ;\r\nBEGIN:VEVENT"},
	}
	var b bytes.Buffer
	if err := export.Calendar(&b, "Runs of Zoë", events, load.InstantOf(day.Noon())); err != nil {
		t.Fatal(err)
	}
	for i, line := range strings.Split(strings.TrimSuffix(b.String(), "\r\n"), "\r\n") {
		if len(line) > 75 || strings.ContainsAny(line, "\r\n") {
			t.Errorf("line %d: %d bytes: %q", i+1, len(line), line)
		}
	}
	for _, want := range []string{"VERSION:2.0", "METHOD:PUBLISH", "DTSTART:20260302T070000", "DTEND:20260302T071900", "SEQUENCE:3", "DTSTAMP:20260302T120000Z", "REFRESH-INTERVAL;VALUE=DURATION:PT6H"} {
		if !strings.Contains(b.String(), want+"\r\n") {
			t.Errorf("no line %q in\n%s", want, b.String())
		}
	}
	from, to := day.Noon().AddDate(0, 0, -2), day.Noon().AddDate(0, 0, 20)
	c := gocal.NewParser(&b)
	c.Start, c.End = &from, &to
	if err := c.Parse(); err != nil {
		t.Fatal(err)
	}
	if len(c.Events) != 2 {
		t.Fatalf("%d events, want 2", len(c.Events))
	}
	first := c.Events[0]
	if first.Uid != events[0].ID || first.Summary != events[0].Title || first.Sequence != 3 || first.Start.Format("2006-01-02 15:04") != "2026-03-02 07:00" || first.End.Sub(*first.Start) != 19*time.Minute {
		t.Errorf("read %+v", first)
	}
	if !strings.Contains(first.Description, "then the exercises") {
		t.Errorf("text %q", first.Description)
	}
}
