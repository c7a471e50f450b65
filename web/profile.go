package web

import (
	"fmt"
	"time"

	"tidemark/load"
	"tidemark/web/chart"
)

// profile is one curve over the time of a recording.
type profile struct {
	chart.Profile
	Name, Unit string
	Label      string // what it is, for those who do not see it
}

// profileTable is the numbers of the curves, stretch by stretch.
type profileTable struct {
	Rows                       []profileRow
	HasPace, HasHeart, HasUp   bool
	HasDistance, HasAnyProfile bool
}

// profileRow is one stretch; empty where nothing was recorded.
type profileRow struct{ Time, Distance, Pace, Heart, Altitude string }

// stretches is how many stretches a recording is shown in: about one for six
// points of a desk's picture.
const stretches = 160

// curves are the profiles that a page has, if the recording has them.
var curves = []struct {
	series     chart.Series
	has        load.Fields
	name, unit string
}{
	{chart.Speed, load.HasSpeed, "Speed", "km/h"},
	{chart.Heart, load.HasHeart, "Heart rate", "bpm"},
	{chart.Altitude, load.HasAltitude, "Elevation", "m"},
}

func (p *runPage) profiles(rec *recording) {
	points := load.ProfileOf(&rec.activity, rec.session.Sport, stretches)
	var all load.Fields
	for i := range points {
		all |= points[i].Has
		p.Table.Rows = append(p.Table.Rows, profileRowOf(&points[i]))
	}
	for _, c := range curves {
		if all&c.has == 0 {
			continue
		}
		curve := chart.NewProfile(points, c.series)
		label := fmt.Sprintf("%s over the time of the run, %.0f to %.0f %s.", c.name, curve.Low, curve.High, c.unit)
		p.Profiles = append(p.Profiles, profile{curve, c.name, c.unit, label})
	}
	p.Table.HasPace, p.Table.HasHeart, p.Table.HasUp = all&load.HasSpeed != 0, all&load.HasHeart != 0, all&load.HasAltitude != 0
	p.Table.HasDistance, p.Table.HasAnyProfile = all&load.HasDistance != 0, len(p.Profiles) > 0
}

func profileRowOf(point *load.ProfilePoint) (row profileRow) {
	row.Time = clock(point.Elapsed.Round(time.Second))
	if point.Has&load.HasDistance != 0 {
		row.Distance = fmt.Sprintf("%.2f", float64(point.Distance)/1000)
	}
	if point.Has&load.HasSpeed != 0 {
		row.Pace = pace(float64(point.Speed))
	}
	if point.Has&load.HasHeart != 0 {
		row.Heart = fmt.Sprint(point.Heart)
	}
	if point.Has&load.HasAltitude != 0 {
		row.Altitude = fmt.Sprintf("%.0f", float64(point.Altitude))
	}
	return row
}
