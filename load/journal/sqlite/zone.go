package sqlite

import "tidemark/load/journal"

const zoneColumns = `session, sum, zone, zone_offset, zone_source, day`

func scanZone(row scanner) (d journal.ZoneDecision, err error) {
	var sum []byte
	if err := row.Scan(&d.Session, &sum, &d.Zone.Name, &d.Zone.Offset, &d.Zone.Source, &d.Day); err != nil {
		return d, err
	}
	return d, copySum(&d.Sum, sum)
}

func (t *tx) PutZone(runner journal.RunnerID, d journal.ZoneDecision) error {
	_, err := t.exec(`INSERT INTO zone_decision (runner, `+zoneColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7)`,
		runner, d.Session, d.Sum[:], d.Zone.Name, d.Zone.Offset, d.Zone.Source, d.Day)
	return err
}

func (t *tx) Zones(runner journal.RunnerID) ([]journal.ZoneDecision, error) {
	return all(t, scanZone, `SELECT `+zoneColumns+` FROM zone_decision WHERE runner = $1`, runner)
}

func (t *tx) ZonesOf(runner journal.RunnerID, sum journal.Sum) ([]journal.ZoneDecision, error) {
	return all(t, scanZone, `SELECT `+zoneColumns+` FROM zone_decision WHERE runner = $1 AND sum = $2`, runner, sum[:])
}
