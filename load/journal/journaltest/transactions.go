package journaltest

import (
	"context"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/load/rehab"
)

func testIsolation(t *testing.T, s journal.Store) {
	a, b := runner(t, s, "a"), runner(t, s, "b")
	fill := func(tx journal.Tx, r journal.RunnerID) error {
		o := original(1)
		_, err := tx.PutRest(r, o.Sum, 5)
		if err == nil {
			t.Error("a rest day without its original was kept")
		}
		return errors.Join(tx.PutOriginal(r, o, []byte(r)), tx.AddSession(r, o.Sum, session(1)),
			tx.PutZone(r, journal.ZoneDecision{Session: "s", Sum: o.Sum}),
			tx.PutSetting(r, journal.Setting{Key: "k", Value: string(r)}), tx.PutEdit(r, said("s", "race", string(r))),
			tx.PutGap(r, journal.Gap{Gap: load.Gap{Answer: load.GapRested}, By: journal.Local}), tx.PutRace(r, journal.Race{Day: 5}),
			tx.AddComplaint(r, journal.Complaint{ID: "c", Site: "calf", Side: "left"}), tx.PutComplaintStep(r, journal.ComplaintStep{Complaint: "c", Step: rehab.Step{Status: rehab.Open}}),
			tx.PutComplaintBase(r, journal.ComplaintBase{Complaint: "c"}), tx.PutMorning(r, journal.Morning{Morning: rehab.Morning{Complaint: "c"}}), tx.PutRedFlag(r, journal.RedFlag{Flag: "clot"}), tx.PutResult(r, journal.Result{Result: rehab.Result{Test: "hop"}}), tx.PutAway(r, journal.Away{Reason: journal.Ill}),
			tx.PutPrescription(r, journal.Prescription{Prescription: rehab.Prescription{Complaint: "c", State: rehab.Running}}), tx.PutDone(r, journal.Done{Done: rehab.Done{Complaint: "c"}}), tx.PutFinding(r, spike(1, load.Stop)),
			tx.PutState(r, journal.StateChange{Finding: spike(1, load.Stop).ID, State: journal.Open, Why: string(r)}),
			tx.PutStanding(standing(r)), tx.PutStamp(r, journal.SessionPart, versions))
	}
	count := func(r journal.RunnerID) (out []int) {
		view(t, s, func(tx journal.Tx) error {
			_, err := tx.Standing(r)
			out = []int{
				len(get[[]journal.Original](t)(tx.Originals(r))), len(get[[]load.Session](t)(tx.Sessions(r))),
				len(get[[]load.Session](t)(tx.SessionsOf(r, original(1).Sum))),
				len(get[[]journal.ZoneDecision](t)(tx.Zones(r))), len(get[[]journal.ZoneDecision](t)(tx.ZonesOf(r, original(1).Sum))),
				len(get[[]journal.Setting](t)(tx.Settings(r))), len(get[[]journal.Finding](t)(tx.Findings(r))),
				len(get[[]journal.StateChange](t)(tx.States(r))), len(get[map[string]journal.Sum](t)(tx.SessionSums(r))),
				len(get[map[journal.Part]journal.Versions](t)(tx.Stamps(r))),
				len(get[[]journal.Edit](t)(tx.Edits(r))), len(get[[]journal.Edit](t)(tx.EditsOf(r, "s"))),
				len(get[[]journal.Gap](t)(tx.Gaps(r))), len(get[[]journal.Race](t)(tx.Races(r))),
				len(get[[]journal.Complaint](t)(tx.Complaints(r))), len(get[[]journal.ComplaintStep](t)(tx.ComplaintSteps(r))),
				len(get[[]journal.ComplaintBase](t)(tx.ComplaintBases(r))), len(get[[]journal.Morning](t)(tx.Mornings(r))), len(get[[]journal.RedFlag](t)(tx.RedFlags(r))), len(get[[]journal.Result](t)(tx.Results(r))),
				len(get[[]journal.Away](t)(tx.Aways(r))), len(get[[]journal.Prescription](t)(tx.Prescriptions(r))), len(get[[]journal.Done](t)(tx.AllDone(r))),
			}
			if err == nil {
				out = append(out, 1)
			}
			if get[bool](t)(tx.HasOriginal(r, original(1).Sum)) || get[bool](t)(tx.HasSession(r, session(1).ID)) {
				out = append(out, 1)
			}
			return nil
		})
		return out
	}
	update(t, s, func(tx journal.Tx) error { return fill(tx, a) })
	same(t, "rows of b", count(b), make([]int, 23))
	update(t, s, func(tx journal.Tx) error { return fill(tx, b) })
	all := slices.Repeat([]int{1}, 25)
	same(t, "rows of a", count(a), all)
	same(t, "rows of b", count(b), all)
	update(t, s, func(tx journal.Tx) error {
		_, err := tx.Touch(a)
		return errors.Join(tx.DropSessions(a), err)
	})
	view(t, s, func(tx journal.Tx) error {
		same(t, "revision of b", get[journal.Runner](t)(tx.Runner(b)).Revision, int64(1))
		same(t, "state of a", get[[]journal.Finding](t)(tx.Findings(a))[0].Why, "a")
		same(t, "state of b", get[[]journal.Finding](t)(tx.Findings(b))[0].Why, "b")
		same(t, "edit of b", get[[]journal.Edit](t)(tx.EditsOf(b, "s"))[0].Value, "b")
		same(t, "setting of b", get[[]journal.Setting](t)(tx.Settings(b))[0].Value, "b")
		_, packed, err := tx.Original(b, original(1).Sum)
		same(t, "bytes of b", string(packed), "b")
		same(t, "sessions of b", len(get[[]load.Session](t)(tx.Sessions(b))), 1)
		return err
	})
}

