package mornings

import (
	"strconv"
	"strings"
	"time"

	"tidemark/load"
	"tidemark/load/rehab"
)

// adapt makes a morning of a line.
func adapt(cells [columns]cell, home *time.Location, now load.Instant) (r Row, err error) {
	if r.Complaint, err = readComplaint(cells[complaint]); err != nil {
		return r, err
	}
	if r.Day, err = load.ParseDay(cells[on].text); err != nil {
		return r, refuse(cells[on], "date %.40q: want YYYY-MM-DD", cells[on].text)
	}
	for col, to := range map[column]**rehab.Score{before: &r.Before, during: &r.During, after: &r.After, next: &r.Next} {
		if *to, err = readScore(col, cells[col]); err != nil {
			return r, err
		}
	}
	if r.Stiffness, err = readStiffness(cells[stiffness]); err != nil {
		return r, err
	}
	if r.Limp, err = readLimp(cells[limp]); err != nil {
		return r, err
	}
	if r.Empty() {
		return r, refuse(cells[on], "nothing is said of this morning")
	}
	r.Entered, err = readEntered(cells[entered], &r.Morning, home, now)
	return r, err
}

// readComplaint reads SITE:SIDE.
func readComplaint(c cell) (string, error) {
	site, side, ok := strings.Cut(c.text, ":")
	if _, err := rehab.FindSite(rehab.Site(site)); err != nil || !ok || side != string(rehab.Left) && side != string(rehab.Right) {
		return "", refuse(c, "complaint %.40q: want SITE:SIDE as ach-mid:left", c.text)
	}
	return c.text, nil
}

func readScore(col column, c cell) (*rehab.Score, error) {
	if c.text == "" {
		return nil, nil
	}
	n, err := strconv.ParseUint(c.text, 10, 8)
	if err != nil || n > rehab.MaxScore {
		return nil, refuse(c, "%s %.40q: want a whole number from 0 to %d", col, c.text, rehab.MaxScore)
	}
	score := rehab.Score(n)
	return &score, nil
}

func readStiffness(c cell) (*int, error) {
	if c.text == "" {
		return nil, nil
	}
	n, err := strconv.Atoi(c.text)
	if err != nil || n < 0 || n > rehab.MaxStiffness {
		return nil, refuse(c, "stiffness %.40q: want whole minutes from 0 to %d", c.text, rehab.MaxStiffness)
	}
	return &n, nil
}

func readLimp(c cell) (*bool, error) {
	switch c.text {
	case "":
		return nil, nil
	case "yes", "no":
		limped := c.text == "yes"
		return &limped, nil
	}
	return nil, refuse(c, "limp %.40q: want yes or no", c.text)
}

// readEntered reads when a line was typed, or takes the noon of its date. What it says cannot
// have been known before.
func readEntered(c cell, said *rehab.Morning, home *time.Location, now load.Instant) (load.Instant, error) {
	if c.text == "" {
		y, m, d := said.Day.Noon().Date()
		return min(now, load.InstantOf(time.Date(y, m, d, 12, 0, 0, 0, home))), nil
	}
	at, err := time.Parse(time.RFC3339, c.text)
	if err != nil {
		return 0, refuse(c, "entered %.40q: want an instant with its offset as 2026-03-02T07:10:00+01:00", c.text)
	}
	if err := said.CheckEntered(load.InstantOf(at), now, home); err != nil {
		return 0, refuse(c, "%w", err)
	}
	return load.InstantOf(at), nil
}
