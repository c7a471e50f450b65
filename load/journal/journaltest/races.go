package journaltest

import (
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
)

func testRaces(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	before := get[journal.Runner](t)(b.Runner(t.Context())).Revision
	island := load.PlannedRace{Day: firstUse + 30, Name: "Island half, \"windy\"", Distance: 21_097_500, By: string(journal.Local)}
	mile := load.PlannedRace{Day: firstUse + 9, Name: "Pier mile"}
	must(t, b.PlanRace(t.Context(), island, false))
	must(t, b.PlanRace(t.Context(), mile, false))
	must(t, b.PlanRace(t.Context(), mile, true))
	same(t, "Races", get[[]journal.Race](t)(b.Races(t.Context())), []journal.Race{
		{Day: island.Day, Name: island.Name, Distance: island.Distance, By: journal.Local, At: noon},
		{Day: mile.Day, Name: mile.Name, By: journal.Local, At: noon},
		{Day: mile.Day, Name: mile.Name, Off: true, By: journal.Local, At: noon},
	})
	same(t, "revision", get[journal.Runner](t)(b.Runner(t.Context())).Revision, before+3)
	in := get[*load.Input](t)(b.Input(t.Context(), firstUse))
	same(t, "races of the input", in.Races, []load.PlannedRace{island})

	island.Name = strings.Repeat("long ", 100)
	if err := b.PlanRace(t.Context(), island, false); err == nil {
		t.Error("a name of 500 characters was taken")
	}
	same(t, "Races after a refusal", len(get[[]journal.Race](t)(b.Races(t.Context()))), 3)
	wantEveryField(t, journal.Race{Day: 1, Name: "x", Distance: 1, Off: true, By: journal.Local, At: noon})
}
