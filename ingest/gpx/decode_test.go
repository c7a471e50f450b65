package gpx_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tidemark/ingest/gpx"
	"tidemark/ingest/xmlscan"
	"tidemark/load"
)

// decodeOne decodes a document that must hold one activity.
func decodeOne(t *testing.T, text string) load.Activity {
	t.Helper()
	activities, err := gpx.Decode([]byte(text), gpx.DefaultLimits)
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

func TestDecodePoint(t *testing.T) {
	at := load.InstantOf(start)
	place := load.Position{Lat: 10.5, Lon: -30.25}
	const open = `<trkpt lat="10.5" lon="-30.25"><time>2024-11-08T11:33:20Z</time>`
	tests := []struct {
		name, point string
		want        load.Sample
		notes       string
	}{
		{
			"everything", open + `<ele>12.5</ele><extensions><a:TrackPointExtension><a:hr>142</a:hr><a:cad>84</a:cad><a:speed>3.1</a:speed></a:TrackPointExtension><distance>250.5</distance></extensions></trkpt>`,
			load.Sample{
				At: at, Position: place, Altitude: 12.5, Heart: 142, Cadence: 84, Speed: 3.1, Distance: 250.5,
				Has: load.HasPosition | load.HasAltitude | load.HasHeart | load.HasCadence | load.HasSpeed | load.HasDistance,
			},
			"",
		},
		{"bare extensions", open + `<extensions><hr>90</hr><cadence>80</cadence></extensions></trkpt>`, load.Sample{At: at, Position: place, Heart: 90, Cadence: 80, Has: load.HasPosition | load.HasHeart | load.HasCadence}, ""},
		{"RunCadence", open + `<extensions><RunCadence>81</RunCadence></extensions></trkpt>`, load.Sample{At: at, Position: place, Cadence: 81, Has: load.HasPosition | load.HasCadence}, ""},
		{"speed of GPX 1.0 goes first", open + `<speed>2.5</speed><extensions><speed>9</speed></extensions></trkpt>`, load.Sample{At: at, Position: place, Speed: 2.5, Has: load.HasPosition | load.HasSpeed}, ""},
		{"empty extension erases nothing", open + `<extensions><hr>90</hr><hr/></extensions></trkpt>`, load.Sample{At: at, Position: place, Heart: 90, Has: load.HasPosition | load.HasHeart}, ""},
		{"values outside their place", open + `<hr>90</hr><extensions><ele>7</ele><time>2001-01-01T00:00:00Z</time></extensions></trkpt>`, load.Sample{At: at, Position: place, Has: load.HasPosition}, ""},
		{"heart 0", open + `<extensions><hr>0</hr></extensions></trkpt>`, load.Sample{At: at, Position: place, Has: load.HasPosition}, "heart"},
		{"heart 256", open + `<extensions><hr>256</hr></extensions></trkpt>`, load.Sample{At: at, Position: place, Has: load.HasPosition}, "heart"},
		{"heart below zero", open + `<extensions><hr>-5</hr></extensions></trkpt>`, load.Sample{At: at, Position: place, Has: load.HasPosition}, "heart"},
		{"heart in words", open + `<extensions><hr>abc</hr></extensions></trkpt>`, load.Sample{At: at, Position: place, Has: load.HasPosition}, "heart"},
		{"heart with a fraction", open + `<extensions><hr>141.6</hr></extensions></trkpt>`, load.Sample{At: at, Position: place, Heart: 142, Has: load.HasPosition | load.HasHeart}, ""},
		{"heart 255 is judged elsewhere", open + `<extensions><hr>255</hr></extensions></trkpt>`, load.Sample{At: at, Position: place, Heart: 255, Has: load.HasPosition | load.HasHeart}, ""},
		{"altitude is a filler", open + `<ele>-32768</ele></trkpt>`, load.Sample{At: at, Position: place, Has: load.HasPosition}, "value"},
		{"altitude NaN", open + `<ele>NaN</ele></trkpt>`, load.Sample{At: at, Position: place, Has: load.HasPosition}, "value"},
		{"altitude beyond all", open + `<ele>1e308</ele></trkpt>`, load.Sample{At: at, Position: place, Has: load.HasPosition}, "value"},
		{"altitude empty", open + `<ele></ele></trkpt>`, load.Sample{At: at, Position: place, Has: load.HasPosition}, ""},
		{"speed below zero", open + `<speed>-1</speed></trkpt>`, load.Sample{At: at, Position: place, Has: load.HasPosition}, "value"},
		{"distance below zero", open + `<extensions><distance>-1</distance></extensions></trkpt>`, load.Sample{At: at, Position: place, Has: load.HasPosition}, "value"},
		{"cadence in words", open + `<extensions><cad>fast</cad></extensions></trkpt>`, load.Sample{At: at, Position: place, Has: load.HasPosition}, "value"},
		{"no coordinates", `<trkpt><time>2024-11-08T11:33:20Z</time></trkpt>`, load.Sample{At: at}, "position"},
		{"empty coordinates", `<trkpt lat="" lon=""><time>2024-11-08T11:33:20Z</time></trkpt>`, load.Sample{At: at}, "position"},
		{"NaN and Inf", `<trkpt lat="NaN" lon="Inf"><time>2024-11-08T11:33:20Z</time></trkpt>`, load.Sample{At: at}, "position"},
		{"half a position", `<trkpt lat="10.5"><time>2024-11-08T11:33:20Z</time></trkpt>`, load.Sample{At: at}, "position"},
		{"off the globe is judged elsewhere", `<trkpt lat="95.5" lon="200"><time>2024-11-08T11:33:20Z</time></trkpt>`, load.Sample{At: at, Position: load.Position{Lat: 95.5, Lon: 200}, Has: load.HasPosition}, ""},
		{"null island is judged elsewhere", `<trkpt lat="0" lon="0"><time>2024-11-08T11:33:20Z</time></trkpt>`, load.Sample{At: at, Has: load.HasPosition}, ""},
		{"decimal comma", `<trkpt lat="10,5" lon="-30,25"><time>2024-11-08T11:33:20Z</time></trkpt>`, load.Sample{At: at, Position: place, Has: load.HasPosition}, "markup"},
		{"no zone", `<trkpt lat="10.5" lon="-30.25"><time>2024-11-08T11:33:20</time></trkpt>`, load.Sample{At: at, Position: place, Has: load.HasPosition}, "time"},
		{"misspelt end tag", `<trkpt lat="10.5" lon="-30.25"><ele>1</elev><time>2024-11-08T11:33:20Z</time></trkpt>`, load.Sample{At: at, Position: place, Altitude: 1, Has: load.HasPosition | load.HasAltitude}, "markup"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := decodeOne(t, document(test.point))
			if diff := cmp.Diff([]load.Sample{test.want}, a.Samples); diff != "" {
				t.Errorf("samples (-want +got):\n%s", diff)
			}
			if got := codes(a.Notes); got != test.notes {
				t.Errorf("notes %q, want %q", got, test.notes)
			}
		})
	}
}

