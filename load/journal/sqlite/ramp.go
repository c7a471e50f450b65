package sqlite

import (
	"database/sql"
	"fmt"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/ramp"
)

const rampColumns = `start_day, weeks, free, goal_km, goal_pace, goal_by, bmi, novice, ladder, own, first_stage, confirm, roof, state, until_day, why, who, at`

func (t *tx) PutRamp(runner journal.RunnerID, r journal.RampTerms) error {
	by := sql.Null[load.Day]{V: r.Goal.By, Valid: r.Goal.IsBy}
	_, err := t.exec(`INSERT INTO ramp (runner, `+rampColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19)`,
		runner, r.Start, r.Weeks, bitsOf(r.Free), r.Goal.Km, r.Goal.Pace, by, r.BMI, r.Novice, r.Table, ramp.Notation(r.Own), r.First, r.Confirm, r.Roof, r.State, r.Until, r.Why, r.By, r.At)
	return err
}

func (t *tx) Ramps(runner journal.RunnerID) ([]journal.RampTerms, error) {
	scan := func(row scanner) (r journal.RampTerms, err error) {
		var by sql.Null[load.Day]
		var free int
		var own string
		err = row.Scan(&r.Start, &r.Weeks, &free, &r.Goal.Km, &r.Goal.Pace, &by, &r.BMI, &r.Novice, &r.Table, &own, &r.First, &r.Confirm, &r.Roof, &r.State, &r.Until, &r.Why, &r.By, &r.At)
		if err != nil {
			return r, err
		}
		r.Free, r.Goal.By, r.Goal.IsBy = daysOf(free), by.V, by.Valid
		if r.Own, err = ramp.ParseLadder(own); err != nil {
			return r, fmt.Errorf("read ramp: %w: %w", err, journal.ErrDamaged)
		}
		return r, nil
	}
	return all(t, scan, `SELECT `+rampColumns+` FROM ramp WHERE runner = $1 ORDER BY seq`, runner)
}

// bitsOf writes weekdays as bits, Sunday the lowest.
func bitsOf(days [7]bool) (bits int) {
	for i, free := range days {
		if free {
			bits |= 1 << i
		}
	}
	return bits
}

func daysOf(bits int) (days [7]bool) {
	for i := range days {
		days[i] = bits&(1<<i) != 0
	}
	return days
}

const gateColumns = `day, daily_pain, walk, walk_settled, raises, hops, load_pain, who, at`

func (t *tx) PutGate(runner journal.RunnerID, g journal.Gate) error {
	_, err := t.exec(`INSERT INTO gate (runner, `+gateColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)`,
		runner, g.Day, scored(g.DailyPain), counted(g.Walk), g.WalkSettled, counted(g.Raises), counted(g.Hops), scored(g.LoadPain), g.By, g.At)
	return err
}

func (t *tx) Gates(runner journal.RunnerID) ([]journal.Gate, error) {
	scan := func(row scanner) (g journal.Gate, err error) {
		var daily, loaded sql.Null[uint8]
		var walk, raises, hops sql.Null[int]
		err = row.Scan(&g.Day, &daily, &walk, &g.WalkSettled, &raises, &hops, &loaded, &g.By, &g.At)
		g.DailyPain, g.LoadPain = pointer(daily), pointer(loaded)
		g.Walk, g.Raises, g.Hops = pointer(walk), pointer(raises), pointer(hops)
		return g, err
	}
	return all(t, scan, `SELECT `+gateColumns+` FROM gate WHERE runner = $1 ORDER BY seq`, runner)
}

const feedColumns = `hash, revoked, who, at`

func (t *tx) PutFeed(runner journal.RunnerID, f journal.Feed) error {
	_, err := t.exec(`INSERT INTO feed (runner, `+feedColumns+`) VALUES ($1, $2, $3, $4, $5)`, runner, f.Hash, f.Revoked, f.By, f.At)
	return err
}

func (t *tx) Feeds(runner journal.RunnerID) ([]journal.Feed, error) {
	scan := func(row scanner) (f journal.Feed, err error) {
		err = row.Scan(&f.Hash, &f.Revoked, &f.By, &f.At)
		return f, err
	}
	return all(t, scan, `SELECT `+feedColumns+` FROM feed WHERE runner = $1 ORDER BY seq`, runner)
}

func (t *tx) FeedRunner(hash string) (journal.RunnerID, journal.Person, error) {
	type feed struct {
		runner journal.RunnerID
		opener journal.Person
	}
	scan := func(row scanner) (f feed, err error) {
		var revoked bool
		if err = row.Scan(&f.runner, &f.opener, &revoked); err == nil && revoked {
			err = sql.ErrNoRows
		}
		return f, err
	}
	f, err := one(t, scan, "feed", `SELECT runner, who, revoked FROM feed WHERE hash = $1 ORDER BY seq DESC LIMIT 1`, hash)
	return f.runner, f.opener, err
}

func counted(n *int) sql.Null[int] {
	if n == nil {
		return sql.Null[int]{}
	}
	return sql.Null[int]{V: *n, Valid: true}
}
