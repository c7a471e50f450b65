package mornings_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"tidemark/ingest/mornings"
	"tidemark/load"
)

const header = "complaint,on,before,during,after,next,stiffness,limp,entered\n"

// now is the morning of the last day that the files tell of.
var now = load.InstantOf(time.Date(2026, time.March, 6, 9, 30, 0, 0, time.UTC))

func TestDecode(t *testing.T) {
	oslo, err := time.LoadLocation("Europe/Oslo")
	if err != nil {
		t.Fatal(err)
	}
	rows, err := mornings.Decode([]byte("\ufeffOn;complaint;next;stiffness;entered\n2026-03-03;ach-mid:left;2;10;\n\n2026-03-04;ach-mid:left;1;;2026-03-06T09:00:00+01:00\n"), oslo, now, mornings.DefaultLimits)
	if err != nil || len(rows) != 2 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	first, second := rows[0], rows[1]
	if first.Complaint != "ach-mid:left" || first.Day != load.Date(2026, 3, 3) || *first.Next != 2 || *first.Stiffness != 10 || first.During != nil {
		t.Errorf("%+v", first)
	}
	if got := first.Entered.Time().In(oslo).Format(time.RFC3339); got != "2026-03-03T12:00:00+01:00" {
		t.Errorf("entered %s, want the noon of its date", got)
	}
	if second.Stiffness != nil || second.Entered != load.InstantOf(time.Date(2026, 3, 6, 8, 0, 0, 0, time.UTC)) {
		t.Errorf("%+v", second)
	}
}

func TestRefused(t *testing.T) {
	tests := []struct {
		name, file, want string
		line, column     int
	}{
		{"a score of 11", header + "ach-mid:left,2026-03-03,,,,11,,,\n", "next", 2, 28},
		{"half a score", header + "ach-mid:left,2026-03-03,,2.5,,,,,\n", "during", 2, 26},
		{"no side", header + "ach-mid,2026-03-03,,,,1,,,\n", "want SITE:SIDE", 2, 1},
		{"no such site", header + "knee:left,2026-03-03,,,,1,,,\n", "want SITE:SIDE", 2, 1},
		{"no date", header + "calf:left,3.3.26,,,,1,,,\n", "want YYYY-MM-DD", 2, 11},
		{"limping a bit", header + "calf:left,2026-03-03,,,,1,,bit,\n", "yes or no", 2, 28},
		{"an hour without a zone", header + "calf:left,2026-03-03,,,,1,,,2026-03-03T07:00:00\n", "with its offset", 2, 29},
		{"a score before its day", header + "calf:left,2026-03-03,,,,1,,,2026-03-02T23:59:00Z\n", "entered 2026-03-02, before the morning of 2026-03-03", 2, 29},
		{"stiffness before its day", header + "calf:left,2026-03-03,,,,,5,,2026-03-01T08:00:00Z\n", "before the morning", 2, 29},
		{"a run before its day", header + "calf:left,2026-03-03,,4,,,,,2026-03-01T23:59:00Z\n", "before the day of the run", 2, 29},
		{"an hour ahead", header + "calf:left,2026-03-04,,,,1,,,2026-03-04T08:00:00Z\ncalf:left,2026-03-06,,,,1,,,2026-03-06T10:30:00Z\n", "still to come", 3, 29},
		{"a day of stiffness", header + "calf:left,2026-03-03,,,,1,1440,,\n", "0 to 600", 2, 27},
		{"twice", header + "calf:left,2026-03-03,,,,1,,,\ncalf:left,2026-03-03,,,,2,,,\n", "stands in line 2 already", 3, 11},
		{"nothing said", header + "calf:left,2026-03-03,,,,,,,\n", "nothing is said", 2, 11},
		{"no rows", header, "no rows", 1, 0},
		{"a column of its own", "complaint,on,mood\ncalf:left,2026-03-03,5\n", "unknown column", 1, 14},
		{"a column twice", "complaint,on,on\n", "is there twice", 1, 14},
		{"bytes", "complaint,on\n\xff,1\n", "UTF-8", 1, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			rows, err := mornings.Decode([]byte(tt.file), time.UTC, now, mornings.DefaultLimits)
			bad, ok := errors.AsType[*load.DecodeError](err)
			if !ok || len(rows) > 0 || !strings.Contains(err.Error(), tt.want) || bad.Line != tt.line || bad.Column != tt.column {
				t.Errorf("%d rows, %v (%+v); want %q at %d:%d", len(rows), err, bad, tt.want, tt.line, tt.column)
			}
		})
	}
}

// TestEntered: of today's run it is told on the day, of a date whose noon is ahead now.
func TestEntered(t *testing.T) {
	rows, err := mornings.Decode([]byte(header+"calf:left,2026-03-07,,4,,,,,2026-03-06T09:00:00Z\ncalf:left,2026-03-06,,,,1,,,\n"), time.UTC, now, mornings.DefaultLimits)
	if err != nil || len(rows) != 2 || *rows[0].During != 4 || rows[1].Entered != now {
		t.Errorf("%+v, %v; want two rows, the second of now", rows, err)
	}
}

// FuzzDecode: whatever the bytes, rows or a reason with a line, and scores in their range.
func FuzzDecode(f *testing.F) {
	f.Add([]byte(header + "ach-mid:left,2026-03-03,0,3,2,1,10,no,\n"))
	f.Add([]byte("on;complaint\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		mornings.Sniff(data)
		rows, err := mornings.Decode(data, time.UTC, now, mornings.DefaultLimits)
		if _, ok := errors.AsType[*load.DecodeError](err); err != nil && (!ok || len(rows) > 0) {
			t.Fatalf("%d rows, %v", len(rows), err)
		}
		for _, r := range rows {
			if r.Next != nil && *r.Next > 10 || r.Stiffness != nil && *r.Stiffness < 0 || r.Empty() {
				t.Fatalf("%+v", r)
			}
		}
	})
}
