package demo

import (
	"encoding/xml"
	"fmt"
	"time"
)

// The structs below mirror the Training Center Database schema, version 2, and
// its activity extension as far as the demo writes them.

type tcxDocument struct {
	XMLName  xml.Name    `xml:"http://www.garmin.com/xmlschemas/TrainingCenterDatabase/v2 TrainingCenterDatabase"`
	Activity tcxActivity `xml:"Activities>Activity"`
}

type tcxActivity struct {
	Sport   string `xml:",attr"`
	ID      string `xml:"Id"`
	Laps    []tcxLap
	Creator tcxCreator
}

type tcxCreator struct {
	Type string `xml:"http://www.w3.org/2001/XMLSchema-instance type,attr"`
	Name string
}

type tcxLap struct {
	XMLName   xml.Name `xml:"Lap"`
	StartTime string   `xml:",attr"`
	Seconds   float64  `xml:"TotalTimeSeconds"`
	Metres    float64  `xml:"DistanceMeters"`
	Calories  int
	Heart     int `xml:"AverageHeartRateBpm>Value"`
	HeartMax  int `xml:"MaximumHeartRateBpm>Value"`
	Intensity string
	Trigger   string `xml:"TriggerMethod"`
	Tracks    []tcxTrack
}

type tcxTrack struct {
	XMLName xml.Name `xml:"Track"`
	Points  []tcxPoint
}

type tcxPoint struct {
	XMLName  xml.Name `xml:"Trackpoint"`
	Time     string
	Lat      float64 `xml:"Position>LatitudeDegrees"`
	Lon      float64 `xml:"Position>LongitudeDegrees"`
	Altitude float64 `xml:"AltitudeMeters"`
	Metres   float64 `xml:"DistanceMeters"`
	Heart    int     `xml:"HeartRateBpm>Value"`
	More     tcxMore `xml:"Extensions>TPX"`
}

type tcxMore struct {
	XMLName xml.Name `xml:"http://www.garmin.com/xmlschemas/ActivityExtension/v2 TPX"`
	Speed   float64
	Cadence int `xml:"RunCadence"`
}

// tcxBytes returns r, a run, as a TCX file: a lap a kilometre, and in it a track
// between two pauses.
func tcxBytes(r *recording) []byte {
	doc := tcxDocument{Activity: tcxActivity{
		Sport: "Running", ID: tcxTime(r.start), Creator: tcxCreator{Type: "Device_t", Name: "Watch"},
	}}
	for i, l := range r.laps() {
		doc.Activity.Laps = append(doc.Activity.Laps, r.tcxLap(l, i == 0))
	}
	data, err := xml.MarshalIndent(doc, "", " ")
	if err != nil {
		panic(fmt.Sprintf("demo: write TCX: %v", err))
	}
	return append([]byte(xml.Header), data...)
}

// tcxLap returns one lap. The point that ends a lap begins the next, and is
// written once.
func (r *recording) tcxLap(l lap, first bool) tcxLap {
	t := r.totals(l.points)
	out := tcxLap{
		StartTime: tcxTime(r.at(l.points[0].second)), Seconds: float64(t.timer), Metres: decimals(t.metres, 2),
		Heart: whole(t.heart), HeartMax: whole(t.heartMax), Intensity: "Active", Trigger: "Distance",
	}
	points := l.points
	if !first {
		points = points[1:]
	}
	for i := range points {
		if i == 0 || points[i].leg != points[i-1].leg {
			out.Tracks = append(out.Tracks, tcxTrack{})
		}
		track := &out.Tracks[len(out.Tracks)-1]
		track.Points = append(track.Points, r.tcxPoint(&points[i]))
	}
	return out
}

// tcxPoint returns one sample.
func (r *recording) tcxPoint(p *point) tcxPoint {
	return tcxPoint{
		Time: tcxTime(r.at(p.second)), Lat: decimals(p.lat, 7), Lon: decimals(p.lon, 7),
		Altitude: decimals(p.height, 1), Metres: decimals(p.metres, 2), Heart: whole(p.heart),
		More: tcxMore{Speed: decimals(p.speed, 3), Cadence: whole(p.turns)},
	}
}

func tcxTime(t time.Time) string { return t.UTC().Format("2006-01-02T15:04:05.000Z") }
