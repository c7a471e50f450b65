package wire

import (
	"encoding/hex"
	"errors"

	"tidemark/load"
)

// The outcomes of a file.
const (
	Added   = "added"
	Kept    = "kept" // was there already
	Refused = "refused"
)

// Imported is what became of one file.
type Imported struct {
	Path       string     `json:"path"`   // ARCHIVE!MEMBER inside archives
	SHA256     *string    `json:"sha256"` // of the inflated recording
	Outcome    string     `json:"outcome"`
	Activities []Activity `json:"activities"`
	Reason     *string    `json:"reason"`
	Offset     *int64     `json:"offset"` // bytes, in binary formats and XML
	Line       *int       `json:"line"`   // in text
}

// Activity is one session of a file.
type Activity struct {
	ID       string   `json:"id"`
	Day      load.Day `json:"day"`
	Start    string   `json:"start"`
	Distance *float64 `json:"distance_m"`
}

// Summary is the last line of an import.
type Summary struct {
	Summary Counts `json:"summary"`
}

// Counts says how many files there were and what became of them.
type Counts struct {
	Files   int `json:"files"`
	Added   int `json:"added"`
	Kept    int `json:"kept"`
	Refused int `json:"refused"`
}

// Add counts a file by what became of it.
func (c *Counts) Add(outcome string) {
	c.Files++
	switch outcome {
	case Refused:
		c.Refused++
	case Added:
		c.Added++
	default:
		c.Kept++
	}
}

// FromRefusal translates the reason for which a file was refused.
func FromRefusal(path string, err error) Imported {
	reason := err.Error()
	out := Imported{Path: path, Outcome: Refused, Activities: []Activity{}, Reason: &reason}
	if where, ok := errors.AsType[*load.DecodeError](err); ok {
		if where.Line > 0 {
			out.Line = &where.Line
		} else if where.Offset >= 0 {
			out.Offset = &where.Offset
		}
	}
	return out
}

// FromSessions translates a file that is in the journal now.
func FromSessions(path string, sum [32]byte, added bool, sessions []load.Session) Imported {
	digits := hex.EncodeToString(sum[:])
	out := Imported{Path: path, SHA256: &digits, Outcome: Kept, Activities: []Activity{}}
	if added {
		out.Outcome = Added
	}
	for i := range sessions {
		s := &sessions[i]
		a := Activity{ID: s.ID, Day: s.Day, Start: Instant(s.Start, s.Zone.Offset)}
		if s.DistanceSource != "" {
			distance := float64(s.Distance)
			a.Distance = &distance
		}
		out.Activities = append(out.Activities, a)
	}
	return out
}