func TestDecodeSport(t *testing.T) {
	tests := []struct {
		word    string
		sport   load.Sport
		detail  string
		surface load.Surface
	}{
		{"running", load.Running, "", ""},
		{"Run", load.Running, "", ""},
		{"9", load.Running, "", ""},
		{"19", load.UnknownSport, "19", ""},
		{"trail_running", load.Running, "trail_running", load.Trail},
		{"treadmill_running", load.Running, "treadmill_running", load.Treadmill},
		{"indoor running", load.Running, "indoor running", load.Treadmill},
		{"indoor_cycling", load.Cycling, "indoor_cycling", ""},
		{"JOGGING", load.Running, "JOGGING", ""},
		{"walking", load.Walking, "", ""},
		{"Hiking", load.Walking, "Hiking", ""},
		{"cycling", load.Cycling, "", ""},
		{"mountain_biking", load.Cycling, "mountain_biking", ""},
		{"Ride", load.Cycling, "", ""},
		{"open_water_swimming", load.Swimming, "open_water_swimming", ""},
		{"kayaking", load.UnknownSport, "kayaking", ""},
		{"", load.UnknownSport, "", ""},
		{" \n ", load.UnknownSport, "", ""},
	}
	places := []struct{ name, xml string }{
		{"type", "<type>%s</type>"},
		{"extension", "<extensions><e:TrackExtension><e:activity>%s</e:activity></e:TrackExtension></extensions>"},
	}
	for _, place := range places {
		for _, test := range tests {
			t.Run(place.name+"/"+test.word, func(t *testing.T) {
				word := fmt.Sprintf(place.xml, test.word)
				a := decodeOne(t, head+"<trk>"+word+"<trkseg>"+points(2)+"</trkseg></trk></gpx>")
				if a.Sport != test.sport || a.Detail != test.detail || a.Surface != test.surface {
					t.Errorf("got %v, %q, %q, want %v, %q, %q", a.Sport, a.Detail, a.Surface, test.sport, test.detail, test.surface)
				}
			})
		}
	}
	t.Run("type goes before extension", func(t *testing.T) {
		a := decodeOne(t, head+"<trk><extensions><activity>cycling</activity></extensions><type>running</type><trkseg>"+points(2)+"</trkseg></trk></gpx>")
		if a.Sport != load.Running {
			t.Errorf("sport %v, want running", a.Sport)
		}
	})
}

