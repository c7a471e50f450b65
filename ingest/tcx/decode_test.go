package tcx_test

import (
	"errors"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest/tcx"
	"tidemark/ingest/xmlscan"
	"tidemark/load"
)

// decodeOne decodes a document that must hold one activity.
func decodeOne(t *testing.T, text string) load.Activity {
	t.Helper()
	activities, err := tcx.Decode([]byte(text), tcx.DefaultLimits)
	if err != nil {
		t.Fatal(err)
	}
	if len(activities) != 1 {
		t.Fatalf("%d activities, want 1", len(activities))
	}
	return activities[0]
}

// count says how many samples have all of the fields.
func count(a *load.Activity, f load.Fields) (n int) {
	for i := range a.Samples {
		if a.Samples[i].Got(f) {
			n++
		}
	}
	return n
}

// codes lists the codes of the notes, in order.
func codes(notes load.Notes) string {
	var list []string
	for _, n := range notes {
		list = append(list, string(n.Code))
	}
	return strings.Join(list, " ")
}

// at is the instant i seconds after the start of the invented run.
func at(i int) load.Instant { return load.InstantOf(start.Add(time.Duration(i) * time.Second)) }

func TestDecodePoint(t *testing.T) {
	const when = `<Time>2024-11-08T11:33:20.000Z</Time>`
	const where = `<Position><LatitudeDegrees>10.5</LatitudeDegrees><LongitudeDegrees>-30.25</LongitudeDegrees></Position>`
	place := load.Position{Lat: 10.5, Lon: -30.25}
	bare := load.Sample{At: at(0), Position: place, Has: load.HasPosition}
	with := func(f load.Fields, set func(s *load.Sample)) load.Sample {
		s := bare
		s.Has |= f
		set(&s)
		return s
	}
	tests := []struct {
		name, in string
		want     load.Sample
		notes    string
	}{
		{
			"everything", when + where + `<AltitudeMeters>12.5</AltitudeMeters><DistanceMeters>250.5</DistanceMeters><HeartRateBpm><Value>142</Value></HeartRateBpm><Extensions><x:TPX CadenceSensor="Footpod"><x:Speed>3.1</x:Speed><x:RunCadence>84</x:RunCadence><x:Watts>230</x:Watts></x:TPX></Extensions>`,
			load.Sample{
				At: at(0), Position: place, Altitude: 12.5, Distance: 250.5, Heart: 142, Speed: 3.1, Cadence: 84,
				Has: load.HasPosition | load.HasAltitude | load.HasDistance | load.HasHeart | load.HasSpeed | load.HasCadence,
			},
			"",
		},
		{"a namespace of its own on TPX", when + where + `<Extensions><TPX xmlns="http://www.garmin.com/xmlschemas/ActivityExtension/v2"><Speed>3</Speed></TPX></Extensions>`, with(load.HasSpeed, func(s *load.Sample) { s.Speed = 3 }), ""},
		{"cadence of a foot pod", when + where + `<Cadence>81</Cadence>`, with(load.HasCadence, func(s *load.Sample) { s.Cadence = 81 }), ""},
		{"RunCadence goes first", when + where + `<Cadence>70</Cadence><Extensions><TPX><RunCadence>84</RunCadence></TPX></Extensions>`, with(load.HasCadence, func(s *load.Sample) { s.Cadence = 84 }), ""},
		{"cadence where RunCadence is no number", when + where + `<Cadence>70</Cadence><Extensions><TPX><RunCadence>x</RunCadence></TPX></Extensions>`, with(load.HasCadence, func(s *load.Sample) { s.Cadence = 70 }), ""},
		{"values outside their parent", when + where + `<Value>142</Value><LatitudeDegrees>1</LatitudeDegrees><Speed>9</Speed>`, bare, ""},
		{"empty HeartRateBpm", when + where + `<HeartRateBpm></HeartRateBpm>`, bare, ""},
		{"empty Value", when + where + `<HeartRateBpm><Value/></HeartRateBpm>`, bare, ""},
		{"heart 0", when + where + `<HeartRateBpm><Value>0</Value></HeartRateBpm>`, bare, "heart"},
		{"heart 300", when + where + `<HeartRateBpm><Value>300</Value></HeartRateBpm>`, bare, "heart"},
		{"heart 255 is judged elsewhere", when + where + `<HeartRateBpm><Value>255</Value></HeartRateBpm>`, with(load.HasHeart, func(s *load.Sample) { s.Heart = 255 }), ""},
		{"distance below zero", when + where + `<DistanceMeters>-1</DistanceMeters>`, bare, "value"},
		{"distance NaN", when + where + `<DistanceMeters>NaN</DistanceMeters>`, bare, "value"},
		{"latitude NaN", when + `<Position><LatitudeDegrees>NaN</LatitudeDegrees><LongitudeDegrees>-30</LongitudeDegrees></Position>`, load.Sample{At: at(0)}, "position"},
		{"half a position", when + `<Position><LatitudeDegrees>10</LatitudeDegrees></Position>`, load.Sample{At: at(0)}, "position"},
		{"no position is nothing odd", when, load.Sample{At: at(0)}, ""},
		{"decimal comma", when + `<Position><LatitudeDegrees>10,5</LatitudeDegrees><LongitudeDegrees>-30,25</LongitudeDegrees></Position>`, bare, "markup"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := decodeOne(t, document(activity("Running", lap(0, 60, track("<Trackpoint>"+test.in+"</Trackpoint>")))))
			if diff := cmp.Diff([]load.Sample{test.want}, a.Samples); diff != "" {
				t.Errorf("samples (-want +got):\n%s", diff)
			}
			if got := codes(a.Notes); got != test.notes {
				t.Errorf("notes %q, want %q", got, test.notes)
			}
		})
	}
}

