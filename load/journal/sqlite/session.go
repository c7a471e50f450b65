package sqlite

import (
	"database/sql"
	"errors"
	"fmt"

	"tidemark/load"
	"tidemark/load/journal"
)

func (t *tx) AddSession(runner journal.RunnerID, sum journal.Sum, s load.Session) error {
	notes, err := marshal(s.Notes)
	if err != nil {
		return fmt.Errorf("write notes: %w", err)
	}
	_, err = t.exec(`INSERT INTO activity (runner, id, sum, sport, detail, surface, start_at, end_at, no_start,
			zone, zone_offset, zone_source, device, points, laps, positions, notes)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17)`,
		runner, s.ID, sum[:], s.Sport.String(), s.Detail, s.Surface, s.Start, s.End, s.NoStart,
		s.Zone.Name, s.Zone.Offset, s.Zone.Source, s.Device, s.Points, s.Laps, s.HasPositions, notes)
	if err != nil {
		return err
	}
	heart, _ := s.HeartTimes.MarshalBinary() // neither can fail
	speeds, _ := s.Speeds.MarshalBinary()
	_, err = t.exec(`INSERT INTO session (runner, day, start_at, id, sport, race, typed, excluded, double, shoe, note,
			elapsed, timer, moving, run_time, walk_time, run_spells, flat_acsm,
			distance, distance_source, device_distance, track_distance, ascent, descent,
			heart_mean, heart_max, cadence_mean, steps, steps_source,
			heart_peak, heart_times, heart_covered, speeds, tendon_low, tendon_high,
			measure_distance, measure_time, measure_run_distance, measure_run_time, measure_flat, measure_exertion, measure_steps, measure_tendon)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21, $22, $23,
			$24, $25, $26, $27, $28, $29, $30, $31, $32, $33, $34, $35, $36, $37, $38, $39, $40, $41, $42, $43)`,
		runner, s.Day, s.Start, s.ID, s.Sport.String(), s.Race, s.Typed, s.Excluded, s.Double, s.Shoe, s.Note,
		s.Elapsed, s.Timer, s.Moving, s.RunTime, s.WalkTime, s.RunSpells, float64(s.FlatACSM),
		float64(s.Distance), s.DistanceSource, float64(s.DeviceDistance), float64(s.TrackDistance),
		null(float64(s.Ascent), s.HasAscent), null(float64(s.Descent), s.HasAscent),
		s.HeartMean, s.HeartMax, float64(s.CadenceMean), s.Steps, s.StepsSource,
		s.HeartPeak, heart, s.HeartCovered, speeds, s.TendonBand[0], s.TendonBand[1],
		amount(&s, load.Distance), amount(&s, load.Time), amount(&s, load.RunDistance), amount(&s, load.RunTime), amount(&s, load.Flat),
		amount(&s, load.Exertion), amount(&s, load.Steps), amount(&s, load.Tendon))
	return err
}

func amount(s *load.Session, m load.Measure) sql.Null[int64] {
	v, ok := s.Measures.Get(m)
	return null(int64(v), ok)
}

// measureColumns are the measures in the order of their columns. Heart has none: it
// depends on the runner, and follows from the time at each heart rate.
var measureColumns = []load.Measure{load.Distance, load.Time, load.RunDistance, load.RunTime, load.Flat, load.Exertion, load.Steps, load.Tendon}

const selectSession = `SELECT s.id, s.day, s.start_at, a.end_at, a.no_start, a.zone, a.zone_offset, a.zone_source,
		s.sport, a.detail, a.surface, s.race, s.typed, s.excluded, s.double, s.shoe, s.note,
		s.elapsed, s.timer, s.moving, s.run_time, s.walk_time, s.run_spells, s.flat_acsm,
		s.distance, s.distance_source, s.device_distance, s.track_distance, s.ascent, s.descent,
		s.heart_mean, s.heart_max, s.cadence_mean, s.steps, s.steps_source,
		a.points, a.laps, a.positions, a.device, a.notes,
		s.heart_peak, s.heart_times, s.heart_covered, s.speeds, s.tendon_low, s.tendon_high,
		s.measure_distance, s.measure_time, s.measure_run_distance, s.measure_run_time, s.measure_flat, s.measure_exertion, s.measure_steps, s.measure_tendon
	FROM session s JOIN activity a ON a.runner = s.runner AND a.id = s.id WHERE s.runner = $1`

