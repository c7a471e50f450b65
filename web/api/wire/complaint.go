package wire

import (
	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/rehab"
)

// Complaint is something that hurts and is followed.
type Complaint struct {
	ID        string       `json:"id"`
	Site      rehab.Site   `json:"site"`
	Side      rehab.Side   `json:"side"`
	Onset     load.Day     `json:"onset"`
	Opened    load.Day     `json:"opened"`
	Status    rehab.Status `json:"status"`
	Bone      bool         `json:"bone"`
	Pain      *float64     `json:"base_pain"`
	Stiffness *float64     `json:"base_stiffness"` // min
}

// FromComplaints translates the complaints that were opened up to a day.
func FromComplaints(care *assess.Care, today load.Day) []Complaint {
	lines := []Complaint{}
	for i := range care.Records {
		r := &care.Records[i]
		c := &r.Complaint
		status, ok := c.Status(today)
		if !ok {
			continue // opened after the day that is asked about
		}
		line := Complaint{ID: c.ID, Site: c.Site, Side: c.Side, Onset: c.Began(today), Opened: c.Opened(), Status: status, Bone: c.Bone}
		if n := len(r.Mornings); n > 0 {
			base := r.Mornings[n-1].Base
			line.Pain = &base.Pain
			if base.HasStiffness {
				line.Stiffness = &base.Stiffness
			}
		}
		lines = append(lines, line)
	}
	return lines
}
