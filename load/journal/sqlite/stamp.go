package sqlite

import "tidemark/load/journal"

func (t *tx) PutStamp(runner journal.RunnerID, part journal.Part, v journal.Versions) error {
	_, err := t.exec(`INSERT INTO stamp (runner, part, decoder, model, rules) VALUES ($1, $2, $3, $4, $5)
		ON CONFLICT (runner, part) DO UPDATE SET decoder = excluded.decoder, model = excluded.model, rules = excluded.rules`,
		runner, part, v.Decoder, v.Model, v.Rules)
	return err
}

func (t *tx) Stamps(runner journal.RunnerID) (map[journal.Part]journal.Versions, error) {
	out := make(map[journal.Part]journal.Versions)
	scan := func(row scanner) (part journal.Part, err error) {
		var v journal.Versions
		err = row.Scan(&part, &v.Decoder, &v.Model, &v.Rules)
		out[part] = v
		return part, err
	}
	_, err := all(t, scan, `SELECT part, decoder, model, rules FROM stamp WHERE runner = $1`, runner)
	return out, err
}