func TestDecodeName(t *testing.T) {
	tests := []struct{ name, in, want, notes string }{
		{"plain", "Morning run", "Morning run", ""},
		{"blanks", "\n  Morning\n  run ", "Morning run", ""},
		{"references", "Hill &amp; dale &#x2013; 5 &lt; 6", "Hill & dale – 5 < 6", ""},
		{"CDATA with a comment and an instruction", "<!-- c --><?pi x?><![CDATA[a <b> & c]]>", "a <b> & c", ""},
		{"bare ampersand", "Run & fun", "Run & fun", "markup"},
		{"entity of its own", "&lol;", "&lol;", "markup"},
		{"control character", "a\x01b", "ab", "markup"},
		{"invalid UTF-8", "bad \xff\xfe", "bad \uFFFD\uFFFD", "markup"},
		{"200 characters", strings.Repeat("é", 200), strings.Repeat("é", 200), ""},
		{"201 characters", strings.Repeat("é", 201), strings.Repeat("é", 200), "markup"},
		{"a million", strings.Repeat("B", 1_000_000), strings.Repeat("B", 200), "markup markup"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := decodeOne(t, head+"<trk><name>"+test.in+"</name><trkseg>"+points(2)+"</trkseg></trk></gpx>")
			if a.Name != test.want {
				t.Errorf("name %q, want %q", a.Name, test.want)
			}
			if got := codes(a.Notes); got != test.notes {
				t.Errorf("notes %q, want %q", got, test.notes)
			}
		})
	}
}

func TestDecodeOffset(t *testing.T) {
	tests := []struct {
		name  string
		times []string
		want  time.Duration
		has   bool
		notes string
	}{
		{"UTC", []string{"2024-11-08T11:33:20Z"}, 0, false, ""},
		{"ahead, with a fraction", []string{"2024-11-08T12:33:20.250+01:00"}, time.Hour, true, ""},
		{"behind", []string{"2024-11-08T08:03:20-03:30"}, -210 * time.Minute, true, ""},
		{"zero is UTC", []string{"2024-11-08T11:33:20+00:00"}, 0, false, ""},
		{"first that is not UTC", []string{"2024-11-08T11:33:20Z", "2024-11-08T12:33:21+01:00", "2024-11-08T13:33:22+02:00"}, time.Hour, true, ""},
		{"no zone's minutes", []string{"2024-11-08T11:51:20+00:18"}, 0, false, "offset"},
		{"no zone's hours", []string{"2024-11-09T03:33:20+16:00"}, 0, false, "offset"},
		{"a zone after one that is none", []string{"2024-11-08T11:51:20+00:18", "2024-11-08T12:33:21+01:00"}, time.Hour, true, ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := decodeOne(t, document(points(len(test.times), func(i int, p *point) { p.time = test.times[i] })))
			if a.Offset != test.want || a.HasOffset != test.has || codes(a.Notes) != test.notes {
				t.Errorf("got %v, %v, %q, want %v, %v, %q", a.Offset, a.HasOffset, codes(a.Notes), test.want, test.has, test.notes)
			}
			if got := a.Start.Time().Truncate(time.Second); !got.Equal(start) {
				t.Errorf("start %v, want %v", got, start)
			}
		})
	}
}

