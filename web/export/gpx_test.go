package export_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest"
	"tidemark/load"
	"tidemark/web/export"
)

// equatorDegree is a degree of longitude on the equator of WGS84 in metres,
// pi/180 times 6378137 (printed as 111 320 in common tables).
const equatorDegree = 111319.49079327358

// sunrise is when the invented run starts, a Monday.
var sunrise = load.InstantOf(time.Date(2026, time.March, 2, 7, 0, 0, 0, time.UTC))

// now is when files are read again.
var now = load.InstantOf(time.Date(2026, time.December, 31, 0, 0, 0, 0, time.UTC))

// seaside is a run of so many seconds at 3 m/s along the equator in the Atlantic,
// one sample a second, by a watch that counts one foot.
func seaside(seconds int) *load.Activity {
	a := &load.Activity{Sport: load.Running, Name: "Along the sea", Start: sunrise, Cadence: load.CadenceOneFoot}
	for i := range seconds + 1 {
		a.Samples = append(a.Samples, load.Sample{
			At:       sunrise.Add(time.Duration(i) * time.Second),
			Position: load.Position{Lon: load.Degrees(-20 + 3*float64(i)/equatorDegree)},
			Altitude: load.Metres(10 + float64(i%7)/5), Heart: load.BPM(140 + i%20), Cadence: load.Cadence(84 + i%3),
			Has: load.HasPosition | load.HasAltitude | load.HasHeart | load.HasCadence,
		})
	}
	return a
}

// pause stops the device's timer between two seconds of the run.
func pause(a *load.Activity, from, to float64) *load.Activity {
	at := func(s float64) load.Instant { return sunrise.Add(time.Duration(s * float64(time.Second))) }
	a.Pauses = append(a.Pauses, load.Span{From: at(from), To: at(to)})
	return a
}

// without drops the samples from one second to before another.
func without(a *load.Activity, first, last int) *load.Activity {
	a.Samples = append(a.Samples[:first:first], a.Samples[last:]...)
	return a
}

func reduced(a *load.Activity) *load.Session {
	s := load.Reduce("run", a, load.Zone{Name: "UTC", Source: load.ZoneFromFile})
	return &s
}