func runnersIn(t *testing.T, s journal.Store) (n int) {
	t.Helper()
	view(t, s, func(tx journal.Tx) error {
		n = len(get[[]journal.Runner](t)(tx.Runners()))
		return nil
	})
	return n
}

func testRollback(t *testing.T, s journal.Store) {
	mine := errors.New("changed my mind")
	err := s.Update(t.Context(), func(tx journal.Tx) error {
		must(t, tx.AddRunner(journal.Runner{ID: "a", Name: "a"}))
		same(t, "seen inside", len(get[[]journal.Runner](t)(tx.Runners())), 1)
		return mine
	})
	if !errors.Is(err, mine) {
		t.Errorf("Update: %v", err)
	}
	same(t, "runners", runnersIn(t, s), 0)
	if err := s.View(t.Context(), func(journal.Tx) error { return mine }); !errors.Is(err, mine) {
		t.Errorf("View: %v", err)
	}
}

func testPanic(t *testing.T, s journal.Store) {
	func() {
		defer func() { same(t, "recovered", recover(), any("a bug")) }()
		s.Update(t.Context(), func(tx journal.Tx) error {
			must(t, tx.AddRunner(journal.Runner{ID: "a", Name: "a"}))
			panic("a bug")
		})
	}()
	same(t, "runners", runnersIn(t, s), 0)
	runner(t, s, "b") // the store still writes
	func() {
		defer func() { _ = recover() }()
		s.View(t.Context(), func(journal.Tx) error { panic("a bug") })
	}()
	same(t, "runners", runnersIn(t, s), 1)
}

func testConflictInGroup(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	clash := recording(2)
	clash.Sum = sumWithSameStart(recording(1).Sum)
	clash.Sessions = []load.Session{session(1)} // the same ID as the other's
	_, err := b.Add(t.Context(), []journal.Recording{recording(1), clash})
	if !errors.Is(err, journal.ErrConflict) {
		t.Fatalf("Add: %v", err)
	}
	same(t, "originals", len(get[[]journal.Original](t)(b.Originals(t.Context()))), 0)
	same(t, "sessions", len(get[[]load.Session](t)(b.Sessions(t.Context()))), 0)
	same(t, "revision", get[journal.Runner](t)(b.Runner(t.Context())).Revision, int64(1))
}

// sumWithSameStart returns another sum that session IDs cannot tell from sum.
func sumWithSameStart(sum journal.Sum) journal.Sum {
	sum[len(sum)-1]++
	return sum
}

func testViewIsReadOnly(t *testing.T, s journal.Store) {
	err := s.View(t.Context(), func(tx journal.Tx) error {
		return tx.AddRunner(journal.Runner{ID: "a", Name: "a"})
	})
	if !errors.Is(err, journal.ErrReadOnly) {
		t.Errorf("AddRunner in a view: %v", err)
	}
	same(t, "runners", runnersIn(t, s), 0)
}