func TestDecodeActivity(t *testing.T) {
	tests := []struct {
		word    string
		sport   load.Sport
		detail  string
		cadence load.CadenceCount
	}{
		{"Running", load.Running, "", load.CadenceOneFoot},
		{"Biking", load.Cycling, "", load.CadenceUnsaid},
		{"Other", load.OtherSport, "", load.CadenceUnsaid},
		{"Parkour", load.UnknownSport, "Parkour", load.CadenceUnsaid},
		{"", load.UnknownSport, "", load.CadenceUnsaid},
	}
	for _, test := range tests {
		t.Run(test.word, func(t *testing.T) {
			a := decodeOne(t, document(activity(test.word, lap(0, 9, track(points(0, 10))))))
			if a.Sport != test.sport || a.Detail != test.detail || a.Cadence != test.cadence {
				t.Errorf("got %v, %q, %v, want %v, %q, %v", a.Sport, a.Detail, a.Cadence, test.sport, test.detail, test.cadence)
			}
			if a.Device != "synthetic" || a.Start != at(0) || a.Surface != "" || len(a.Samples) != 10 {
				t.Errorf("device %q, start %v, surface %q, %d samples", a.Device, a.Start.Time(), a.Surface, len(a.Samples))
			}
		})
	}
}

func TestDecodeLaps(t *testing.T) {
	// Three laps at 3 m/s: of 10 s with a point each second, of 20 s with points
	// for 5 s only, and of 30 s without a track.
	laps := lap(0, 10, track(points(0, 10))) + lap(10, 20, track(points(10, 15))) + lap(30, 30, "")
	a := decodeOne(t, document(activity("Running", laps)))
	want := []load.Lap{
		{Span: load.Span{From: at(0), To: at(10)}, Timer: 10 * time.Second, Distance: 30},
		{Span: load.Span{From: at(10), To: at(30)}, Timer: 20 * time.Second, Distance: 60},
		{Span: load.Span{From: at(30), To: at(60)}, Timer: 30 * time.Second, Distance: 90},
	}
	if diff := cmp.Diff(want, a.Laps); diff != "" {
		t.Errorf("laps (-want +got):\n%s", diff)
	}
	// 60 s, 180 m, and 3 steps a second as the documents of these tests say.
	if diff := cmp.Diff(load.Totals{Timer: time.Minute, Distance: 180, Steps: 180}, a.Totals); diff != "" {
		t.Errorf("totals (-want +got):\n%s", diff)
	}
	if len(a.Pauses) != 0 || codes(a.Notes) != "" {
		t.Errorf("pauses %v, notes %v", a.Pauses, a.Notes)
	}
}

