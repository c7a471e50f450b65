package sqlite

import (
	"encoding/json"
	"fmt"

	"tidemark/load/journal"
)

// paired reads rows as the values of a map.
func paired[K comparable, V any](t *tx, scan func(scanner) (K, V, error), query string, args ...any) (map[K]V, error) {
	type pair struct {
		k K
		v V
	}
	rows, err := all(t, func(row scanner) (p pair, err error) {
		p.k, p.v, err = scan(row)
		return p, err
	}, query, args...)
	out := make(map[K]V, len(rows))
	for _, p := range rows {
		out[p.k] = p.v
	}
	return out, err
}

func (t *tx) AllGrantsOf(person journal.Person) (map[journal.RunnerID]journal.Grant, error) {
	scan := func(row scanner) (id journal.RunnerID, g journal.Grant, err error) {
		err = row.Scan(&id, &g.Person, &g.Role, &g.Medical, &g.Plan, &g.Revoked, &g.By, &g.At)
		return id, g, err
	}
	return paired(t, scan, `SELECT runner, `+grantColumns+` FROM granted g WHERE g.person = $1 AND g.revoked = 0
		AND g.seq = (SELECT max(l.seq) FROM granted l WHERE l.person = g.person AND l.runner = g.runner)`, person)
}

func (t *tx) PutGroup(person journal.Person, runner journal.RunnerID, name string) error {
	if name == "" {
		_, err := t.exec(`DELETE FROM squad_group WHERE person = $1 AND runner = $2`, person, runner)
		return err
	}
	_, err := t.exec(`INSERT INTO squad_group (person, runner, name) VALUES ($1, $2, $3)
		ON CONFLICT (person, runner) DO UPDATE SET name = excluded.name`, person, runner, name)
	return err
}

func (t *tx) Groups(person journal.Person) (map[journal.RunnerID]string, error) {
	scan := func(row scanner) (id journal.RunnerID, name string, err error) {
		err = row.Scan(&id, &name)
		return id, name, err
	}
	return paired(t, scan, `SELECT runner, name FROM squad_group WHERE person = $1`, person)
}

func (t *tx) PutGlance(person journal.Person, runner journal.RunnerID, list journal.ListKind, g journal.Glance) error {
	text, err := json.Marshal(g)
	if err != nil {
		return fmt.Errorf("write glance: %w", err)
	}
	_, err = t.exec(`INSERT INTO glance (person, runner, list, at, saw) VALUES ($1, $2, $3, $4, $5)
		ON CONFLICT (person, runner, list) DO UPDATE SET at = excluded.at, saw = excluded.saw`, person, runner, list, g.At, string(text))
	return err
}

func (t *tx) Glances(person journal.Person, list journal.ListKind) (map[journal.RunnerID]journal.Glance, error) {
	scan := func(row scanner) (id journal.RunnerID, g journal.Glance, err error) {
		var text []byte
		if err = row.Scan(&id, &text); err == nil {
			err = json.Unmarshal(text, &g)
		}
		return id, g, err
	}
	return paired(t, scan, `SELECT runner, saw FROM glance WHERE person = $1 AND list = $2`, person, list)
}
