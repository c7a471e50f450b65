package journaltest

import (
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
)

func testGaps(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	before := get[journal.Runner](t)(b.Runner(t.Context())).Revision
	said := load.Gap{
		DaySpan: load.DaySpan{First: firstUse - 30, Last: firstUse - 2}, Answer: load.GapRan, Runs: 4, Longest: 9_000_000,
	}
	must(t, b.AnswerGap(t.Context(), said))
	back := load.Gap{DaySpan: load.DaySpan{First: firstUse - 3, Last: firstUse - 2}}
	must(t, b.AnswerGap(t.Context(), back))
	same(t, "Gaps", get[[]journal.Gap](t)(b.Gaps(t.Context())), []journal.Gap{
		{Gap: said, By: journal.Local, At: noon}, {Gap: back, By: journal.Local, At: noon},
	})
	same(t, "revision", get[journal.Runner](t)(b.Runner(t.Context())).Revision, before+2)
	in := get[*load.Input](t)(b.Input(t.Context(), firstUse))
	same(t, "gaps of the input", in.Gaps, []load.Gap{said, back})

	said.Runs = 400
	if err := b.AnswerGap(t.Context(), said); err == nil {
		t.Error("400 runs in 29 days were taken")
	}
	same(t, "Gaps after a refusal", len(get[[]journal.Gap](t)(b.Gaps(t.Context()))), 2)
	wantEveryField(t, journal.Gap{Gap: said, By: journal.Local, At: noon})
}