// TestDecodeDistanceRestarts passes on a distance that begins again in a lap:
// which distance to believe is judged elsewhere.
func TestDecodeDistanceRestarts(t *testing.T) {
	restart := func(i int, p *point) { p.distance = strconv.Itoa(3 * (i % 5)) }
	a := decodeOne(t, document(activity("Running", lap(0, 5, track(points(0, 5, restart)))+lap(5, 5, track(points(5, 10, restart))))))
	var got []load.Metres
	for _, s := range a.Samples {
		got = append(got, s.Distance)
	}
	if diff := cmp.Diff([]load.Metres{0, 3, 6, 9, 12, 0, 3, 6, 9, 12}, got); diff != "" {
		t.Errorf("distances (-want +got):\n%s", diff)
	}
	if codes(a.Notes) != "" {
		t.Errorf("notes %v, want none", a.Notes)
	}
}

func TestDecodeLapTimes(t *testing.T) {
	const sums = "<TotalTimeSeconds>5</TotalTimeSeconds><DistanceMeters>15</DistanceMeters>"
	tests := []struct {
		name, in string
		want     []load.Span
	}{
		{"points outlast the timer", lap(0, 5, track(points(0, 10))), []load.Span{{From: at(0), To: at(9)}}},
		{"no start, points", "<Lap>" + sums + track(points(3, 5)) + "</Lap>", []load.Span{{From: at(3), To: at(8)}}},
		{"no start, no points", lap(0, 10, track(points(0, 5))) + "<Lap>" + sums + "</Lap>", []load.Span{{From: at(0), To: at(10)}, {From: at(10), To: at(15)}}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := decodeOne(t, document(activity("Running", test.in)))
			var spans []load.Span
			for _, l := range a.Laps {
				spans = append(spans, l.Span)
			}
			if diff := cmp.Diff(test.want, spans); diff != "" {
				t.Errorf("spans (-want +got):\n%s", diff)
			}
		})
	}
}

func TestDecodePauses(t *testing.T) {
	tests := []struct {
		name, in string
		want     []load.Span
	}{
		{"two tracks in a lap", lap(0, 20, track(points(0, 10))+track(points(300, 310))), []load.Span{{From: at(9), To: at(300)}}},
		{"an empty track between", lap(0, 20, track(points(0, 10))+track("")+track(points(300, 310))), []load.Span{{From: at(9), To: at(300)}}},
		{"an empty track first", lap(0, 20, track("")+track(points(0, 10))), nil},
		{"a gap between laps is none", lap(0, 9, track(points(0, 10))) + lap(300, 9, track(points(300, 310))), nil},
		{"an empty last track is no pause before the next lap", lap(0, 9, track(points(0, 10))+track("")) + lap(300, 9, track(points(300, 310))), nil},
		{"tracks that run back", lap(0, 9, track(points(5, 10))+track(points(0, 5))), nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := decodeOne(t, document(activity("Running", test.in)))
			if diff := cmp.Diff(test.want, a.Pauses); diff != "" {
				t.Errorf("pauses (-want +got):\n%s", diff)
			}
		})
	}
}

func TestDecodeTreadmill(t *testing.T) {
	noPlace := func(_ int, p *point) { p.lat, p.lon = "", "" }
	one := func(i int, p *point) {
		if i > 0 {
			p.lat, p.lon = "", ""
		}
	}
	noDistance := func(_ int, p *point) { p.distance = "" }
	tests := []struct {
		name, sport, points string
		surface             load.Surface
		notes               string
	}{
		{"no positions", "Running", points(0, 9, noPlace), load.Treadmill, "treadmill"},
		{"one position", "Running", points(0, 9, one), "", ""},
		{"no distances either", "Running", points(0, 9, noPlace, noDistance), "", ""},
		{"a ride", "Biking", points(0, 9, noPlace), "", ""},
		{"no points", "Running", "", "", "totals-only"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := decodeOne(t, document(activity(test.sport, lap(0, 9, track(test.points)))))
			if a.Surface != test.surface || codes(a.Notes) != test.notes {
				t.Errorf("surface %q, notes %q, want %q, %q", a.Surface, codes(a.Notes), test.surface, test.notes)
			}
		})
	}
}

