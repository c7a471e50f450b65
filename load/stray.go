package load

import "slices"

// strayDays is from how many days between a session and all others on its date may
// be a clock's fault; project default.
const strayDays = 730

// Strays returns the sessions, by ID, that lie more than two years from every other
// one, with the days to the nearest: a watch whose clock was wrong by years dates
// its runs so. A logbook of fewer than three sessions has none.
func Strays(sessions []Session) map[string]Day {
	strays := make(map[string]Day)
	if len(sessions) < 3 {
		return strays
	}
	days := make([]Day, len(sessions))
	for i := range sessions {
		days[i] = sessions[i].Day
	}
	slices.Sort(days)
	for i := range sessions {
		day := sessions[i].Day
		at, _ := slices.BinarySearch(days, day)
		apart := Day(never)
		if at > 0 {
			apart = day - days[at-1]
		}
		if at+1 < len(days) {
			apart = min(apart, days[at+1]-day)
		}
		if apart > strayDays {
			strays[sessions[i].ID] = apart
		}
	}
	return strays
}
