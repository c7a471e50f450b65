package load

import "time"

// SmoothedClimb smooths the altitudes of an activity over a window, and returns the
// sum of the rises left and the climb at a threshold.
func SmoothedClimb(a *Activity, window time.Duration, threshold Metres) (rises, up Metres) {
	h := smoothed(a.Samples, window)
	profile := h.profile(a.Samples)
	for i := 1; i < len(profile); i++ {
		rises += max(0, profile[i]-profile[i-1])
	}
	up, _ = Climb(profile, threshold)
	return rises, up
}

// TakesOver reports whether With lays only a part of the history out anew.
func (h *History) TakesOver(s Session) bool {
	if _, ok := h.book.with(&s); !ok {
		return false
	}
	c, ok := h.cutBefore(s.Day)
	return ok && c.day > 0
}