func TestDecodeStart(t *testing.T) {
	const id = "<Id>2024-11-08T11:33:20.000Z</Id>"
	healthy := run(10)
	// The lap's StartTime is all that follows the Id with the start's stamp.
	lapStart := ` StartTime="` + stamp(0) + `"`
	tests := []struct {
		name, in string
		start    load.Instant
		notes    string
	}{
		{"as declared", healthy, at(0), ""},
		{"no Id", strings.Replace(healthy, id, "", 1), at(0), ""},
		{"no StartTime", strings.Replace(healthy, lapStart, "", 1), at(0), ""},
		{"neither", strings.Replace(strings.Replace(healthy, lapStart, "", 1), id, "", 1), at(0), "time"},
		{"Id is no time", strings.Replace(strings.Replace(healthy, lapStart, "", 1), id, "<Id>run</Id>", 1), at(0), "time"},
		{"first point later", document(activity("Running", lap(0, 60, track(points(30, 60))))), at(0), ""},
		{"first point earlier", document(activity("Running", lap(60, 60, track(points(30, 60))))), at(30), ""},
		{"first point days later", document(activity("Running", lap(-200_000, 60, track(points(30, 60))))), at(30), "time"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := decodeOne(t, test.in)
			if a.Start != test.start || codes(a.Notes) != test.notes {
				t.Errorf("start %v, notes %q, want %v, %q", a.Start.Time(), codes(a.Notes), test.start.Time(), test.notes)
			}
		})
	}
}

func TestDecodeTotalsOnly(t *testing.T) {
	healthy := run(61)
	misspelt := strings.ReplaceAll(strings.ReplaceAll(healthy, "<Time>", "<Tyme>"), "</Time>", "</Tyme>")
	local := `<Activity Sport="Running"><Id>2024-11-08T12:33:20+01:00</Id><Lap><TotalTimeSeconds>60</TotalTimeSeconds><DistanceMeters>180</DistanceMeters></Lap></Activity>`
	minute := load.Totals{Timer: time.Minute, Distance: 180}
	stepped := load.Totals{Timer: time.Minute, Distance: 180, Steps: 180}
	tests := []struct {
		name, in string
		totals   load.Totals
		offset   time.Duration
		notes    string
	}{
		{"no track", document(activity("Running", lap(0, 60, ""))), stepped, 0, "totals-only"},
		{"times misspelt", misspelt, stepped, 0, "time totals-only"},
		{"offset of the Id", document(local), minute, time.Hour, "totals-only"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := decodeOne(t, test.in)
			if len(a.Samples) != 0 || a.Start != at(0) || a.Offset != test.offset || a.HasOffset != (test.offset != 0) {
				t.Errorf("%d samples, start %v, offset %v", len(a.Samples), a.Start.Time(), a.Offset)
			}
			if diff := cmp.Diff(test.totals, a.Totals); diff != "" {
				t.Errorf("totals (-want +got):\n%s", diff)
			}
			if got := codes(a.Notes); got != test.notes {
				t.Errorf("notes %q, want %q", got, test.notes)
			}
		})
	}
}

func TestDecodeSums(t *testing.T) {
	sums := func(timer, distance string) string {
		return `<Lap StartTime="` + stamp(0) + `"><TotalTimeSeconds>` + timer + `</TotalTimeSeconds><DistanceMeters>` + distance + `</DistanceMeters>` + track(points(0, 3)) + `</Lap>`
	}
	tests := []struct {
		name, in string
		want     load.Totals
		notes    string
	}{
		{"milliseconds", sums("60.1234", "180.5"), load.Totals{Timer: 60123 * time.Millisecond, Distance: 180.5}, ""},
		{"below zero", sums("-60", "-180"), load.Totals{}, "value"},
		{"not a number", sums("NaN", "Inf"), load.Totals{}, "value"},
		{"beyond all", sums("1e300", "1e300"), load.Totals{}, "value"},
		{"empty", sums("", ""), load.Totals{}, ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := decodeOne(t, document(activity("Running", test.in)))
			if diff := cmp.Diff(test.want, a.Totals); diff != "" {
				t.Errorf("totals (-want +got):\n%s", diff)
			}
			if got := codes(a.Notes); got != test.notes {
				t.Errorf("notes %q, want %q", got, test.notes)
			}
		})
	}
}

