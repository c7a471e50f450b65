package sqlite

import (
	"database/sql"

	"tidemark/load"
	"tidemark/load/journal"
)

const standingColumns = `runner, revision, day, decoder, model, rules, week_distance, tidemark,
	headroom_state, headroom_measure, headroom_amount, headroom_decides, worst, open_findings, last_record`

func null[T any](v T, valid bool) sql.Null[T] { return sql.Null[T]{V: v, Valid: valid} }

func (t *tx) PutStanding(s journal.Standing) error {
	if _, err := t.exec(`DELETE FROM standing WHERE runner = $1`, s.Runner); err != nil {
		return err
	}
	_, err := t.exec(`INSERT INTO standing (`+standingColumns+`)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15)`,
		s.Runner, s.Revision, s.Day, s.Versions.Decoder, s.Versions.Model, s.Versions.Rules,
		s.WeekDistance, null(int64(s.Tidemark), s.HasTidemark),
		s.Headroom.State, s.Headroom.Measure.String(), null(int64(s.Headroom.Amount), s.Headroom.HasAmount),
		s.Headroom.Decides, s.Worst.String(), s.OpenFindings, null(int64(s.LastRecord), s.HasRecord))
	return err
}

func (t *tx) Standing(runner journal.RunnerID) (journal.Standing, error) {
	return one(t, scanStanding, "standing of runner "+string(runner),
		`SELECT `+standingColumns+` FROM standing WHERE runner = $1`, runner)
}

func scanStanding(row scanner) (s journal.Standing, err error) {
	var tidemark, amount sql.Null[load.Amount]
	var last sql.Null[load.Day]
	var measure, worst string
	err = row.Scan(&s.Runner, &s.Revision, &s.Day, &s.Versions.Decoder, &s.Versions.Model, &s.Versions.Rules,
		&s.WeekDistance, &tidemark, &s.Headroom.State, &measure, &amount, &s.Headroom.Decides,
		&worst, &s.OpenFindings, &last)
	if err != nil {
		return s, err
	}
	s.Tidemark, s.HasTidemark = tidemark.V, tidemark.Valid
	s.Headroom.Amount, s.Headroom.HasAmount = amount.V, amount.Valid
	s.LastRecord, s.HasRecord = last.V, last.Valid
	if err := s.Headroom.Measure.UnmarshalText([]byte(measure)); err != nil {
		return s, err
	}
	return s, s.Worst.UnmarshalText([]byte(worst))
}
