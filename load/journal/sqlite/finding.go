package sqlite

import (
	"database/sql"
	"encoding/json"
	"fmt"

	"tidemark/load"
	"tidemark/load/journal"
)

func (t *tx) PutFinding(runner journal.RunnerID, f load.Finding) error {
	evidence, err := marshal(f.Evidence)
	if err != nil {
		return fmt.Errorf("write evidence: %w", err)
	}
	_, err = t.exec(`INSERT INTO finding (runner, id, rule, level, subject, day, last_day, value, limit_value, unit, advice, evidence)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12)
		ON CONFLICT (runner, id) DO UPDATE SET rule = excluded.rule, level = excluded.level, subject = excluded.subject,
			day = excluded.day, last_day = excluded.last_day, value = excluded.value, limit_value = excluded.limit_value,
			unit = excluded.unit, advice = excluded.advice, evidence = excluded.evidence`,
		runner, f.ID, f.Rule, f.Level.String(), f.Subject, f.Day, f.LastDay, f.Value, f.Limit, f.Unit, f.Advice, evidence)
	return err
}

func (t *tx) PutState(runner journal.RunnerID, s journal.StateChange) error {
	_, err := t.exec(`INSERT INTO finding_state (runner, finding, state, who, why, reopened, at)
		VALUES ($1, $2, $3, $4, $5, $6, $7)`, runner, s.Finding, s.State, s.By, s.Why, s.Reopened, s.At)
	return err
}

func (t *tx) Findings(runner journal.RunnerID) ([]journal.Finding, error) {
	return all(t, scanFinding, `SELECT f.id, f.rule, f.level, f.subject, f.day, f.last_day, f.value, f.limit_value,
			f.unit, f.advice, f.evidence, s.state, s.who, s.why, s.reopened
		FROM finding f LEFT JOIN finding_state s ON s.seq = (
			SELECT max(seq) FROM finding_state WHERE runner = f.runner AND finding = f.id)
		WHERE f.runner = $1 ORDER BY f.day, f.id`, runner)
}

func scanFinding(row scanner) (f journal.Finding, err error) {
	var level, evidence string
	var state, who, why sql.NullString
	var reopened sql.Null[load.Day]
	err = row.Scan(&f.ID, &f.Rule, &level, &f.Subject, &f.Day, &f.LastDay, &f.Value, &f.Limit,
		&f.Unit, &f.Advice, &evidence, &state, &who, &why, &reopened)
	if err != nil {
		return f, err
	}
	f.State, f.By, f.Why, f.Reopened = journal.State(state.String), journal.Person(who.String), why.String, reopened.V
	if err := f.Level.UnmarshalText([]byte(level)); err != nil {
		return f, err
	}
	if err := unmarshal(evidence, &f.Evidence); err != nil {
		return f, fmt.Errorf("read evidence of finding %s: %w", f.ID, err)
	}
	return f, nil
}

func (t *tx) States(runner journal.RunnerID) ([]journal.StateChange, error) {
	scan := func(row scanner) (s journal.StateChange, err error) {
		err = row.Scan(&s.Finding, &s.State, &s.By, &s.Why, &s.Reopened, &s.At)
		return s, err
	}
	return all(t, scan, `SELECT finding, state, who, why, reopened, at FROM finding_state WHERE runner = $1 ORDER BY seq`, runner)
}

// marshal writes a list as JSON; an empty one as [].
func marshal[T any](list []T) (string, error) {
	if len(list) == 0 {
		return "[]", nil
	}
	b, err := json.Marshal(list)
	return string(b), err
}

// unmarshal is the inverse of marshal; an empty list is nil.
func unmarshal[T any, L ~[]T](text string, list *L) error {
	if text == "[]" {
		*list = nil
		return nil
	}
	return json.Unmarshal([]byte(text), list)
}