func written(t *testing.T, a *load.Activity, s *load.Session) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := export.GPX(&out, a, s); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// again reads what was written with the program's own reader.
func again(t *testing.T, file []byte) *load.Activity {
	t.Helper()
	d, err := ingest.Decode(file, ingest.Options{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Activities) != 1 {
		t.Fatalf("%d activities, want 1", len(d.Activities))
	}
	return &d.Activities[0]
}

// seconds lists the times of samples after the start.
func seconds(a *load.Activity) (out []float64) {
	for i := range a.Samples {
		out = append(out, float64(a.Samples[i].At-sunrise)/1000)
	}
	return out
}

// A run of ten minutes with a pause of two in it: 480 s at 3 m/s are 1440 m, of
// which the device's pause takes 360.
func TestGPXComesBack(t *testing.T) {
	a := without(pause(seaside(480), 120, 240), 121, 240)
	file := written(t, a, reduced(a))
	got := again(t, file)

	if len(got.Notes) > 0 {
		t.Errorf("it is read with notes: %v", got.Notes)
	}
	if got.Sport != load.Running || got.Name != "Along the sea" || got.Start != sunrise {
		t.Errorf("%v %q at %v", got.Sport, got.Name, got.Start.Time())
	}
	if diff := cmp.Diff(a.Pauses, got.Pauses); diff != "" {
		t.Errorf("pauses (-want +got):\n%s", diff)
	}
	if len(got.Samples) != 362 { // seconds 0 to 120 and 240 to 480
		t.Fatalf("%d samples, want 362", len(got.Samples))
	}
	for i := range got.Samples {
		want, p := a.Samples[i], got.Samples[i]
		// A metre is 9e-6 degrees, so 1e-9 is a tenth of a millimetre.
		if math.Abs(float64(want.Position.Lon-p.Position.Lon)) > 1e-9 {
			t.Errorf("sample %d lies at %v, want %v", i, p.Position, want.Position)
		}
		want.Position, p.Position = load.Position{}, load.Position{}
		if diff := cmp.Diff(want, p); diff != "" {
			t.Fatalf("sample %d (-want +got):\n%s", i, diff)
		}
	}
	if d := reduced(got).TrackDistance; math.Abs(float64(d)-1080) > 1 {
		t.Errorf("its track is %.2f m, want 1080 within 1", d)
	}
}

// Which samples are written, and in which segments.
func TestGPXSegments(t *testing.T) {
	tests := []struct {
		name string
		a    *load.Activity
		want []int // points of each segment
	}{
		{"no pause", seaside(60), []int{61}},
		{"a pause from sample to sample", without(pause(seaside(60), 20, 40), 21, 40), []int{21, 21}},
		{"a pause between samples", without(pause(seaside(60), 20.4, 39.6), 21, 40), []int{21, 21}},
		{"samples while it paused", pause(seaside(60), 20, 40), []int{21, 21}},
		{"samples while it paused, off the second", pause(seaside(60), 19.5, 40.5), []int{20, 20}},
		{"two pauses that share a sample", pause(pause(seaside(60), 10, 20), 20, 30), []int{11, 1, 31}},
		{"a pause before the first sample", pause(seaside(60), -20, -10), []int{61}},
		{"a pause until the first sample", pause(seaside(60), -20, 0), []int{61}},
		{"a pause to the end", pause(seaside(60), 50, 60), []int{51, 1}},
		{"a pause of half of a step", without(pause(seaside(60), 21, 22), 21, 22), []int{21, 39}},
		{"a pause of less than half of a step", without(pause(seaside(60), 21.1, 22), 21, 22), []int{60}},
		{"two pauses in one step", without(pause(pause(seaside(60), 20.2, 20.7), 21, 21.5), 21, 22), []int{21, 39}},
		{"a pause within a pause", pause(pause(seaside(60), 10, 50), 20, 30), []int{11, 11}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var got []int
			for _, s := range parsed(t, written(t, tt.a, reduced(tt.a))).Segments {
				got = append(got, len(s.Points))
			}
			if diff := cmp.Diff(tt.want, got); diff != "" {
				t.Errorf("points of the segments (-want +got):\n%s", diff)
			}
		})
	}
}

// A position a kilometre away for three seconds is none that was run to, and one
// that is missing is not made up.
func TestGPXIsCleaned(t *testing.T) {
	a := seaside(120)
	for i := 50; i < 53; i++ {
		a.Samples[i].Position.Lat = 0.009
	}
	a.Samples[70].Has &^= load.HasPosition
	got := again(t, written(t, a, reduced(a)))
	var want []float64
	for i := range 121 {
		if i < 50 || i > 52 && i != 70 {
			want = append(want, float64(i))
		}
	}
	if diff := cmp.Diff(want, seconds(got)); diff != "" {
		t.Errorf("seconds with a position (-want +got):\n%s", diff)
	}
	if d := reduced(got).TrackDistance; math.Abs(float64(d)-360) > 1 { // 120 s at 3 m/s
		t.Errorf("its track is %.2f m, want 360 within 1", d)
	}
}

// Some recordings have several samples a second.
func TestGPXKeepsMillis(t *testing.T) {
	a := seaside(120)
	for i := range a.Samples {
		a.Samples[i].At = sunrise + load.Instant(250*i+7*(i%2))
		a.Samples[i].Position.Lon = load.Degrees(-20 + 0.75*float64(i)/equatorDegree)
	}
	a.Start = a.Samples[0].At
	got := again(t, written(t, a, reduced(a)))
	if diff := cmp.Diff(seconds(a), seconds(got)); diff != "" {
		t.Errorf("times (-want +got):\n%s", diff)
	}
}

