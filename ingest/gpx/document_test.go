package gpx_test

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// head opens a document of the invented run that the tests share: a circle in
// the Atlantic around 10 N, 30 W, one point a second.
const head = `<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.1" creator="synthetic" xmlns="http://www.topografix.com/GPX/1/1" xmlns:gpxtpx="http://www.garmin.com/xmlschemas/TrackPointExtension/v1">
`

// start is the time of the first point.
var start = time.Date(2024, 11, 8, 11, 33, 20, 0, time.UTC)

// point is the i-th point of the invented run.
type point struct {
	lat, lon, ele string
	time          string // empty: no time element
	hr, cad       string
	more          string // further elements inside trkpt
}

func pointAt(i int) point {
	angle := float64(i) * 3 / 318.3
	return point{
		lat:  fmt.Sprintf("%.7f", 10+318.3/111320*math.Sin(angle)),
		lon:  fmt.Sprintf("%.7f", -30+318.3/109628*math.Cos(angle)),
		ele:  fmt.Sprintf("%.1f", 100+10*math.Sin(2*angle)),
		time: start.Add(time.Duration(i) * time.Second).Format(time.RFC3339),
		hr:   fmt.Sprint(140 + i%20),
		cad:  fmt.Sprint(82 + i%4),
	}
}

func (p point) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "   <trkpt lat=%q lon=%q>\n    <ele>%s</ele>\n", p.lat, p.lon, p.ele)
	if p.time != "" {
		fmt.Fprintf(&b, "    <time>%s</time>\n", p.time)
	}
	b.WriteString(p.more)
	fmt.Fprintf(&b, "    <extensions>\n     <gpxtpx:TrackPointExtension>\n      <gpxtpx:hr>%s</gpxtpx:hr>\n      <gpxtpx:cad>%s</gpxtpx:cad>\n     </gpxtpx:TrackPointExtension>\n    </extensions>\n   </trkpt>\n", p.hr, p.cad)
	return b.String()
}

// points returns n points, each changed by all of change.
func points(n int, change ...func(i int, p *point)) string {
	var b strings.Builder
	for i := range n {
		p := pointAt(i)
		for _, c := range change {
			c(i, &p)
		}
		b.WriteString(p.String())
	}
	return b.String()
}

// document wraps the points of one segment.
func document(segment string) string {
	return head + " <metadata><time>2024-11-08T11:33:20Z</time></metadata>\n <trk>\n  <name>synthetic</name>\n  <type>running</type>\n  <trkseg>\n" +
		segment + "  </trkseg>\n </trk>\n</gpx>\n"
}
