package demo

import "math"

// The club's harbour lies at a spot in the open sea, so that no real street or
// home is ever drawn. It is several kilometres off any shore and within the
// coastal waters whose zone is Home.
const (
	harbourLat = 60.38
	harbourLon = -1.95
)

// Home is the IANA zone of the harbour and of everyone in the club.
const Home = "Europe/London"

// The WGS84 ellipsoid (NIMA TR8350.2, table 3.1): half axis in metres and
// flattening.
const (
	halfAxis   = 6378137.0
	flattening = 1 / 298.257223563
)

// loop is a round way from the harbour and back to it.
type loop struct {
	radius  float64 // metres
	bearing float64 // radians from north to the middle of the loop
	rise    float64 // metres between its lowest and highest point
}

var (
	shore   = loop{radius: 410, bearing: 5.2, rise: 9}
	head    = loop{radius: 800, bearing: 4.4, rise: 17}
	roundUp = loop{radius: 2300, bearing: 4.7, rise: 40}
)

// routes says where each kind of outing goes.
var routes = [...]loop{easy: shore, long: head, brisk: shore, walkRun: shore, halting: shore, belt: shore, ride: roundUp, stroll: shore, rest: shore}

// at returns the place after some metres, displaced by metres east and north,
// and the height there.
func (l loop) at(metres, east, north float64) (lat, lon, height float64) {
	turn := metres / l.radius
	sinB, cosB := math.Sincos(l.bearing)
	sinT, cosT := math.Sincos(l.bearing + turn)
	east += l.radius * (sinB - sinT)
	north += l.radius * (cosB - cosT)
	meridian, parallel := curvature(harbourLat)
	lat = harbourLat + degrees(north/meridian)
	lon = harbourLon + degrees(east/parallel)
	return lat, lon, 6 + float64(l.rise/2*(1-math.Cos(turn)))
}

// curvature returns the radii in metres of the meridian and of the parallel at
// a latitude in degrees.
func curvature(lat float64) (meridian, parallel float64) {
	sin, cos := math.Sincos(lat * math.Pi / 180)
	e2 := flattening * (2 - flattening)
	w := math.Sqrt(1 - float64(e2*sin*sin))
	return halfAxis * (1 - e2) / (w * w * w), halfAxis / w * cos
}

func degrees(radians float64) float64 { return radians * 180 / math.Pi }