func scanSession(row scanner) (s load.Session, err error) {
	var sport, notes string
	var ascent, descent sql.Null[float64]
	var heart, speeds []byte
	measured := make([]sql.Null[int64], len(measureColumns))
	err = row.Scan(&s.ID, &s.Day, &s.Start, &s.End, &s.NoStart, &s.Zone.Name, &s.Zone.Offset, &s.Zone.Source,
		&sport, &s.Detail, &s.Surface, &s.Race, &s.Typed, &s.Excluded, &s.Double, &s.Shoe, &s.Note,
		&s.Elapsed, &s.Timer, &s.Moving, &s.RunTime, &s.WalkTime, &s.RunSpells, &s.FlatACSM,
		&s.Distance, &s.DistanceSource, &s.DeviceDistance, &s.TrackDistance, &ascent, &descent,
		&s.HeartMean, &s.HeartMax, &s.CadenceMean, &s.Steps, &s.StepsSource,
		&s.Points, &s.Laps, &s.HasPositions, &s.Device, &notes,
		&s.HeartPeak, &heart, &s.HeartCovered, &speeds, &s.TendonBand[0], &s.TendonBand[1],
		&measured[0], &measured[1], &measured[2], &measured[3], &measured[4], &measured[5], &measured[6], &measured[7])
	if err != nil {
		return s, err
	}
	s.Ascent, s.Descent, s.HasAscent = load.Metres(ascent.V), load.Metres(descent.V), ascent.Valid
	for i, m := range measureColumns {
		if measured[i].Valid {
			s.Measures.Set(m, load.Amount(measured[i].V))
		}
	}
	if s.Sport, err = load.ParseSport(sport); err != nil {
		return s, err
	}
	if err := errors.Join(s.HeartTimes.UnmarshalBinary(heart), s.Speeds.UnmarshalBinary(speeds)); err != nil {
		return s, fmt.Errorf("read session %s: %w", s.ID, err)
	}
	if err := unmarshal(notes, &s.Notes); err != nil {
		return s, fmt.Errorf("read notes of session %s: %w", s.ID, err)
	}
	return s, nil
}

func (t *tx) Session(runner journal.RunnerID, id string) (load.Session, error) {
	return one(t, scanSession, "session "+id, selectSession+` AND s.id = $2`, runner, id)
}

func (t *tx) HasSession(runner journal.RunnerID, id string) (bool, error) {
	return t.exists(`SELECT EXISTS (SELECT 1 FROM session WHERE runner = $1 AND id = $2)`, runner, id)
}

func (t *tx) Sessions(runner journal.RunnerID) ([]load.Session, error) {
	return all(t, scanSession, selectSession+` ORDER BY s.start_at, s.id`, runner)
}

func (t *tx) SessionsOf(runner journal.RunnerID, sum journal.Sum) ([]load.Session, error) {
	return all(t, scanSession, selectSession+` AND a.sum = $2 ORDER BY s.start_at, s.id`, runner, sum[:])
}

func (t *tx) SessionSums(runner journal.RunnerID) (map[string]journal.Sum, error) {
	out := make(map[string]journal.Sum)
	scan := func(row scanner) (id string, err error) {
		var b []byte
		if err := row.Scan(&id, &b); err != nil {
			return id, err
		}
		sum := out[id]
		err = copySum(&sum, b)
		out[id] = sum
		return id, err
	}
	_, err := all(t, scan, `SELECT id, sum FROM activity WHERE runner = $1`, runner)
	return out, err
}

const selectSumOf = `SELECT sum FROM activity WHERE runner = $1 AND id = $2`

func (t *tx) SumOf(runner journal.RunnerID, id string) (journal.Sum, error) {
	scan := func(row scanner) (sum journal.Sum, err error) {
		var b []byte
		if err := row.Scan(&b); err != nil {
			return sum, err
		}
		return sum, copySum(&sum, b)
	}
	return one(t, scan, "session "+id, selectSumOf, runner, id)
}

func (t *tx) DropSessions(runner journal.RunnerID) error {
	if _, err := t.exec(`DELETE FROM session WHERE runner = $1`, runner); err != nil {
		return err
	}
	_, err := t.exec(`DELETE FROM activity WHERE runner = $1`, runner)
	return err
}

const (
	dropSessionsOf   = `DELETE FROM session WHERE runner = $1 AND id IN (SELECT id FROM activity WHERE runner = $1 AND sum = $2)`
	dropActivitiesOf = `DELETE FROM activity WHERE runner = $1 AND sum = $2`
)

func (t *tx) DropSessionsOf(runner journal.RunnerID, sum journal.Sum) error {
	if _, err := t.exec(dropSessionsOf, runner, sum[:]); err != nil {
		return err
	}
	_, err := t.exec(dropActivitiesOf, runner, sum[:])
	return err
}
