package sqlite

import (
	"database/sql"

	"tidemark/load/journal"
	"tidemark/load/rehab"
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

const doseColumns = `exercise, sets, reps, hold, minutes, weight, per_day, days_per_week, min_hours, side, note`

func (t *tx) AddRoutine(runner journal.RunnerID, r journal.Routine) error {
	_, err := t.exec(`INSERT INTO routine (runner, id, name, site, most_pain, who, at) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		runner, r.ID, r.Name, r.Sites[0], r.MostPain, r.By, r.At)
	if err != nil {
		return err
	}
	for i, d := range r.Phases[0].Doses {
		_, err := t.exec(`INSERT INTO routine_dose (runner, routine, n, `+doseColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)`,
			runner, r.ID, i, d.Exercise, d.Sets, d.Reps, d.Hold, d.Minutes, d.Weight, d.PerDay, d.DaysPerWeek, d.MinHours, d.Side, d.Note)
		if err != nil {
			return err
		}
	}
	return nil
}

func (t *tx) Routines(runner journal.RunnerID) ([]journal.Routine, error) {
	doses := make(map[string][]rehab.Dose)
	scanDose := func(row scanner) (d rehab.Dose, err error) {
		var routine string
		err = row.Scan(&routine, &d.Exercise, &d.Sets, &d.Reps, &d.Hold, &d.Minutes, &d.Weight, &d.PerDay, &d.DaysPerWeek, &d.MinHours, &d.Side, &d.Note)
		doses[routine] = append(doses[routine], d)
		return d, err
	}
	if _, err := all(t, scanDose, `SELECT routine, `+doseColumns+` FROM routine_dose WHERE runner = $1 ORDER BY routine, n`, runner); err != nil {
		return nil, err
	}
	scan := func(row scanner) (r journal.Routine, err error) {
		var id, name string
		var site rehab.Site
		var mostPain int
		if err = row.Scan(&id, &name, &site, &mostPain, &r.By, &r.At); err != nil {
			return r, err
		}
		r.Programme, err = rehab.Routine(id, name, site, mostPain, doses[id])
		return r, err
	}
	return all(t, scan, `SELECT id, name, site, most_pain, who, at FROM routine WHERE runner = $1 ORDER BY seq`, runner)
}

const orderColumns = `complaint, phase, stage, until_day, who, at`

func (t *tx) PutOrder(runner journal.RunnerID, o journal.Order) error {
	_, err := t.exec(`INSERT INTO standing_order (runner, `+orderColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		runner, o.Complaint, o.Phase, o.Stage, o.Until, o.By, o.At)
	return err
}

func (t *tx) Orders(runner journal.RunnerID) ([]journal.Order, error) {
	scan := func(row scanner) (o journal.Order, err error) {
		err = row.Scan(&o.Complaint, &o.Phase, &o.Stage, &o.Until, &o.By, &o.At)
		return o, err
	}
	return all(t, scan, `SELECT `+orderColumns+` FROM standing_order WHERE runner = $1 ORDER BY seq`, runner)
}
