package ingest

import (
	"fmt"

	"tidemark/load"
)

// sievePositions drops the positions that are on no map. It refuses an activity
// that has no other and whose length nobody else measured.
func sievePositions(a *load.Activity) error {
	var good, off, null int
	var example load.Position
	device := a.Totals.Distance > 0
	for i := range a.Samples {
		s := &a.Samples[i]
		device = device || s.Got(load.HasDistance)
		switch {
		case !s.Got(load.HasPosition):
			continue
		case s.Position.Valid():
			good++
			continue
		case s.Position == load.Position{}:
			null++
		default:
			off, example = off+1, s.Position
		}
		s.Has &^= load.HasPosition
		s.Position = load.Position{}
	}
	if off > 0 && good+null == 0 && !device {
		return offGlobe(example)
	}
	if off+null > 0 {
		a.Notes.Add(load.NotePosition, "positions that are nowhere were left out: %s", listed(count{off, "off the globe"}, count{null, "at 0,0, as a receiver writes before it knows"}))
	}
	return nil
}

func offGlobe(p load.Position) error {
	err := fmt.Errorf("%w (latitude %.4g)", ErrOffGlobe, float64(p.Lat))
	if swapped := (load.Position{Lat: p.Lon, Lon: p.Lat}); swapped.Valid() {
		err = fmt.Errorf("%w; latitude and longitude may be swapped", err)
	}
	return err
}