func TestDecodePauses(t *testing.T) {
	border := "</trkseg><trkseg>"
	at := func(i int) load.Instant { return load.InstantOf(start.Add(time.Duration(i) * time.Second)) }
	one := func(i int) string { return pointAt(i).String() }
	untimed := pointAt(0)
	untimed.time = ""
	tests := []struct {
		name, in string
		want     []load.Span
	}{
		{"none", one(0) + one(1), nil},
		{"one", one(0) + one(1) + border + one(300) + one(301), []load.Span{{From: at(1), To: at(300)}}},
		{"two", one(0) + border + one(10) + border + one(20), []load.Span{{From: at(0), To: at(10)}, {From: at(10), To: at(20)}}},
		{"empty segments", border + one(0) + border + border + one(10) + border, []load.Span{{From: at(0), To: at(10)}}},
		{"from and to timed points", one(0) + untimed.String() + border + untimed.String() + one(10), []load.Span{{From: at(0), To: at(10)}}},
		{"no time between", one(5) + border + one(5), nil},
		{"backwards", one(5) + border + one(3), nil},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := decodeOne(t, document(test.in))
			if diff := cmp.Diff(test.want, a.Pauses); diff != "" {
				t.Errorf("pauses (-want +got):\n%s", diff)
			}
		})
	}
}

func TestDecodeTracks(t *testing.T) {
	trk := func(kind, segment string) string {
		return "<trk><type>" + kind + "</type><trkseg>" + segment + "</trkseg></trk>"
	}
	noTime := func(_ int, p *point) { p.time = "" }
	tests := []struct {
		name, in string
		samples  []int
		notes    []string
	}{
		{"two", trk("running", points(3)) + trk("cycling", points(2)), []int{3, 2}, []string{"", ""}},
		{"one without times", trk("running", points(3)) + trk("running", points(2, noTime)), []int{3}, []string{"skipped"}},
		{"one without points", trk("running", "") + trk("running", points(2)), []int{2}, []string{"skipped"}},
		{"route and waypoints beside", "<wpt lat='1' lon='2'><time>2024-11-08T11:33:20Z</time></wpt><rte><rtept/></rte>" + trk("running", points(2)), []int{2}, []string{"skipped skipped"}},
		{"time on each third", trk("running", points(9, func(i int, p *point) {
			if i%3 != 0 {
				p.time = ""
			}
		})), []int{3}, []string{"time"}},
		{"points without a segment", "<trk>" + points(2) + "</trk>", []int{2}, []string{""}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			activities, err := gpx.Decode([]byte(head+test.in+"</gpx>"), gpx.DefaultLimits)
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

func TestDecodeLimits(t *testing.T) {
	trk := "<trk><trkseg>" + points(10) + "</trkseg></trk>"
	tests := []struct {
		name    string
		lim     gpx.Limits
		samples []int
		skipped int // of the first activity
	}{
		{"none reached", gpx.Limits{}, []int{10, 10, 10}, 0},
		{"points", gpx.Limits{Points: 12}, []int{10, 2}, 1},
		{"activities", gpx.Limits{Activities: 1}, []int{10}, 1},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			activities, err := gpx.Decode([]byte(head+trk+trk+trk+"</gpx>"), test.lim)
			if err != nil {
				t.Fatal(err)
			}
			var samples []int
			for _, a := range activities {
				samples = append(samples, len(a.Samples))
			}
			if diff := cmp.Diff(test.samples, samples); diff != "" {
				t.Errorf("samples (-want +got):\n%s", diff)
			}
			if got := strings.Count(codes(activities[0].Notes), "skipped"); got != test.skipped {
				t.Errorf("%d notes of what was left out, want %d", got, test.skipped)
			}
		})
	}
}

func TestDecodeRefuses(t *testing.T) {
	noTime := func(_ int, p *point) { p.time = "" }
	badTime := func(_ int, p *point) { p.time = "1731065600" }
	bomb := "<?xml version=\"1.0\"?>\n<!DOCTYPE gpx [<!ENTITY a \"aa\"><!ENTITY b \"&a;&a;\">]>\n"
	external := "<?xml version=\"1.0\"?>\n<!DOCTYPE gpx [<!ENTITY x SYSTEM \"file:///etc/hostname\">]>\n"
	headless := strings.TrimPrefix(document(points(2)), head)
	tests := []struct {
		name, in string
		want     error // nil: any
		offset   int
	}{
		{"empty", "", xmlscan.ErrEmpty, 0},
		{"NULs", strings.Repeat("\x00", 4096), xmlscan.ErrNoXML, 0},
		{"an error page", "<!DOCTYPE html><html><body><h1>502</h1></body></html>", nil, len("<!DOCTYPE html>")},
		{"planned route", head + "<rte><rtept lat='1' lon='2'/></rte></gpx>", gpx.ErrRoute, len(head)},
		{"waypoints", head + "<wpt lat='1' lon='2'><time>2024-11-08T11:33:20Z</time></wpt></gpx>", gpx.ErrWaypoints, len(head)},
		{"empty segment", head + "<trk><trkseg></trkseg></trk></gpx>", gpx.ErrNoPoints, len(head)},
		{"nothing at all", head + "</gpx>", gpx.ErrNoPoints, 0},
		{"no times", head + "<trk><trkseg>" + points(9, noTime) + "</trkseg></trk></gpx>", gpx.ErrNoTimes, len(head)},
		{"no usable times", head + "<trk><trkseg>" + points(9, badTime) + "</trkseg></trk></gpx>", gpx.ErrNoTimes, len(head)},
		{"no times beside a route", head + "<rte/><trk><trkseg>" + points(9, noTime) + "</trkseg></trk></gpx>", gpx.ErrNoTimes, len(head + "<rte/>")},
		{"entities", bomb + "<gpx><trk><name>&b;</name>" + headless, xmlscan.ErrEntity, len("<?xml version=\"1.0\"?>\n")},
		{"external entity", external + "<gpx><trk><name>&x;</name>" + headless, xmlscan.ErrEntity, len("<?xml version=\"1.0\"?>\n")},
		{"20,000 deep", head + "<trk>" + strings.Repeat("<a>", 20_000) + strings.Repeat("</a>", 20_000) + "</trk></gpx>", xmlscan.ErrDepth, len(head) + len("<trk>") + 62*3},
		{"300,000 deep and unclosed", head + strings.Repeat("<a>", 300_000), xmlscan.ErrDepth, len(head) + 63*3},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			activities, err := gpx.Decode([]byte(test.in), gpx.DefaultLimits)
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
			if decode.Format != "gpx" || decode.Offset != int64(test.offset) {
				t.Errorf("format %q, offset %d, want gpx, %d", decode.Format, decode.Offset, test.offset)
			}
		})
	}
}

