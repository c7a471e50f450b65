package sqlite

import "tidemark/load/journal"

// historyTables is where the rows of each history lie.
var historyTables = map[journal.History]string{
	journal.SettingHistory:      "setting",
	journal.EditHistory:         "edit",
	journal.GapHistory:          "gap",
	journal.RaceHistory:         "race",
	journal.StepHistory:         "complaint_step",
	journal.BaseHistory:         "complaint_base",
	journal.MorningHistory:      "morning",
	journal.RedFlagHistory:      "red_flag",
	journal.ResultHistory:       "result",
	journal.PrescriptionHistory: "prescription",
	journal.DoneHistory:         "exercise_log",
	journal.AwayHistory:         "away",
	journal.OrderHistory:        "standing_order",
	journal.RampHistory:         "ramp",
	journal.GateHistory:         "gate",
	journal.NoteHistory:         "note",
	journal.StateHistory:        "finding_state",
}

func (t *tx) DropHistory(runner journal.RunnerID, name journal.History) error {
	table, ok := historyTables[name]
	if !ok {
		panic("sqlite: DropHistory: no history " + string(name))
	}
	_, err := t.exec(`DELETE FROM `+table+` WHERE runner = $1`, runner)
	return err
}
