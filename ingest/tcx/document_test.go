package tcx_test

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// head opens a document of the invented run that the tests share: a circle in
// the Atlantic around 10 N, 30 W, one trackpoint a second at 3 m/s.
const head = `<?xml version="1.0" encoding="UTF-8"?>
<TrainingCenterDatabase xmlns="http://www.garmin.com/xmlschemas/TrainingCenterDatabase/v2" xmlns:ns3="http://www.garmin.com/xmlschemas/ActivityExtension/v2" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
`

// start is the time of the first trackpoint.
var start = time.Date(2024, 11, 8, 11, 33, 20, 0, time.UTC)

// stamp writes the time i seconds after the start.
func stamp(i int) string {
	return start.Add(time.Duration(i) * time.Second).Format("2006-01-02T15:04:05.000Z07:00")
}

// point is a trackpoint; an empty field leaves its element out.
type point struct {
	time, lat, lon, altitude, distance string
	hr, cadence, speed, runCadence     string
}

func pointAt(i int) point {
	angle := float64(i) * 3 / 318.3
	return point{
		time:       stamp(i),
		lat:        fmt.Sprintf("%.9f", 10+318.3/111320*math.Sin(angle)),
		lon:        fmt.Sprintf("%.9f", -30+318.3/109628*math.Cos(angle)),
		altitude:   fmt.Sprintf("%.2f", 100+10*math.Sin(2*angle)),
		distance:   fmt.Sprintf("%d.0", 3*i),
		hr:         fmt.Sprint(140 + i%20),
		speed:      "3.000",
		runCadence: fmt.Sprint(82 + i%4),
	}
}

func (p point) String() string {
	var b strings.Builder
	element := func(indent int, name, value string) {
		if value != "" {
			fmt.Fprintf(&b, "%*s<%s>%s</%s>\n", indent, "", name, value, strings.Fields(name)[0])
		}
	}
	b.WriteString("     <Trackpoint>\n")
	element(6, "Time", p.time)
	if p.lat != "" || p.lon != "" {
		b.WriteString("      <Position>\n")
		element(7, "LatitudeDegrees", p.lat)
		element(7, "LongitudeDegrees", p.lon)
		b.WriteString("      </Position>\n")
	}
	element(6, "AltitudeMeters", p.altitude)
	element(6, "DistanceMeters", p.distance)
	if p.hr != "" {
		b.WriteString("      <HeartRateBpm>\n")
		element(7, "Value", p.hr)
		b.WriteString("      </HeartRateBpm>\n")
	}
	element(6, "Cadence", p.cadence)
	b.WriteString("      <Extensions>\n       <ns3:TPX>\n")
	element(8, "ns3:Speed", p.speed)
	element(8, "ns3:RunCadence", p.runCadence)
	b.WriteString("        <ns3:Watts>230</ns3:Watts>\n       </ns3:TPX>\n      </Extensions>\n     </Trackpoint>\n")
	return b.String()
}

// points returns the trackpoints from first up to and without end, each changed
// by all of change.
func points(first, end int, change ...func(i int, p *point)) string {
	var b strings.Builder
	for i := first; i < end; i++ {
		p := pointAt(i)
		for _, c := range change {
			c(i, &p)
		}
		b.WriteString(p.String())
	}
	return b.String()
}

func track(trackpoints string) string {
	return "    <Track>\n" + trackpoints + "    </Track>\n"
}

// lap wraps tracks with the sums of the seconds that they last.
func lap(first, seconds int, tracks string) string {
	return fmt.Sprintf("   <Lap StartTime=%q>\n    <TotalTimeSeconds>%d.0</TotalTimeSeconds>\n    <DistanceMeters>%d.0</DistanceMeters>\n    <Calories>180</Calories>\n    <AverageHeartRateBpm><Value>144</Value></AverageHeartRateBpm>\n    <Intensity>Active</Intensity>\n    <TriggerMethod>Manual</TriggerMethod>\n%s    <Extensions><ns3:LX><ns3:AvgSpeed>3.0</ns3:AvgSpeed><ns3:Steps>%d</ns3:Steps></ns3:LX></Extensions>\n   </Lap>\n",
		stamp(first), seconds, 3*seconds, tracks, 3*seconds)
}

func activity(sport, laps string) string {
	return fmt.Sprintf("  <Activity Sport=%q>\n   <Id>%s</Id>\n%s   <Creator xsi:type=\"Device_t\"><Name>synthetic</Name></Creator>\n  </Activity>\n", sport, stamp(0), laps)
}

func document(activities string) string {
	return head + " <Activities>\n" + activities + " </Activities>\n</TrainingCenterDatabase>\n"
}

// run is a whole document of one lap of n trackpoints.
func run(n int, change ...func(i int, p *point)) string {
	return document(activity("Running", lap(0, n-1, track(points(0, n, change...)))))
}