// The clock of the watch was wrong, and the runner gave the date: the track is of
// that date.
func TestGPXOfAnotherDate(t *testing.T) {
	a, day := seaside(60), load.Date(2026, time.April, 1)
	s := load.Edit{Day: &day}.Reduce("run", a, load.Zone{Name: "UTC"})
	got := again(t, written(t, a, &s))
	want := load.InstantOf(time.Date(2026, time.April, 1, 7, 0, 0, 0, time.UTC))
	if got.Start != want || got.Samples[60].At != want.Add(time.Minute) {
		t.Errorf("from %v to %v, want a minute from %v", got.Start.Time(), got.Samples[60].At.Time(), want.Time())
	}
}

// The extension counts revolutions: one foot.
func TestGPXCadence(t *testing.T) {
	steps := func(count load.CadenceCount, sport load.Sport, cadence load.Cadence) *load.Activity {
		a := seaside(60)
		a.Cadence, a.Sport = count, sport
		for i := range a.Samples {
			a.Samples[i].Cadence = cadence
		}
		return a
	}
	tests := []struct {
		name string
		a    *load.Activity
		want string
	}{
		{"one foot", steps(load.CadenceOneFoot, load.Running, 85), "85"},
		{"both feet", steps(load.CadenceBothFeet, load.Running, 170), "85"},
		{"unsaid, found to be one foot", steps(load.CadenceUnsaid, load.Running, 85), "85"},
		{"unsaid, both feet", steps(load.CadenceUnsaid, load.Running, 170), "85"},
		{"pedals", steps(load.CadenceUnsaid, load.Cycling, 85), "85"},
		{"standing", steps(load.CadenceOneFoot, load.Running, 0), "0"},
		{"half a turn", steps(load.CadenceOneFoot, load.Running, 84.5), "85"},
		{"more than the field holds", steps(load.CadenceOneFoot, load.Running, 255), ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			doc := parsed(t, written(t, tt.a, reduced(tt.a)))
			if got := doc.Segments[0].Points[30].Cadence; got != tt.want {
				t.Errorf("cad %q, want %q", got, tt.want)
			}
		})
	}
}

func TestGPXWithoutTrack(t *testing.T) {
	belt := load.Treadmill
	nowhere := seaside(60)
	for i := range nowhere.Samples {
		nowhere.Samples[i].Has &^= load.HasPosition
	}
	onBelt := load.Edit{Surface: &belt}.Reduce("run", seaside(60), load.Zone{Name: "UTC"})
	row := &load.Activity{Sport: load.Running, Start: sunrise, Typed: new(load.Typed), Totals: load.Totals{Timer: time.Hour}}
	tests := []struct {
		name string
		a    *load.Activity
		s    *load.Session
	}{
		{"no positions", nowhere, reduced(nowhere)},
		{"a treadmill, as the runner says", seaside(60), &onBelt},
		{"a row of a diary", row, reduced(row)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var out bytes.Buffer
			if err := export.GPX(&out, tt.a, tt.s); !errors.Is(err, export.ErrNoTrack) {
				t.Errorf("error %v, want ErrNoTrack", err)
			}
			if out.Len() > 0 {
				t.Errorf("%d bytes were written", out.Len())
			}
		})
	}
}

// document is what a strict reader of XML finds under the names of the GPX 1.1
// schema and of the extension's.
type document struct {
	XMLName  xml.Name  `xml:"http://www.topografix.com/GPX/1/1 gpx"`
	Version  string    `xml:"version,attr"`
	Creator  string    `xml:"creator,attr"`
	Time     string    `xml:"http://www.topografix.com/GPX/1/1 metadata>time"`
	Name     string    `xml:"http://www.topografix.com/GPX/1/1 trk>name"`
	Type     string    `xml:"http://www.topografix.com/GPX/1/1 trk>type"`
	Segments []segment `xml:"http://www.topografix.com/GPX/1/1 trk>trkseg"`
}

type segment struct {
	Points []point `xml:"http://www.topografix.com/GPX/1/1 trkpt"`
}

type point struct {
	Lat       string      `xml:"lat,attr"`
	Lon       string      `xml:"lon,attr"`
	Ele       string      `xml:"http://www.topografix.com/GPX/1/1 ele"`
	Time      string      `xml:"http://www.topografix.com/GPX/1/1 time"`
	Extension []extension `xml:"http://www.topografix.com/GPX/1/1 extensions"`
	Heart     string      `xml:"-"`
	Cadence   string      `xml:"-"`
}