func testConsistentView(t *testing.T, s journal.Store) {
	runner(t, s, "a")
	view(t, s, func(tx journal.Tx) error {
		same(t, "before", len(get[[]journal.Runner](t)(tx.Runners())), 1)
		runner(t, s, "b")
		same(t, "in the view", len(get[[]journal.Runner](t)(tx.Runners())), 1)
		return nil
	})
	same(t, "after", runnersIn(t, s), 2)
}

func testWriters(t *testing.T, s journal.Store) {
	a := runner(t, s, "a")
	const writers, each = 8, 25
	var wait sync.WaitGroup
	for w := range writers {
		wait.Go(func() {
			for i := range each {
				err := s.Update(context.Background(), func(tx journal.Tx) error {
					if err := tx.Lock(a); err != nil {
						return err
					}
					r, err := tx.Runner(a)
					if err != nil {
						return err
					}
					n, err := tx.Touch(a)
					if err == nil && n != r.Revision+1 {
						err = fmt.Errorf("revision went from %d to %d", r.Revision, n)
					}
					return errors.Join(err, tx.PutSetting(a, journal.Setting{Key: fmt.Sprint(w), From: load.Day(i)}))
				})
				if err != nil {
					t.Errorf("writer %d: %v", w, err)
				}
			}
		})
	}
	wait.Wait()
	view(t, s, func(tx journal.Tx) error {
		same(t, "revision", get[journal.Runner](t)(tx.Runner(a)).Revision, int64(1+writers*each))
		same(t, "settings", len(get[[]journal.Setting](t)(tx.Settings(a))), writers*each)
		return nil
	})
}

func testReaders(t *testing.T, s journal.Store) {
	b := book(t, newJournal(s), "Ada")
	done := make(chan struct{})
	var wait sync.WaitGroup
	for range 4 {
		wait.Go(func() {
			for last := 0; ; {
				sessions, err := b.Sessions(context.Background())
				if err != nil || len(sessions) < last || len(sessions)%3 != 0 {
					t.Errorf("%d sessions after %d: %v", len(sessions), last, err)
					return
				}
				last = len(sessions)
				select {
				case <-done:
					return
				default:
				}
			}
		})
	}
	for i := range 20 {
		// Groups of three: a reader never sees a part of one.
		_, err := b.Add(t.Context(), []journal.Recording{recording(3 * i), recording(3*i + 1), recording(3*i + 2)})
		if err != nil {
			t.Error(err)
			break
		}
	}
	close(done)
	wait.Wait()
}

func testCancelled(t *testing.T, s journal.Store) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	called := func(journal.Tx) error {
		t.Error("f was called")
		return nil
	}
	if err := s.Update(ctx, called); !errors.Is(err, context.Canceled) {
		t.Errorf("Update: %v", err)
	}
	if err := s.View(ctx, called); !errors.Is(err, context.Canceled) {
		t.Errorf("View: %v", err)
	}
}

func testCancelledInside(t *testing.T, s journal.Store) {
	ctx, cancel := context.WithCancel(t.Context())
	err := s.Update(ctx, func(tx journal.Tx) error {
		must(t, tx.AddRunner(journal.Runner{ID: "a", Name: "a"}))
		cancel()
		return nil
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("Update: %v", err)
	}
	same(t, "runners", runnersIn(t, s), 0)
	runner(t, s, "b")
}

// testCancelledAfterRows ends the context of a view that has read before: whatever the
// engine says of that, the end of the context is why.
func testCancelledAfterRows(t *testing.T, s journal.Store) {
	runner(t, s, "a")
	for range 20 {
		ctx, cancel := context.WithCancel(t.Context())
		err := s.View(ctx, func(tx journal.Tx) error {
			_, err := tx.Runner("a")
			cancel()
			for range 1000 { // what is said depends on how far clearing up has come
				if _, err = tx.Runner("a"); err != nil && !errors.Is(err, context.Canceled) {
					break
				}
				runtime.Gosched()
			}
			return err
		})
		if !errors.Is(err, context.Canceled) {
			t.Fatalf("View: %v", err)
		}
	}
}

func testClosed(t *testing.T, s journal.Store) {
	must(t, s.Close())
	if err := s.View(t.Context(), func(journal.Tx) error { return nil }); err == nil {
		t.Error("a closed store reads")
	}
	if err := s.Update(t.Context(), func(journal.Tx) error { return nil }); err == nil {
		t.Error("a closed store writes")
	}
}
