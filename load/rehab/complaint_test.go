package rehab_test

import (
	"testing"

	"tidemark/load"
	"tidemark/load/rehab"
)

// TestFollowedFrom: weeks are counted from where it is followed without an end between.
func TestFollowedFrom(t *testing.T) {
	c := rehab.Complaint{Steps: []rehab.Step{
		{Day: 10, Status: rehab.Open}, {Day: 20, Status: rehab.HandedOver}, {Day: 30, Status: rehab.Closed}, {Day: 50, Status: rehab.Open}, {Day: 60, Status: rehab.HandedOver}, {Day: 70, Status: rehab.Closed},
	}}
	for day, want := range map[load.Day]load.Day{10: 10, 25: 10, 40: 10, 49: 10, 50: 50, 65: 50, 80: 50} {
		if got := c.FollowedFrom(day); got != want {
			t.Errorf("on %d: from %d, want %d", day, got, want)
		}
	}
}
