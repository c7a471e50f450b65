package wire

import "tidemark/load"

// Inspected is what was understood of one activity of a file.
type Inspected struct {
	Format   string  `json:"format"`
	Sport    string  `json:"sport"`
	SubSport *string `json:"sub_sport"`

	Start      string   `json:"start"`
	Zone       *string  `json:"zone"`
	ZoneSource string   `json:"zone_source"`
	Day        load.Day `json:"day"`

	Elapsed float64 `json:"elapsed_s"`
	Timer   float64 `json:"timer_s"`
	Moving  float64 `json:"moving_s"`

	Distance       *float64 `json:"distance_m"`
	DistanceSource *string  `json:"distance_source"`
	DeviceDistance *float64 `json:"device_distance_m"`
	TrackDistance  *float64 `json:"track_distance_m"`
	Ascent         *float64 `json:"ascent_m"`
	Descent        *float64 `json:"descent_m"`

	HeartMean   *float64 `json:"hr_mean"`
	HeartMax    *float64 `json:"hr_max"`
	CadenceMean *float64 `json:"cadence_mean_spm"`
	Steps       *int     `json:"steps"`
	StepsSource *string  `json:"steps_source"`

	Points    int                 `json:"points"`
	Laps      int                 `json:"laps"`
	RunTime   float64             `json:"run_s"`
	WalkTime  float64             `json:"walk_s"`
	RunSpells int                 `json:"run_spells"`
	FlatACSM  *float64            `json:"flat_acsm_m"`
	Measures  map[string]*float64 `json:"measures"`
	Notes     load.Notes          `json:"notes"`
}

// FromSession translates a session that was read from a file of the format.
func FromSession(format string, s *load.Session) Inspected {
	out := Inspected{
		Format: format, Sport: s.Sport.String(), SubSport: subSport(s),
		Start: Instant(s.Start, s.Zone.Offset), Zone: text(s.Zone.Name), ZoneSource: string(s.Zone.Source), Day: s.Day,
		Elapsed: s.Elapsed.Seconds(), Timer: s.Timer.Seconds(), Moving: s.Moving.Seconds(),
		DistanceSource: text(string(s.DistanceSource)),
		DeviceDistance: positive(float64(s.DeviceDistance)), TrackDistance: positive(float64(s.TrackDistance)),
		HeartMean: positive(float64(s.HeartMean)), HeartMax: positive(float64(s.HeartMax)),
		CadenceMean: positive(float64(s.CadenceMean)), StepsSource: text(string(s.StepsSource)),
		Points: s.Points, Laps: s.Laps, RunTime: s.RunTime.Seconds(), WalkTime: s.WalkTime.Seconds(),
		RunSpells: s.RunSpells, FlatACSM: positive(float64(s.FlatACSM)),
		Measures: make(map[string]*float64), Notes: append(load.Notes{}, s.Notes...),
	}
	if s.DistanceSource != "" {
		distance := float64(s.Distance)
		out.Distance = &distance
	}
	if s.HasAscent {
		ascent, descent := float64(s.Ascent), float64(s.Descent)
		out.Ascent, out.Descent = &ascent, &descent
	}
	if s.StepsSource != "" {
		out.Steps = &s.Steps
	}
	for _, m := range load.Measures {
		out.Measures[m.String()] = nil
		if amount, ok := s.Measures.Get(m); ok {
			v := m.In(amount)
			out.Measures[m.String()] = &v
		}
	}
	return out
}

// subSport is the surface, else the file's own word for the sport.
func subSport(s *load.Session) *string {
	if s.Surface != "" {
		return text(string(s.Surface))
	}
	return text(s.Detail)
}
