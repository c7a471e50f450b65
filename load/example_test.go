package load_test

import (
	"fmt"

	"tidemark/load"
)

// Twelve weeks of four runs, the longest 14 km on Mondays; then one of 18 km.
func ExampleHistory_Triggers() {
	in := &load.Input{
		Sessions: daily(monday, append(repeat(12, 14, 0, 8, 0, 8, 0, 8), 18)...),
		Today:    monday + 84,
	}
	for _, f := range load.Episodes(load.NewHistory(in, load.Distance).Triggers()) {
		fmt.Println(f.Level, f.Rule, f.Day)
		fmt.Println(f.Evidence[0].Text)
		fmt.Println(f.Advice)
	}
	// Output:
	// note session-spike 2026-05-25
	// 18.0 km is 29 % over the longest run of the 30 days before (14.0 km)
	// give it a week before the next run of this length; watch how the tendon is on the next mornings
}

func ExampleHistory_Headroom() {
	today := monday + 84
	in := &load.Input{Sessions: daily(monday, repeat(12, 14, 0, 8, 0, 8, 0, 8)...), Today: today}
	room := load.NewHistory(in, load.Distance).Headroom(today, late(today), nil)
	usual, _ := room.Usual.Get()
	fmt.Printf("up to %.1f km by the %s limit; the usual %s is %.0f\n",
		load.Distance.In(room.Amount), room.Decides, today.Weekday(), usual)
	for _, l := range room.Limits {
		fmt.Printf("%-8s %4.1f of %.1f km: %s\n", l.Rule, load.Distance.In(l.Value), load.Distance.In(l.Limit), l.Why)
	}
	// Output:
	// up to 15.4 km by the session limit; the usual Monday is 14
	// session   0.0 of 15.4 km: the longest held run 7 to 30 days old is 14.0 km
	// day       0.0 of 15.4 km: the best held day 7 to 30 days ago is 14.0 km
	// week     24.0 of 49.4 km: the best held week that ended 7 to 34 days ago is 38.0 km
}

func ExampleImagine() {
	in := &load.Input{Sessions: daily(monday, repeat(12, 14, 0, 8, 0, 8, 0, 8)...), Today: monday + 83}
	w := load.Imagine(in, load.Distance, monday+84, load.Distance.Of(20), nil)
	spike, _ := w.Session.Spike.Get()
	fmt.Printf("20 km on %v: over the limits %v, %.0f %% over the tidemark (%s)\n", w.Row.Date, w.Over, 100*spike, w.Session.Class)
	// Output:
	// 20 km on 2026-05-25: over the limits [session day], 43 % over the tidemark (moderate)
}

func ExampleHistory_DayRows() {
	in := &load.Input{Sessions: daily(monday, 5, 0, 8, 0, 6, 0, 11), Today: monday + 6}
	row := load.NewHistory(in, load.Distance).DayRows(in.Today, in.Today)[0]
	monotony, _ := row.Monotony.Get()
	fmt.Printf("%v: %.0f km in seven days, monotony %.2f\n", row.Date, row.Acute, monotony)
	fmt.Println("ratio:", row.RatioUncoupled.Reason())
	// Output:
	// 2026-03-08: 30 km in seven days, monotony 0.97
	// ratio: history
}
