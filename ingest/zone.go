package ingest

import (
	"sync"
	"time"
	_ "time/tzdata" // so that zones are known on a machine without zone files

	"github.com/ringsaturn/tzf"
	tzfrellite "github.com/ringsaturn/tzf-rel-lite"
	pb "github.com/ringsaturn/tzf/gen/go/tzf/v1"
	"google.golang.org/protobuf/proto"

	"tidemark/load"
)

// ZoneOf decides in which local time a started: the file's own offset if it has
// one, else the zone at the first position, else home, which must not be nil. A
// row of a diary was typed at home. It adds a note to a where the file's offset
// looks forgotten and where the position lies too near a border.
//
// The first call that needs a map of zones takes about 0.1 s for it, and the
// map then takes 10 MB.
func ZoneOf(a *load.Activity, home *time.Location) load.Zone {
	if a.Typed != nil {
		return zoneIn(home, a.Start, load.ZoneFromHome)
	}
	if a.HasOffset {
		noteForgotten(a)
		return load.Zone{Offset: a.Offset, Source: load.ZoneFromFile}
	}
	p, ok := firstPosition(a)
	if !ok {
		return zoneIn(home, a.Start, load.ZoneFromHome)
	}
	there := locationAt(p)
	if there == nil {
		a.Notes.Add(load.NoteZone, "the start is near the border of a time zone: %v, the zone at home, was taken", home)
		return zoneIn(home, a.Start, load.ZoneFromHome)
	}
	return zoneIn(there, a.Start, load.ZoneFromCoordinates)
}

// DayOf returns the civil date on which a started, in the zone that ZoneOf
// decided. A run that crosses midnight stays on it. A diary's row keeps the date
// that was typed.
func DayOf(a *load.Activity, zone load.Zone) load.Day {
	if a.Typed != nil {
		return a.Typed.Day
	}
	return load.DayOf(a.Start.In(zone.Offset))
}

// farFromFile is by how much a zone may differ from an offset of nought in the
// file before that is remarked on. Project default: one hour of summer time and
// one of a border.
const farFromFile = 2 * time.Hour

// noteForgotten remarks on an offset of nought far from Greenwich: some devices
// write their local time as UTC whatever the place.
func noteForgotten(a *load.Activity) {
	p, ok := firstPosition(a)
	if a.Offset != 0 || !ok {
		return
	}
	there := locationAt(p)
	if there == nil {
		return
	}
	if zone := zoneIn(there, a.Start, load.ZoneFromCoordinates); zone.Offset.Abs() > farFromFile {
		a.Notes.Add(load.NoteZone, "the local time in the file is UTC, but the clocks at its start are %s from that: the file's was taken", load.Lasting(zone.Offset.Abs()))
	}
}

func zoneIn(loc *time.Location, at load.Instant, source load.ZoneSource) load.Zone {
	_, seconds := at.Time().In(loc).Zone()
	return load.Zone{Name: loc.String(), Offset: time.Duration(seconds) * time.Second, Source: source}
}

func firstPosition(a *load.Activity) (load.Position, bool) {
	for i := range a.Samples {
		if a.Samples[i].Got(load.HasPosition) {
			return a.Samples[i].Position, true
		}
	}
	return load.Position{}, false
}

// zoneMap is the coarse map of zones, which knows nothing near borders. The
// exact one costs ten times the time and memory.
var zoneMap = sync.OnceValue(func() tzf.F {
	var data pb.PreindexTimezones
	if err := proto.Unmarshal(tzfrellite.PreindexData, &data); err != nil {
		panic("ingest: the embedded map of zones: " + err.Error())
	}
	m, err := tzf.NewFuzzyFinderFromPB(&data)
	if err != nil {
		panic("ingest: the embedded map of zones: " + err.Error())
	}
	return m
})

// locationAt returns the zone at p, or nil near a border and for a zone that
// the program does not know.
func locationAt(p load.Position) *time.Location {
	name := zoneMap().GetTimezoneName(float64(p.Lon), float64(p.Lat))
	if name == "" {
		return nil
	}
	loc, err := time.LoadLocation(name)
	if err != nil {
		return nil
	}
	return loc
}
