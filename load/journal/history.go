package journal

import (
	"tidemark/load"
)

// History names a noun whose rows are added and never changed.
type History string

// The histories.
const (
	SettingHistory      History = "setting"
	EditHistory         History = "edit"
	GapHistory          History = "gap"
	RaceHistory         History = "race"
	StepHistory         History = "complaint step"
	BaseHistory         History = "complaint base"
	MorningHistory      History = "morning"
	RedFlagHistory      History = "red flag"
	ResultHistory       History = "result"
	PrescriptionHistory History = "prescription"
	DoneHistory         History = "exercise log"
	AwayHistory         History = "away"
	OrderHistory        History = "standing order"
	RampHistory         History = "ramp"
	GateHistory         History = "gate"
	NoteHistory         History = "note"
	StateHistory        History = "finding state"
)

// HistoryTx puts rows from elsewhere between those that are there.
type HistoryTx interface {
	// DropHistory forgets the rows of one history, which are put again in another order in
	// the same transaction.
	DropHistory(RunnerID, History) error
}

// history is what can be done with one of them, whatever its rows are.
type history struct {
	name History
	read func(Tx, RunnerID, *Kept) error
	// take puts those rows of a Kept that are not there among the others, by when they were
	// entered.
	take func(Tx, RunnerID, *Kept, speech) (taken, error)
	// mark names whoever entered the rows otherwise.
	mark func(*Kept, func(Person) Person)
}

// taken counts rows.
type taken struct{ added, there int }

// histories lists all. The order is that in which rows may refer to others.
var histories = []history{
	historyOf(SettingHistory, func(k *Kept) *[]Setting { return &k.Settings }, func(r *Setting) (*Person, load.Instant) { return &r.By, r.At }, Tx.Settings, Tx.PutSetting),
	historyOf(EditHistory, func(k *Kept) *[]Edit { return &k.Edits }, func(r *Edit) (*Person, load.Instant) { return &r.By, r.At }, Tx.Edits, Tx.PutEdit),
	historyOf(GapHistory, func(k *Kept) *[]Gap { return &k.Gaps }, func(r *Gap) (*Person, load.Instant) { return &r.By, r.At }, Tx.Gaps, Tx.PutGap),
	historyOf(RaceHistory, func(k *Kept) *[]Race { return &k.Races }, func(r *Race) (*Person, load.Instant) { return &r.By, r.At }, Tx.Races, Tx.PutRace),
	historyOf(StepHistory, func(k *Kept) *[]ComplaintStep { return &k.Steps }, func(r *ComplaintStep) (*Person, load.Instant) { return &r.By, r.At }, Tx.ComplaintSteps, Tx.PutComplaintStep),
	historyOf(BaseHistory, func(k *Kept) *[]ComplaintBase { return &k.Bases }, func(r *ComplaintBase) (*Person, load.Instant) { return &r.By, r.At }, Tx.ComplaintBases, Tx.PutComplaintBase),
	historyOf(MorningHistory, func(k *Kept) *[]Morning { return &k.Mornings }, func(r *Morning) (*Person, load.Instant) { return &r.By, r.Entered }, Tx.Mornings, Tx.PutMorning),
	historyOf(RedFlagHistory, func(k *Kept) *[]RedFlag { return &k.RedFlags }, func(r *RedFlag) (*Person, load.Instant) { return &r.By, r.At }, Tx.RedFlags, Tx.PutRedFlag),
	historyOf(ResultHistory, func(k *Kept) *[]Result { return &k.Results }, func(r *Result) (*Person, load.Instant) { return &r.By, r.At }, Tx.Results, Tx.PutResult),
	historyOf(PrescriptionHistory, func(k *Kept) *[]Prescription { return &k.Plan.Prescriptions }, func(r *Prescription) (*Person, load.Instant) { return &r.By, r.At }, Tx.Prescriptions, Tx.PutPrescription),
	historyOf(DoneHistory, func(k *Kept) *[]Done { return &k.Plan.Done }, func(r *Done) (*Person, load.Instant) { return &r.By, r.At }, Tx.AllDone, Tx.PutDone),
	historyOf(AwayHistory, func(k *Kept) *[]Away { return &k.Plan.Aways }, func(r *Away) (*Person, load.Instant) { return &r.By, r.At }, Tx.Aways, Tx.PutAway),
	historyOf(OrderHistory, func(k *Kept) *[]Order { return &k.Plan.Orders }, func(r *Order) (*Person, load.Instant) { return &r.By, r.At }, Tx.Orders, Tx.PutOrder),
	historyOf(RampHistory, func(k *Kept) *[]RampTerms { return &k.Ramps }, func(r *RampTerms) (*Person, load.Instant) { return &r.By, r.At }, Tx.Ramps, Tx.PutRamp),
	historyOf(GateHistory, func(k *Kept) *[]Gate { return &k.Gates }, func(r *Gate) (*Person, load.Instant) { return &r.By, r.At }, Tx.Gates, Tx.PutGate),
	historyOf(NoteHistory, func(k *Kept) *[]Note { return &k.Notes }, func(r *Note) (*Person, load.Instant) { return &r.By, r.At }, Tx.Notes, Tx.PutNote),
	historyOf(StateHistory, func(k *Kept) *[]StateChange { return &k.States }, func(r *StateChange) (*Person, load.Instant) { return &r.By, r.At }, Tx.States, Tx.PutState),
}

// historyOf ties a list of Kept to its methods of a transaction.
func historyOf[T any](name History, list func(*Kept) *[]T, said func(*T) (*Person, load.Instant),
	all func(Tx, RunnerID) ([]T, error), put func(Tx, RunnerID, T) error,
) history {
	return history{
		name: name,
		read: func(tx Tx, runner RunnerID, k *Kept) (err error) {
			*list(k), err = all(tx, runner)
			return err
		},
		take: func(tx Tx, runner RunnerID, k *Kept, speak speech) (n taken, err error) {
			there, err := all(tx, runner)
			if err != nil {
				return n, err
			}
			at := func(row *T) load.Instant { _, when := said(row); return when }
			merged, added := mergeRows(there, *list(k), at, speak)
			n = taken{added, len(*list(k)) - added}
			if added == 0 {
				return n, nil
			}
			from := commonStart(there, merged)
			if from < len(there) {
				from, err = 0, tx.DropHistory(runner, name)
			}
			for _, row := range merged[from:] {
				if err == nil {
					err = put(tx, runner, row)
				}
			}
			return n, err
		},
		mark: func(k *Kept, name func(Person) Person) {
			rows := make([]T, len(*list(k)))
			copy(rows, *list(k))
			for i := range rows {
				by, _ := said(&rows[i])
				*by = name(*by)
			}
			*list(k) = rows
		},
	}
}
