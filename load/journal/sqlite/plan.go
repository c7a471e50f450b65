package sqlite

import (
	"database/sql"

	"tidemark/load/journal"
)

const prescriptionColumns = `complaint, programme, started, phase, state, from_day, why, who, at`

func (t *tx) PutPrescription(runner journal.RunnerID, p journal.Prescription) error {
	_, err := t.exec(`INSERT INTO prescription (runner, `+prescriptionColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
		runner, p.Complaint, p.Programme, p.Started, p.Phase, p.State, p.From, p.Why, p.By, p.At)
	return err
}

func (t *tx) Prescriptions(runner journal.RunnerID) ([]journal.Prescription, error) {
	scan := func(row scanner) (p journal.Prescription, err error) {
		err = row.Scan(&p.Complaint, &p.Programme, &p.Started, &p.Phase, &p.State, &p.From, &p.Why, &p.By, &p.At)
		return p, err
	}
	return all(t, scan, `SELECT `+prescriptionColumns+` FROM prescription WHERE runner = $1 ORDER BY seq`, runner)
}

const doneColumns = `complaint, day, exercise, sets, reps, hold, minutes, weight, pain, note, who, at`

func (t *tx) PutDone(runner journal.RunnerID, d journal.Done) error {
	_, err := t.exec(`INSERT INTO exercise_log (runner, `+doneColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)`,
		runner, d.Complaint, d.Day, d.Exercise, d.Sets, d.Reps, d.Hold, d.Minutes, d.Weight, scored(d.Pain), d.Note, d.By, d.At)
	return err
}

func (t *tx) AllDone(runner journal.RunnerID) ([]journal.Done, error) {
	scan := func(row scanner) (d journal.Done, err error) {
		var pain sql.Null[uint8]
		err = row.Scan(&d.Complaint, &d.Day, &d.Exercise, &d.Sets, &d.Reps, &d.Hold, &d.Minutes, &d.Weight, &pain, &d.Note, &d.By, &d.At)
		d.Pain = pointer(pain)
		return d, err
	}
	return all(t, scan, `SELECT `+doneColumns+` FROM exercise_log WHERE runner = $1 ORDER BY seq`, runner)
}

const awayColumns = `from_day, to_day, reason, who, at`

func (t *tx) PutAway(runner journal.RunnerID, a journal.Away) error {
	_, err := t.exec(`INSERT INTO away (runner, `+awayColumns+`) VALUES ($1, $2, $3, $4, $5, $6)`, runner, a.First, a.Last, a.Reason, a.By, a.At)
	return err
}

func (t *tx) Aways(runner journal.RunnerID) ([]journal.Away, error) {
	scan := func(row scanner) (a journal.Away, err error) {
		err = row.Scan(&a.First, &a.Last, &a.Reason, &a.By, &a.At)
		return a, err
	}
	return all(t, scan, `SELECT `+awayColumns+` FROM away WHERE runner = $1 ORDER BY seq`, runner)
}