func TestDecodeActivities(t *testing.T) {
	one := activity("Running", lap(0, 9, track(points(0, 10))))
	two := activity("Biking", lap(20, 9, track(points(20, 25))))
	undated := `<Activity Sport="Running"><Lap><TotalTimeSeconds>60</TotalTimeSeconds></Lap></Activity>`
	session := "<MultiSportSession><Id>x</Id><FirstSport>" + one + "</FirstSport><NextSport><Transition/>" + two + "</NextSport></MultiSportSession>"
	tests := []struct {
		name, in string
		lim      tcx.Limits
		samples  []int
		notes    []string
	}{
		{"two", document(one + two), tcx.Limits{}, []int{10, 5}, []string{"", ""}},
		{"multisport", document(session), tcx.Limits{}, []int{10, 5}, []string{"skipped", ""}},
		{"courses beside", strings.Replace(document(one), "</TrainingCenterDatabase>", "<Courses/></TrainingCenterDatabase>", 1), tcx.Limits{}, []int{10}, []string{"skipped"}},
		{"one without a time", document(one + undated), tcx.Limits{}, []int{10}, []string{"skipped"}},
		{"one without anything", document(one + `<Activity Sport="Running"/>`), tcx.Limits{}, []int{10}, []string{"skipped"}},
		{"limit of activities", document(one + two), tcx.Limits{Activities: 1}, []int{10}, []string{"skipped"}},
		{"limit of points", document(one + two), tcx.Limits{Points: 12}, []int{10, 2}, []string{"", "skipped"}},
		{"limit of laps", document(activity("Running", lap(0, 9, track(points(0, 10)))+lap(9, 9, "")+lap(18, 9, ""))), tcx.Limits{Laps: 2}, []int{10}, []string{"skipped"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			activities, err := tcx.Decode([]byte(test.in), test.lim)
			if err != nil {
				t.Fatal(err)
			}
			var samples []int
			var notes []string
			for _, a := range activities {
				samples = append(samples, len(a.Samples))
				notes = append(notes, codes(a.Notes))
			}
			if diff := cmp.Diff(test.samples, samples); diff != "" {
				t.Errorf("samples (-want +got):\n%s", diff)
			}
			if diff := cmp.Diff(test.notes, notes); diff != "" {
				t.Errorf("notes (-want +got):\n%s", diff)
			}
		})
	}
}

