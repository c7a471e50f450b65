package ingest_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest"
	"tidemark/load"
)

func ExampleDecode() {
	const text = `<gpx><trk><type>running</type><trkseg>
<trkpt lat="10.0000" lon="-30"><time>2026-05-31T07:00:00Z</time></trkpt>
<trkpt lat="91.0000" lon="-30"><time>2026-05-31T07:00:30Z</time></trkpt>
<trkpt lat="10.0015" lon="-30"><time>2026-05-31T07:01:00Z</time></trkpt>
</trkseg></trk></gpx>`
	d, err := ingest.Decode([]byte(text), ingest.Options{Now: now})
	if err != nil {
		panic(err)
	}
	for _, a := range d.Activities {
		fmt.Println(d.Format, a.Sport, a.Start.Time().Format(time.DateTime), len(a.Samples), "samples")
		for _, n := range a.Notes {
			fmt.Println(n.Code+":", n.Text)
		}
	}
	_, err = ingest.Decode([]byte("<html><body>502 Bad Gateway</body></html>"), ingest.Options{Now: now})
	fmt.Println(err)
	// Output:
	// gpx running 2026-05-31 07:00:00 3 samples
	// position: positions that are nowhere were left out: 1 off the globe
	// not a recording: looks like a web page
}

func TestDecodeRefusesWhatIsNoRecording(t *testing.T) {
	tests := []struct{ name, data, reason string }{
		{"nothing", "", "empty file; export or copy it again"},
		{"zero bytes", strings.Repeat("\x00", 100), "not a recording: nothing but zero bytes"},
		{"blanks", " \r\n\t ", "not a recording: nothing but blanks"},
		{"web page", "<!DOCTYPE html><title>a date</title>", "not a recording: looks like a web page"},
		{"web page after a comment", "<!-- x -->\n<HTML lang=en>", "not a recording: looks like a web page"},
		{"KML", "<?xml version='1.0'?><kml>", "not a recording: looks like KML, which holds places and no recording"},
		{"XML", "<?xml version='1.0'?><feed>", "not a recording: XML, but neither GPX nor TCX"},
		{"JSON", " {\"date\": 1}", "not a recording: looks like JSON"},
		{"PNG", "\x89PNG\r\n\x1a\n", "not a recording: looks like an image"},
		{"JPEG", "\xff\xd8\xff\xe0", "not a recording: looks like an image"},
		{"PDF", "%PDF-1.7", "not a recording: looks like a PDF"},
		{"gzip", "\x1f\x8b\x08", "not a recording: looks like a gzip file"},
		{"zip", "PK\x03\x04", "not a recording: looks like a zip file"},
		{"UTF-16", "\xff\xfed\x00a\x00", "not a recording: looks like text in UTF-16"},
		{"plain text", "a run of 8 km,\nau café\n", "not a recording: text, but no diary: the first line of one names its columns, date and distance_km or duration_min"},
		{"bytes", "\x01\x02\x03", "not a recording: neither FIT, GPX, TCX nor a diary"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d, err := ingest.Decode([]byte(test.data), ingest.Options{Now: now})
			if err == nil || err.Error() != test.reason {
				t.Errorf("err = %v, want %s", err, test.reason)
			}
			if diff := cmp.Diff(ingest.Decoded{}, d); diff != "" {
				t.Error(diff)
			}
		})
	}
}

func TestDecodeTooLarge(t *testing.T) {
	lim := ingest.DefaultLimits
	lim.Raw, lim.Inflated = 10, 10
	_, err := ingest.Decode(make([]byte, 11), ingest.Options{Now: now, Limits: lim})
	if !errors.Is(err, ingest.ErrTooLarge) {
		t.Errorf("err = %v, want %v", err, ingest.ErrTooLarge)
	}
}

// The import is at noon UTC of 1 June, which is 2 June in Kiritimati; two days
// ahead are allowed.
func TestDecodeDiary(t *testing.T) {
	tests := []struct{ zone, day, reason string }{
		{"UTC", "2026-06-03", ""},
		{"UTC", "2026-06-04", `read diary, line 2, column 1: date "2026-06-04" is in the future`},
		{"Pacific/Kiritimati", "2026-06-04", ""},
		{"UTC", "2000-01-01", ""},
		{"UTC", "1999-12-31", `read diary, line 2, column 1: date "1999-12-31" is before 2000-01-01`},
	}
	for _, test := range tests {
		t.Run(test.zone+" "+test.day, func(t *testing.T) {
			text := "date,kind,distance_km\n" + test.day + ",run,8\n" + test.day + ",rest,\n"
			d, err := ingest.Decode([]byte(text), ingest.Options{Now: now, Home: location(t, test.zone)})
			if test.reason != "" {
				if err == nil || err.Error() != test.reason {
					t.Errorf("err = %v, want %s", err, test.reason)
				}
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			if d.Format != ingest.Diary || len(d.Activities) != 1 || len(d.Rests) != 1 || d.Rests[0].String() != test.day {
				t.Errorf("got %+v", d)
			}
		})
	}
}

// What unpacking left out is told with what was recorded.
func TestRecordingDecode(t *testing.T) {
	const text = `<gpx><trk><trkseg><trkpt lat="10" lon="-30"><time>2026-05-31T07:00:00Z</time></trkpt>` +
		`<trkpt lat="10.001" lon="-30"><time>2026-05-31T07:01:00Z</time></trkpt></trkseg></trk></gpx>`
	packed := gzipOf([]byte(text))
	for rec, err := range unpack("f.gz", packed[:len(packed)-4], ingest.DefaultLimits) {
		if err != nil {
			t.Fatal(err)
		}
		d, err := rec.Decode(ingest.Options{Now: now})
		if err != nil {
			t.Fatal(err)
		}
		if len(d.Activities) != 1 || !d.Activities[0].Notes.Has(load.NoteTruncated) {
			t.Errorf("got %+v", d)
		}
	}
}

func TestDecodePanicsWithoutNow(t *testing.T) {
	defer func() {
		if r := recover(); r != "ingest: Decode: Options.Now is not set" {
			t.Errorf("recovered %v", r)
		}
	}()
	_, _ = ingest.Decode([]byte("x"), ingest.Options{})
}
