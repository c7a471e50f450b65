package sqlite

import (
	"database/sql"

	"tidemark/load/journal"
)

func (t *tx) AddComplaint(runner journal.RunnerID, c journal.Complaint) error {
	_, err := t.exec(`INSERT INTO complaint (runner, id, site, side, onset, bone, linked) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		runner, c.ID, c.Site, c.Side, c.Onset, c.Bone, c.Linked)
	return err
}

func (t *tx) Complaints(runner journal.RunnerID) ([]journal.Complaint, error) {
	scan := func(row scanner) (c journal.Complaint, err error) {
		err = row.Scan(&c.ID, &c.Site, &c.Side, &c.Onset, &c.Bone, &c.Linked)
		return c, err
	}
	return all(t, scan, `SELECT id, site, side, onset, bone, linked FROM complaint WHERE runner = $1 ORDER BY seq`, runner)
}

const stepColumns = `complaint, day, status, onset, linked, why, who, at`

func (t *tx) PutComplaintStep(runner journal.RunnerID, s journal.ComplaintStep) error {
	_, err := t.exec(`INSERT INTO complaint_step (runner, `+stepColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		runner, s.Complaint, s.Day, s.Status, s.Onset, s.Linked, s.Why, s.By, s.At)
	return err
}

func (t *tx) ComplaintSteps(runner journal.RunnerID) ([]journal.ComplaintStep, error) {
	scan := func(row scanner) (s journal.ComplaintStep, err error) {
		err = row.Scan(&s.Complaint, &s.Day, &s.Status, &s.Onset, &s.Linked, &s.Why, &s.By, &s.At)
		return s, err
	}
	return all(t, scan, `SELECT `+stepColumns+` FROM complaint_step WHERE runner = $1 ORDER BY seq`, runner)
}

const baseColumns = `complaint, from_day, pain, stiffness, who, at`

func (t *tx) PutComplaintBase(runner journal.RunnerID, b journal.ComplaintBase) error {
	_, err := t.exec(`INSERT INTO complaint_base (runner, `+baseColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		runner, b.Complaint, b.From, pointed(b.Pain), pointed(b.Stiffness), b.By, b.At)
	return err
}

func (t *tx) ComplaintBases(runner journal.RunnerID) ([]journal.ComplaintBase, error) {
	scan := func(row scanner) (b journal.ComplaintBase, err error) {
		var pain, stiffness sql.Null[float64]
		err = row.Scan(&b.Complaint, &b.From, &pain, &stiffness, &b.By, &b.At)
		b.Pain, b.Stiffness = pointer(pain), pointer(stiffness)
		return b, err
	}
	return all(t, scan, `SELECT `+baseColumns+` FROM complaint_base WHERE runner = $1 ORDER BY seq`, runner)
}

// pointed is a nullable column of what may be nil.
func pointed[T any](v *T) sql.Null[T] {
	if v == nil {
		return sql.Null[T]{}
	}
	return sql.Null[T]{V: *v, Valid: true}
}

// pointer is the inverse of pointed.
func pointer[T any](v sql.Null[T]) *T {
	if !v.Valid {
		return nil
	}
	return &v.V
}