// TestDecodePassesOn holds what is judged elsewhere, for all formats alike: such
// points stay as they are, in the order of the file and without a remark.
func TestDecodePassesOn(t *testing.T) {
	shift := func(d time.Duration) func(i int, p *point) {
		return func(i int, p *point) {
			if i >= 5 {
				p.time = start.Add(time.Duration(i)*time.Second + d).Format(time.RFC3339)
			}
		}
	}
	tests := []struct {
		name   string
		change func(i int, p *point)
	}{
		{"times that run back", shift(-time.Hour)},
		{"a gap of a day", shift(24 * time.Hour)},
		{"over a year", shift(400 * 24 * time.Hour)},
		{"one time for all", func(_ int, p *point) { p.time = "2024-11-08T11:33:20Z" }},
		{"the year 1", func(_ int, p *point) { p.time = "0001-01-01T00:00:00Z" }},
		{"the year 2091", func(_ int, p *point) { p.time = "2091-01-01T00:00:00Z" }},
		{"a jump", func(_ int, p *point) { p.lat = "14.5" }},
		{"off the globe", func(_ int, p *point) { p.lat, p.lon = "95.1", "200.5" }},
		{"null island", func(_ int, p *point) { p.lat, p.lon = "0.0", "0.0" }},
		{"latitude and longitude swapped", func(_ int, p *point) { p.lat, p.lon = p.lon, p.lat }},
		{"a high heart rate", func(_ int, p *point) { p.hr = "250" }},
		{"a high cadence", func(_ int, p *point) { p.cad = "254" }},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := decodeOne(t, document(points(10, test.change)))
			var want []load.Instant
			for i := range 10 {
				p := pointAt(i)
				test.change(i, &p)
				at, err := time.Parse(time.RFC3339, p.time)
				if err != nil {
					t.Fatal(err)
				}
				want = append(want, load.InstantOf(at))
			}
			var got []load.Instant
			for _, s := range a.Samples {
				got = append(got, s.At)
			}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("times (-want +got):\n%s", diff)
			}
			if whole := count(&a, load.HasPosition|load.HasHeart|load.HasCadence); whole != 10 || codes(a.Notes) != "" {
				t.Errorf("%d whole samples, notes %q, want 10 and none", whole, codes(a.Notes))
			}
		})
	}
}

