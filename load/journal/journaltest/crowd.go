package journaltest

import (
	"context"
	"crypto/sha256"
	"encoding/base32"
	"fmt"
	"strings"
	"time"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/rehab"
)

var (
	crowdFirst = []string{
		"Ansa", "Birk", "Cato", "Dagny", "Eskil", "Frida", "Gorm", "Hedda", "Ivar", "Jorun", "Kjell", "Liv", "Magne", "Nils", "Oda", "Peder", "Ragna", "Sindre", "Tora", "Ulrik", "Vilde",
		"Wenche", "Ylva", "Åse", "Alma", "Brage", "Cecilie", "Didrik", "Embla", "Falk", "Gro", "Halvor", "Idun", "Jens", "Kaia", "Lars", "Mille", "Njål", "Olav", "Pia", "Roar", "Selma", "Tarald",
		"Una", "Vegard", "Werner", "Yngve", "Øyvind", "Astri", "Bodil", "Carl", "Disa", "Einar", "Filip", "Guro", "Helge", "Inga", "Johan", "Karl", "Lone", "Mona", "Nora", "Oskar", "Petra", "Rune", "Siri", "Tom",
	}
	crowdLast = []string{
		"Aarvik", "Berge", "Dahl", "Eide", "Fjeld", "Grønn", "Haug", "Indrebø", "Jordal", "Kvam", "Lunde", "Moen", "Nygård", "Opsahl", "Prestegård", "Ruud", "Solberg", "Tveit", "Ulven", "Vik", "Wold", "Ystad", "Øygarden", "Ås",
		"Bakke", "Brekke", "Engen", "Foss", "Gjerde", "Hovland", "Jensen", "Knutsen", "Lie", "Myhre", "Ness", "Olsen", "Rød", "Sand", "Skår", "Strand", "Sunde", "Teigen", "Thune", "Torp", "Vang", "Vatne", "Viken", "Wiik",
		"Berg", "Borge", "Bråten", "Bø", "Egeland", "Fossum", "Hagen", "Holm", "Krogh", "Kvale", "Lien", "Lund", "Mo", "Nes", "Ree", "Rogne", "Sæther", "Sørli", "Tangen", "Ueland", "Valle", "Voll",
	}
)

// CrowdName is the name of the n-th; no two of 4,690 are the same.
func CrowdName(n int) string {
	name := crowdFirst[n%len(crowdFirst)] + " " + crowdLast[(n%len(crowdFirst)+n/len(crowdFirst))%len(crowdLast)]
	if more := n / (len(crowdFirst) * len(crowdLast)); more > 0 {
		name += fmt.Sprintf(" %d", more+1)
	}
	return name
}

// crowdRun is one run as a watch records it.
func crowdRun(sum journal.Sum, day load.Day, km float64) load.Session {
	start := load.InstantOf(day.Noon()).Add(5 * time.Hour)
	took := time.Duration(km * float64(345*time.Second))
	s := load.Session{
		ID: journal.ID(sum, start, 1), Day: day, Start: start, End: start.Add(took),
		Zone: load.Zone{Name: "Europe/Oslo", Offset: 2 * time.Hour, Source: load.ZoneFromCoordinates}, Sport: load.Running, Surface: load.Road,
		Elapsed: took, Timer: took, Moving: took, RunTime: took, RunSpells: 1,
		Distance: load.Metres(1000 * km), DistanceSource: load.DistanceFromDevice, DeviceDistance: load.Metres(1000 * km), TrackDistance: load.Metres(995 * km),
		Ascent: 60, Descent: 60, HasAscent: true, HeartMean: 148, HeartMax: 171, HeartPeak: 169, HeartCovered: took, CadenceMean: 171, Steps: int(km * 960), StepsSource: load.StepsFromCadence,
		Points: int(took.Seconds()), Laps: int(km), HasPositions: true, Device: "Watch",
	}
	for bpm := range 30 {
		s.HeartTimes.Add(130+bpm, took.Milliseconds()/30)
	}
	for step := range 15 {
		s.Speeds.Add(20+step, took.Milliseconds()/15)
	}
	s.Measures.Set(load.Distance, load.Distance.Of(km))
	s.Measures.Set(load.Flat, load.Flat.Of(1.02*km))
	for _, m := range []load.Measure{load.Time, load.RunTime} {
		s.Measures.Set(m, m.Of(took.Minutes()))
	}
	return s
}