func TestDecodeRefuses(t *testing.T) {
	wrap := func(s string) string { return head + s + "</TrainingCenterDatabase>" }
	bomb := `<!DOCTYPE TrainingCenterDatabase [<!ENTITY a "aa">]>` + run(3)[len("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"):]
	tests := []struct {
		name, in string
		want     error // nil: any
		offset   int
	}{
		{"empty", "", xmlscan.ErrEmpty, 0},
		{"text", "just some notes about a run\n", xmlscan.ErrNoXML, 0},
		{"GPX", "<gpx/>", nil, 0},
		{"course", wrap("<Courses><Course><Name>c</Name>" + track(points(0, 3)) + "</Course></Courses>"), tcx.ErrCourse, len(head)},
		{"workout", wrap("<Workouts><Workout/></Workouts>"), tcx.ErrWorkout, len(head)},
		{"course beside empty activities", wrap("<Activities/><Courses/>"), tcx.ErrCourse, len(head + "<Activities/>")},
		{"nothing", wrap(""), tcx.ErrEmpty, 0},
		{"empty activity", wrap(`<Activities><Activity Sport="Running"/></Activities>`), tcx.ErrEmpty, len(head + "<Activities>")},
		{"sums without a time", wrap(`<Activities><Activity Sport="Running"><Lap><TotalTimeSeconds>60</TotalTimeSeconds></Lap></Activity></Activities>`), tcx.ErrNoTimes, len(head + "<Activities>")},
		{"points without times or sums", wrap(`<Activities><Activity Sport="Running"><Lap>` + track("<Trackpoint/>") + `</Lap></Activity></Activities>`), tcx.ErrNoTimes, len(head + "<Activities>")},
		{"entities", bomb, xmlscan.ErrEntity, 0},
		{"too deep", wrap(strings.Repeat("<a>", 20_000)), xmlscan.ErrDepth, len(head) + 63*3},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			activities, err := tcx.Decode([]byte(test.in), tcx.DefaultLimits)
			if activities != nil {
				t.Errorf("%d activities beside an error", len(activities))
			}
			decode, ok := errors.AsType[*load.DecodeError](err)
			if !ok {
				t.Fatalf("error %v, want a *load.DecodeError", err)
			}
			if test.want != nil && !errors.Is(err, test.want) {
				t.Errorf("error %v, want %v", err, test.want)
			}
			if decode.Format != "tcx" || decode.Offset != int64(test.offset) {
				t.Errorf("format %q, offset %d, want tcx, %d", decode.Format, decode.Offset, test.offset)
			}
		})
	}
}

// TestDecodeDocument changes a healthy document of 50 points as a whole.
func TestDecodeDocument(t *testing.T) {
	healthy := run(50)
	tests := []struct {
		name, in string
		samples  int
		notes    string
	}{
		{"healthy", healthy, 50, ""},
		{"leading blanks", "\n        " + healthy, 50, ""},
		{"byte-order mark", "\xEF\xBB\xBF" + healthy, 50, ""},
		{"other prefix", strings.ReplaceAll(healthy, "ns3:", "x:"), 50, ""},
		{"second root", healthy + healthy, 50, "trailing"},
		{"cut in a tag", healthy[:strings.Index(healthy, stamp(20))-3], 20, "truncated"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := decodeOne(t, test.in)
			if len(a.Samples) != test.samples || codes(a.Notes) != test.notes {
				t.Errorf("%d samples, notes %q, want %d, %q", len(a.Samples), codes(a.Notes), test.samples, test.notes)
			}
			const whole = load.HasPosition | load.HasAltitude | load.HasDistance | load.HasHeart | load.HasSpeed | load.HasCadence
			if got := count(&a, whole); got != test.samples {
				t.Errorf("%d whole samples, want %d", got, test.samples)
			}
		})
	}
}

// TestDecodeAnyCut cuts a document at every byte: whole points stay. Before the
// first point the sums of the lap may be there already, or nothing.
func TestDecodeAnyCut(t *testing.T) {
	text := run(4)
	for cut := range text {
		whole := strings.Count(text[:cut], "</Trackpoint>")
		activities, err := tcx.Decode([]byte(text[:cut]), tcx.DefaultLimits)
		switch {
		case err != nil && whole > 0:
			t.Fatalf("cut at %d: %v", cut, err)
		case err == nil && len(activities[0].Samples) != whole:
			t.Fatalf("cut at %d: %d samples, want %d", cut, len(activities[0].Samples), whole)
		case err == nil && activities[0].Notes.Has(load.NoteTruncated) != (cut < len(text)-1):
			t.Fatalf("cut at %d: notes %v", cut, activities[0].Notes)
		}
	}
}

func TestSniff(t *testing.T) {
	tests := []struct {
		name, in string
		want     bool
	}{
		{"whole", run(1), true},
		{"start only", run(1)[:70], true},
		{"blanks and prefix", "\n \n<?xml version='1.0'?><t:TrainingCenterDatabase", true},
		{"GPX", "<gpx>", false},
		{"text", "just some notes about a run\n", false},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := tcx.Sniff([]byte(test.in)); got != test.want {
				t.Errorf("Sniff = %v, want %v", got, test.want)
			}
		})
	}
}
