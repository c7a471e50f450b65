package sqlite

import (
	"bytes"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"

	"tidemark/load"
	"tidemark/load/journal"
)

const standingColumns = `runner, revision, day, decoder, model, rules, week_distance, week_before, tidemark,
	spike, spike_day, last_record, race_day, race_name, seen_whole, seen_bare, cases`

func null[T any](v T, valid bool) sql.Null[T] { return sql.Null[T]{V: v, Valid: valid} }

func (t *tx) PutStanding(s journal.Standing) error {
	if _, err := t.exec(`DELETE FROM standing WHERE runner = $1`, s.Runner); err != nil {
		return err
	}
	var texts [3]string
	for i, v := range []any{s.Whole, s.Bare, s.Cases} {
		b, err := json.Marshal(v)
		if err != nil {
			return fmt.Errorf("write standing: %w", err)
		}
		texts[i] = string(b)
	}
	_, err := t.exec(`INSERT INTO standing (`+standingColumns+`)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17)`,
		s.Runner, s.Revision, s.Day, s.Versions.Decoder, s.Versions.Model, s.Versions.Rules,
		s.WeekDistance, null(int64(s.WeekBefore), s.HasBefore), null(int64(s.Tidemark), s.HasTidemark),
		null(s.Spike, s.HasSpike), null(int64(s.SpikeDay), s.HasSpike), null(int64(s.LastRecord), s.HasRecord),
		null(int64(s.RaceDay), s.HasRace), s.RaceName, texts[0], texts[1], texts[2])
	return err
}

func (t *tx) Standing(runner journal.RunnerID) (journal.Standing, error) {
	return one(t, scanStanding, "standing of runner "+string(runner),
		`SELECT `+standingColumns+` FROM standing WHERE runner = $1`, runner)
}

// ofPerson are the runners with a grant of a person that stands.
const ofPerson = `(SELECT g.runner FROM granted g WHERE g.person = $1 AND g.revoked = 0
	AND g.seq = (SELECT max(l.seq) FROM granted l WHERE l.person = g.person AND l.runner = g.runner))`

func (t *tx) Standings(person journal.Person) ([]journal.Standing, error) {
	if person == journal.Local {
		return all(t, scanStanding, `SELECT `+standingColumns+` FROM standing`)
	}
	return all(t, scanStanding, `SELECT `+standingColumns+` FROM standing WHERE runner IN `+ofPerson, person)
}

func scanStanding(row scanner) (s journal.Standing, err error) {
	var before, tidemark sql.Null[load.Amount]
	var spike sql.Null[float64]
	var spikeDay, last, race sql.Null[load.Day]
	var whole, bare, cases []byte
	err = row.Scan(&s.Runner, &s.Revision, &s.Day, &s.Versions.Decoder, &s.Versions.Model, &s.Versions.Rules,
		&s.WeekDistance, &before, &tidemark, &spike, &spikeDay, &last, &race, &s.RaceName, &whole, &bare, &cases)
	if err != nil {
		return s, err
	}
	s.WeekBefore, s.HasBefore = before.V, before.Valid
	s.Tidemark, s.HasTidemark = tidemark.V, tidemark.Valid
	s.Spike, s.SpikeDay, s.HasSpike = spike.V, spikeDay.V, spike.Valid
	s.LastRecord, s.HasRecord = last.V, last.Valid
	s.RaceDay, s.HasRace = race.V, race.Valid
	return s, errors.Join(readSights(&s, whole, bare), readCases(&s, cases))
}

// readSights reads what one sees with and without leave, which is the same of most.
func readSights(s *journal.Standing, whole, bare []byte) error {
	if err := json.Unmarshal(whole, &s.Whole); err != nil {
		return damagedStanding(err)
	}
	if bytes.Equal(whole, bare) {
		s.Bare = s.Whole
		return nil
	}
	if err := json.Unmarshal(bare, &s.Bare); err != nil {
		return damagedStanding(err)
	}
	return nil
}

// readCases reads what is followed; of most nothing is.
func readCases(s *journal.Standing, text []byte) error {
	if string(text) == "null" {
		return nil
	}
	if err := json.Unmarshal(text, &s.Cases); err != nil {
		return damagedStanding(err)
	}
	return nil
}

func damagedStanding(err error) error {
	return fmt.Errorf("read standing: %w: %w", err, journal.ErrDamaged)
}