// crowdRuns are four runs a week for so many weeks up to yesterday; every seventh runner
// jumps at the end, every eleventh stopped two weeks ago.
func crowdRuns(n, weeks int, sum journal.Sum, now load.Day) (runs []load.Session) {
	for back := 7 * weeks; back > 0; back-- {
		km := [7]float64{0, 6, 0, 7, 5, 0, 10}[back%7] * (0.8 + float64((n*7)%13)/20 + float64((n+back/7)%5)/25)
		switch {
		case n%11 == 10 && back < 14:
			continue
		case n%7 == 3 && back == 1:
			km = 19
		case km == 0:
			continue
		}
		runs = append(runs, crowdRun(sum, now-load.Day(back), km))
	}
	return runs
}

// Crowd adds many runners with watches to a store, as an import would leave them: rows first
// to last less one, each with so many weeks up to the day before today. Everything about them
// is invented. Who is let in is what grants says of each.
func Crowd(ctx context.Context, s journal.Store, v journal.Versions, today load.Day, first, last, weeks int, grants func(n int) []journal.Grant) (ids []journal.RunnerID, err error) {
	const atOnce = 100
	for from := first; from < last; from += atOnce {
		to := min(from+atOnce, last)
		if err := s.Update(ctx, func(tx journal.Tx) error {
			ids = ids[:from-first]
			for n := from; n < to; n++ {
				id, err := putCrowd(tx, v, today, n, weeks, grants(n))
				if err != nil {
					return err
				}
				ids = append(ids, id)
			}
			return nil
		}); err != nil {
			return nil, err
		}
	}
	return ids, nil
}

func putCrowd(tx journal.Tx, v journal.Versions, today load.Day, n, weeks int, grants []journal.Grant) (journal.RunnerID, error) {
	sum := sha256.Sum256(fmt.Append(nil, "runner ", n))
	id := strings.ToLower(base32.StdEncoding.EncodeToString(sum[:])[:13]) // as long and as unlike as those of runners are
	r := journal.Runner{ID: journal.RunnerID(id), Name: CrowdName(n), Home: "Europe/Oslo", FirstUse: today - load.Day(7*weeks), Revision: 1}
	if err := tx.AddRunner(r); err != nil {
		return "", err
	}
	at := load.InstantOf(today.Noon())
	for _, g := range grants {
		g.By, g.At = journal.Local, at
		if err := tx.PutGrant(r.ID, g); err != nil {
			return "", err
		}
	}
	if weeks == 0 {
		return r.ID, nil // nothing was ever added
	}
	content := []byte("a season of " + r.Name)
	o := journal.Original{Sum: sha256.Sum256(content), Path: "season.fit", Format: "fit", Size: int64(len(content)), Added: at}
	if err := tx.PutOriginal(r.ID, o, journal.Pack(content)); err != nil {
		return "", err
	}
	for _, s := range crowdRuns(n, weeks, o.Sum, today) {
		if err := tx.AddSession(r.ID, o.Sum, s); err != nil {
			return "", err
		}
	}
	return r.ID, tx.PutStamp(r.ID, journal.SessionPart, v)
}

// CrowdHurts opens a complaint of the n-th runner of a crowd, six weeks ago, with its mornings
// and, of one in four, a programme.
func CrowdHurts(ctx context.Context, b *journal.Book, today load.Day, n int) error {
	site := []rehab.Site{rehab.AchillesMid, rehab.Calf, rehab.Plantar, rehab.Shin}[n%4]
	opened := today - 42
	one := rehab.Complaint{Site: site, Onset: opened - 10, Steps: []rehab.Step{{Day: opened, Status: rehab.Open}}}
	ids, err := b.OpenComplaint(ctx, one, []rehab.Side{rehab.Left}, "")
	if err != nil {
		return err
	}
	var mornings []journal.Morning
	for day := opened; day < today; day++ {
		next, stiff := uint8((n+int(day))%4), 5+(n+int(day))%10
		if n%9 == 4 && day == today-1 {
			next = 7
		}
		m := rehab.Morning{Complaint: ids[0], Day: day, Next: &next, Stiffness: &stiff}
		mornings = append(mornings, journal.Morning{Morning: m, Entered: load.InstantOf(day.Noon())})
	}
	if _, err := b.AddMornings(ctx, mornings); err != nil {
		return err
	}
	if site != rehab.AchillesMid {
		return nil
	}
	p := rehab.Prescription{Complaint: ids[0], Programme: "combined", Started: opened, State: rehab.Running, From: opened}
	return b.Prescribe(ctx, p, "")
}
