package sqlite

import "tidemark/load/journal"

const removalColumns = `runner, due, who, at`

func scanRemoval(row scanner) (r journal.Removal, err error) {
	err = row.Scan(&r.Runner, &r.Due, &r.By, &r.At)
	return r, err
}

func (t *tx) PutRemoval(r journal.Removal) error {
	_, err := t.exec(`INSERT INTO removal (`+removalColumns+`) VALUES ($1, $2, $3, $4)`, r.Runner, r.Due, r.By, r.At)
	return err
}

func (t *tx) Removal(runner journal.RunnerID) (journal.Removal, error) {
	return one(t, scanRemoval, "removal", `SELECT `+removalColumns+` FROM removal WHERE runner = $1`, runner)
}

func (t *tx) DropRemoval(runner journal.RunnerID) error {
	_, err := t.exec(`DELETE FROM removal WHERE runner = $1`, runner)
	return err
}

func (t *tx) Removals() ([]journal.Removal, error) {
	return all(t, scanRemoval, `SELECT `+removalColumns+` FROM removal ORDER BY due, runner`)
}

// ofRunner are the tables that hold rows about a runner, each before those that it refers
// to; a test holds the list against the schema.
var ofRunner = []string{
	"session", "activity", "finding", "standing", "stamp",
	"rest", "zone_decision", "edit", "gap", "race", "setting", "finding_state",
	"morning", "complaint_base", "complaint_step", "prescription", "exercise_log", "standing_order", "complaint",
	"routine_dose", "routine", "away", "result", "red_flag", "ramp", "gate", "feed",
	"granted", "invitation", "look", "removal", "glance", "note", "squad_group", "news", "told", "original",
}

// DropRunner implements journal.RemovalTx. What is deleted is overwritten in the file, not
// only given up.
func (t *tx) DropRunner(runner journal.RunnerID) error {
	if _, err := t.tx.ExecContext(t.ctx, `PRAGMA secure_delete = ON`); err != nil {
		return mapError(err)
	}
	defer func() { _, _ = t.tx.ExecContext(t.ctx, `PRAGMA secure_delete = OFF`) }()
	if _, err := t.exec(`DELETE FROM original_content WHERE seq IN (SELECT seq FROM original WHERE runner = $1)`, runner); err != nil {
		return err
	}
	for _, table := range ofRunner {
		if _, err := t.exec(`DELETE FROM `+table+` WHERE runner = $1`, runner); err != nil {
			return err
		}
	}
	_, err := t.exec(`DELETE FROM runner WHERE id = $1`, runner)
	return err
}