// TestDecodeDocument changes a healthy document of 50 points as a whole.
func TestDecodeDocument(t *testing.T) {
	healthy := document(points(50))
	replace := func(from, to string) string {
		if !strings.Contains(healthy, from) {
			t.Fatalf("the document has no %q", from)
		}
		return strings.ReplaceAll(healthy, from, to)
	}
	third := strings.Index(healthy, pointAt(3).time)
	tests := []struct {
		name, in string
		samples  int
		notes    string
	}{
		{"healthy", healthy, 50, ""},
		{"GPX 1.0", replace(`version="1.1"`, `version="1.0"`), 50, ""},
		{"unknown version", replace(`version="1.1"`, `version="9.9"`), 50, ""},
		{"other prefix", replace("gpxtpx:", "ns3:"), 50, ""},
		{"undeclared prefix", replace(` xmlns:gpxtpx="http://www.garmin.com/xmlschemas/TrackPointExtension/v1"`, ""), 50, ""},
		{"no namespace", replace(` xmlns="http://www.topografix.com/GPX/1/1"`, ""), 50, ""},
		{"version 2 of the extension", replace("TrackPointExtension/v1", "TrackPointExtension/v2"), 50, ""},
		{"byte-order mark", "\xEF\xBB\xBF" + healthy, 50, ""},
		{"leading blanks", "\n   " + healthy, 50, ""},
		{"plain DOCTYPE", replace("?>\n<gpx", "?>\n<!DOCTYPE gpx SYSTEM \"gpx.dtd\">\n<gpx"), 50, "markup"},
		{"unknown encoding", replace("UTF-8", "x-klingon"), 50, "markup"},
		{"attribute of a megabyte", replace(`creator="synthetic"`, `creator="`+strings.Repeat("A", 1_000_000)+`"`), 50, ""},
		{"50,000 attributes", replace("<trkseg>", "<trkseg "+strings.Repeat(`a="1" `, 50_000)+">"), 50, ""},
		{"second root", healthy + healthy, 50, "trailing"},
		{"junk behind", healthy + "junk", 50, "trailing"},
		{"cut in a time", healthy[:third+10], 3, "truncated"},
		{"cut in a tag", healthy[:third-3], 3, "truncated"},
		{"cut before the end of the root", strings.TrimSuffix(healthy, "</gpx>\n"), 50, "truncated"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			a := decodeOne(t, test.in)
			if len(a.Samples) != test.samples || codes(a.Notes) != test.notes {
				t.Errorf("%d samples, notes %q, want %d, %q", len(a.Samples), codes(a.Notes), test.samples, test.notes)
			}
			if got := count(&a, load.HasPosition|load.HasHeart|load.HasCadence|load.HasAltitude); got != test.samples {
				t.Errorf("%d whole samples, want %d", got, test.samples)
			}
			if a.Name != "synthetic" || a.Sport != load.Running || a.Start != load.InstantOf(start) {
				t.Errorf("name %q, sport %v, start %v", a.Name, a.Sport, a.Start.Time())
			}
		})
	}
}

// TestDecodeAnyCut cuts a document at every byte: what was whole stays, and no
// cut is an error once there is a point.
func TestDecodeAnyCut(t *testing.T) {
	text := document(points(4))
	for cut := range text {
		whole := strings.Count(text[:cut], "</trkpt>")
		activities, err := gpx.Decode([]byte(text[:cut]), gpx.DefaultLimits)
		switch {
		case whole == 0:
			if err == nil {
				t.Fatalf("cut at %d: no error without a point", cut)
			}
		case err != nil:
			t.Fatalf("cut at %d: %v", cut, err)
		case len(activities) != 1 || len(activities[0].Samples) != whole:
			t.Fatalf("cut at %d: %d samples, want %d", cut, len(activities[0].Samples), whole)
		case activities[0].Notes.Has(load.NoteTruncated) != (cut < len(text)-1):
			t.Fatalf("cut at %d: notes %v", cut, activities[0].Notes)
		}
	}
}

func TestSniff(t *testing.T) {
	healthy := document(points(1))
	tests := []struct {
		name, in string
		want     bool
	}{
		{"whole", healthy, true},
		{"start only", healthy[:60], true},
		{"mark and comment", "\xEF\xBB\xBF<!-- <x> --><x:gpx>", true},
		{"TCX", "<TrainingCenterDatabase>", false},
		{"FIT", "\x0e\x20\x00\x00\x00\x00\x00\x00.FIT", false},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if got := gpx.Sniff([]byte(test.in)); got != test.want {
				t.Errorf("Sniff = %v, want %v", got, test.want)
			}
		})
	}
}