type extension struct {
	Heart   string `xml:"http://www.garmin.com/xmlschemas/TrackPointExtension/v1 TrackPointExtension>hr"`
	Cadence string `xml:"http://www.garmin.com/xmlschemas/TrackPointExtension/v1 TrackPointExtension>cad"`
}

func parsed(t *testing.T, file []byte) (doc document) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(file))
	d.Strict = true
	if err := d.Decode(&doc); err != nil {
		t.Fatalf("%v in\n%s", err, file)
	}
	for i := range doc.Segments {
		for k := range doc.Segments[i].Points {
			p := &doc.Segments[i].Points[k]
			for _, e := range p.Extension {
				p.Heart, p.Cadence = e.Heart, e.Cadence
			}
		}
	}
	return doc
}

// A strict reader finds everything in its namespace, and what is not there has no
// element at all.
func TestGPXDocument(t *testing.T) {
	a := seaside(40)
	a.Name = `Fells & "dales" <wet>`
	a.Samples[0].Has = load.HasPosition
	a.Samples[1].Has = load.HasPosition | load.HasHeart
	a.Samples[2].Altitude = -3.23456
	doc := parsed(t, written(t, a, reduced(a)))
	if doc.Version != "1.1" || doc.Creator != "tidemark" || doc.Time != "2026-03-02T07:00:00Z" || doc.Name != a.Name || doc.Type != "running" {
		t.Errorf("%+v", doc)
	}
	got := doc.Segments[0].Points[:3]
	want := []point{
		{Lat: "0.0", Lon: "-20.0", Time: "2026-03-02T07:00:00Z"},
		{Lat: "0.0", Lon: "-19.9999730505", Time: "2026-03-02T07:00:01Z", Heart: "141"}, // -20 + 3 / 111319.49079
		{Lat: "0.0", Lon: "-19.9999461011", Time: "2026-03-02T07:00:02Z", Ele: "-3.235", Heart: "142", Cadence: "86"},
	}
	for i := range got {
		got[i].Extension = nil
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("points (-want +got):\n%s", diff)
	}
}

func ExampleGPX() {
	at := load.InstantOf(time.Date(2026, time.March, 1, 8, 0, 0, 0, time.UTC))
	a := load.Activity{Sport: load.Running, Name: "Harbour and back", Start: at}
	for i := range 3 {
		a.Samples = append(a.Samples, load.Sample{
			At:       at.Add(time.Duration(i) * time.Second),
			Position: load.Position{Lat: 10, Lon: -30 + load.Degrees(i)/40_000}, // 2.7 m apart
			Altitude: 4, Heart: 131, Has: load.HasPosition | load.HasAltitude | load.HasHeart,
		})
	}
	s := load.Reduce("sunday", &a, load.Zone{Name: "UTC"})
	var out bytes.Buffer
	if err := export.GPX(&out, &a, &s); err != nil {
		fmt.Println(err)
	}
	first, _, _ := strings.Cut(out.String(), "\t\t\t<trkpt lat=\"10.0\" lon=\"-29.999975\">")
	fmt.Print(first)
	// Output:
	// <?xml version="1.0" encoding="UTF-8"?>
	// <gpx xmlns:gpxtpx="http://www.garmin.com/xmlschemas/TrackPointExtension/v1" xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="tidemark">
	// 	<metadata>
	// 		<author></author>
	// 		<time>2026-03-01T08:00:00Z</time>
	// 	</metadata>
	// 	<trk>
	// 		<name>Harbour and back</name>
	// 		<type>running</type>
	// 		<trkseg>
	// 			<trkpt lat="10.0" lon="-30.0">
	// 				<ele>4</ele>
	// 				<time>2026-03-01T08:00:00Z</time>
	// 				<extensions>
	// 					<gpxtpx:TrackPointExtension>
	// 						<gpxtpx:hr>131</gpxtpx:hr>
	// 					</gpxtpx:TrackPointExtension>
	// 				</extensions>
	// 			</trkpt>
}
