package xmlscan_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"tidemark/ingest/xmlscan"
	"tidemark/load"
)

func TestParseTime(t *testing.T) {
	// 1731065600 is 2024-11-08T11:33:20Z: 20,035 days of 86,400 s, and 41,600 s.
	const base = 1731065600
	tests := []struct {
		in   string
		want xmlscan.Time
	}{
		{"", xmlscan.Time{}},
		{"  ", xmlscan.Time{}},
		{"2024-11-08T11:33:20Z", xmlscan.Time{At: load.Unix(base), State: xmlscan.Given}},
		{"\n 2024-11-08T11:33:20Z ", xmlscan.Time{At: load.Unix(base), State: xmlscan.Given}},
		{"2024-11-08T11:33:20.250Z", xmlscan.Time{At: load.Unix(base) + 250, State: xmlscan.Given}},
		{"2024-11-08T11:33:20.2509999Z", xmlscan.Time{At: load.Unix(base) + 250, State: xmlscan.Given}},
		{"2024-11-08T11:33:20.5Z", xmlscan.Time{At: load.Unix(base) + 500, State: xmlscan.Given}},
		{"2024-11-08T12:33:20.250+01:00", xmlscan.Time{At: load.Unix(base) + 250, Offset: time.Hour, State: xmlscan.Given}},
		{"2024-11-08T06:03:20-05:30", xmlscan.Time{At: load.Unix(base), Offset: -330 * time.Minute, State: xmlscan.Given}},
		{"2024-11-08T11:33:20", xmlscan.Time{At: load.Unix(base), State: xmlscan.Given, NoZone: true}},
		{"2024-11-08T11:33:20.5", xmlscan.Time{At: load.Unix(base) + 500, State: xmlscan.Given, NoZone: true}},
		{"1970-01-01T00:00:00Z", xmlscan.Time{State: xmlscan.Given}},
		{"1969-12-31T23:59:59.999Z", xmlscan.Time{At: -1, State: xmlscan.Given}},
		{"2024-02-29T00:00:00Z", xmlscan.Time{At: load.Unix(1709164800), State: xmlscan.Given}},
	}
	for _, bad := range []string{
		"2023-02-29T00:00:00Z", "1900-02-29T00:00:00Z", "2024-13-01T00:00:00Z", "2024-00-01T00:00:00Z",
		"2024-11-00T00:00:00Z", "2024-11-31T00:00:00Z", "2024-11-08T24:00:00Z", "2024-11-08T23:60:00Z",
		"2024-11-08T23:59:60Z", "2024-11-08 11:33:20", "2024-11-08 11:33:20Z", "2024-11-08t11:33:20z",
		"08/11/2024 11:33", "1731065600", "2024-11-08", "2024-11-08T11:33Z", "2024-11-08T11:33:20.Z",
		"2024-11-08T11:33:20+0100", "2024-11-08T11:33:20+24:00", "2024-11-08T11:33:20+01:60",
		"2024-11-08T11:33:20Zjunk", "-024-11-08T11:33:20Z", "12024-11-08T11:33:20Z",
	} {
		tests = append(tests, struct {
			in   string
			want xmlscan.Time
		}{bad, xmlscan.Time{State: xmlscan.Malformed}})
	}
	for _, test := range tests {
		t.Run(test.in, func(t *testing.T) {
			if got := xmlscan.ParseTime([]byte(test.in)); got != test.want {
				t.Errorf("ParseTime(%q) = %+v, want %+v", test.in, got, test.want)
			}
		})
	}
}

// TestParseTimeDays holds the calendar against package time over 400 years, the
// period of the Gregorian calendar, and at both ends of the range.
func TestParseTimeDays(t *testing.T) {
	check := func(day time.Time) {
		text := day.Format(time.RFC3339)
		got := xmlscan.ParseTime([]byte(text))
		if got.State != xmlscan.Given || got.At != load.InstantOf(day) {
			t.Fatalf("ParseTime(%q) = %+v, want %d", text, got, load.InstantOf(day))
		}
	}
	for day := time.Date(1800, 1, 1, 0, 0, 0, 0, time.UTC); day.Year() < 2200; day = day.AddDate(0, 0, 1) {
		check(day)
	}
	for year := range 10_000 {
		check(time.Date(year, 2, 28, 23, 59, 59, 0, time.UTC))
		check(time.Date(year, 3, 1, 0, 0, 0, 0, time.UTC))
	}
}

func TestZone(t *testing.T) {
	tests := []struct {
		offset time.Duration
		ok     bool
	}{
		{time.Hour, true},
		{-15 * time.Hour, true},
		{345 * time.Minute, true}, // Nepal
		{0, false},                // another spelling of Z
		{15*time.Hour + 15*time.Minute, false},
		{18 * time.Minute, false},
	}
	for _, test := range tests {
		t.Run(test.offset.String(), func(t *testing.T) {
			got, ok := xmlscan.Time{Offset: test.offset}.Zone()
			if ok != test.ok || (ok && got != test.offset) {
				t.Errorf("Zone() = %v, %v, want ok %v", got, ok, test.ok)
			}
		})
	}
}

// FuzzParseTime holds the reader against time.Parse. That one also takes a
// single digit of the hour, a comma before the fraction and an offset of 24 h
// or 60 min, none of which is RFC 3339.
func FuzzParseTime(f *testing.F) {
	for _, s := range []string{
		"2024-11-08T11:33:20Z", "2024-11-08T12:33:20.250+01:00", "0001-01-01T00:00:00Z", "9999-12-31T23:59:59.999999999-23:59",
		"2024-02-29T00:00:00", "2024-11-08T1:33:20Z", "2024-11-08T11:33:20,5Z", "2024-11-08T11:33:20+24:60", "x",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		got := xmlscan.ParseTime(b)
		text := strings.Trim(string(b), " \t\r\n")
		layout := time.RFC3339
		if got.NoZone {
			layout = "2006-01-02T15:04:05"
		}
		want, err := time.Parse(layout, text)
		if got.State == xmlscan.Given {
			_, offset := want.Zone()
			if err != nil || got.At != load.InstantOf(want) || got.Offset != time.Duration(offset)*time.Second {
				t.Fatalf("%q: %+v, package time gives %v, %v", b, got, want, err)
			}
			return
		}
		if got.At != 0 || got.Offset != 0 || (got.State == xmlscan.Absent) != (text == "") {
			t.Fatalf("%q: %+v", b, got)
		}
		strict := err == nil && text[13] == ':' && !strings.Contains(text, ",")
		if n := len(text); strict && !strings.HasSuffix(text, "Z") {
			strict = text[n-5:n-3] < "24" && text[n-2:] < "60"
		}
		if strict {
			t.Fatalf("%q: refused, package time gives %v", b, want)
		}
	})
}

func ExampleParseTime() {
	t := xmlscan.ParseTime([]byte("2024-11-08T12:33:20.250+01:00"))
	fmt.Println(t.At.Time().Format(time.RFC3339Nano), t.Offset)
	// Output: 2024-11-08T11:33:20.25Z 1h0m0s
}
