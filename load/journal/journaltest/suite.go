// Package journaltest is the suite that every journal.Store passes.
//
// It tests a store through its transactions, and the journal and its books
// through the store. It knows no SQL, and it is for tests only.
package journaltest

import (
	"testing"

	"tidemark/load/journal"
)

// Run tests the stores that open returns. Each call of open returns a new and
// empty one and sees to it that it is closed when the test ends.
func Run(t *testing.T, open func(t *testing.T) journal.Store) {
	cases := []struct {
		name string
		test func(*testing.T, journal.Store)
	}{
		{"runners", testRunners},
		{"runner names", testRunnerNames},
		{"find", testFind},
		{"persons", testPersons},
		{"accounts", testAccounts},
		{"sign-ins", testSignIns},
		{"second factor", testSecondFactor},
		{"invitations", testInvitations},
		{"host takes a logbook", testHostTakes},
		{"reset", testReset},
		{"tokens", testTokens},
		{"rights", testRights},
		{"strangers", testStrangers},
		{"grants", testGrants},
		{"looks", testLooks},
		{"removal", testRemoval},
		{"rows", testRows},
		{"notes", testNotes},
		{"every field of a wish", testWishFields},
		{"every field of an evening", testEveningFields},
		{"evenings", testEvenings},
		{"evenings after a day", testEveningsStale},
		{"addresses of letters", testAddress},
		{"letters", testLetters},
		{"letters after a revocation", testLettersRevoked},
		{"originals", testOriginals},
		{"large original", testLargeOriginal},
		{"damaged original", testDamagedOriginal},
		{"sum of two runners", testSumOfTwoRunners},
		{"zones", testZones},
		{"every field of a session", testEveryField},
		{"order of sessions", testOrder},
		{"session conflict", testSessionConflict},
		{"rests", testRests},
		{"settings", testSettings},
		{"gaps", testGaps},
		{"races", testRaces},
		{"complaints", testComplaints},
		{"relapses", testRelapses},
		{"mornings", testMornings},
		{"red flags", testRedFlags},
		{"results", testResults},
		{"plans", testPlans},
		{"ramps", testRamps},
		{"led ramp", testLedRamp},
		{"inputs", testInputs},
		{"every field of an edit", testEditFields},
		{"sessions of a recording", testSessionsOfRecording},
		{"every field of a finding", testFindingFields},
		{"states", testStates},
		{"standings", testStandings},
		{"stamps", testStamps},
		{"isolation of runners", testIsolation},
		{"rollback after an error", testRollback},
		{"rollback after a panic", testPanic},
		{"rollback of a conflict", testConflictInGroup},
		{"view does not write", testViewIsReadOnly},
		{"view is consistent", testConsistentView},
		{"writers at once", testWriters},
		{"readers and a writer", testReaders},
		{"cancelled context", testCancelled},
		{"context cancelled half-way", testCancelledInside},
		{"context cancelled after rows", testCancelledAfterRows},
		{"closed store", testClosed},
		{"add", testAdd},
		{"add again", testAddAgain},
		{"add a diary with more rows", testDiary},
		{"add nothing", testAddNothing},
		{"add to stale sessions", testAddStale},
		{"revision", testRevision},
		{"keep findings", testKeepFindings},
		{"answer", testAnswer},
		{"standing goes stale", testStandingStale},
		{"rederive", testRederive},
		{"rederive fails", testRederiveFails},
		{"rederive while others add", testRederiveMeanwhile},
		{"findings survive rederive", testFindingsSurvive},
		{"edit", testEdit},
		{"second editor", testEditConflict},
		{"edit refused", testEditRefused},
		{"edit while others write", testEditMeanwhile},
		{"edits survive rederive", testEditSurvives},
		{"rederive while others edit", testRederiveWhileEdited},
		{"edit a diary", testEditDiary},
		{"original of a session", testOriginalOf},
		{"stale", testStale},
		{"check", testCheck},
		{"digest", testDigest},
		{"digest changes", testDigestChanges},
		{"take over", testTakeOver},
		{"take over between", testTakeOverBetween},
		{"take over under other names", testTakeOverNames},
		{"take over without an original", testTakeOverLeaves},
		{"take over refused", testTakeOverRefused},
		{"take over the home zone", testTakeOverHome},
		{"take over twins", testTakeOverTwins},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { c.test(t, open(t)) })
	}
}
