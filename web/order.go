package web

import (
	"fmt"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
	"tidemark/web/words"
)

// orderedDays is how many days ahead something may be allowed in advance.
const orderedDays = 366

// readOrder reads what is allowed in advance; without a phase or a stage it allows nothing.
func readOrder(phase, stage, until string, today load.Day) (o rehab.Order, fault fieldFault) {
	if !wholeNumbers([]string{phase}, &o.Phase) {
		return o, fieldFault{"phase", "The phase is a whole number; nothing allows nothing."}
	}
	if !wholeNumbers([]string{stage}, &o.Stage) {
		return o, fieldFault{"stage", "The stage is a whole number; nothing allows nothing."}
	}
	if err := o.Check(); err != nil {
		field := "stage"
		if (&rehab.Order{Stage: o.Stage}).Check() == nil {
			field = "phase"
		}
		return o, fieldFault{field, words.Sentenced(err.Error())}
	}
	if !o.Allows() {
		return rehab.Order{}, fieldFault{}
	}
	var err error
	o.Until, err = load.ParseDay(until)
	switch {
	case err != nil:
		return o, fieldFault{"until", "Say until when it is allowed."}
	case o.Until < today:
		return o, fieldFault{"until", "That day has passed: it is allowed until today or later."}
	case o.Until > today+orderedDays:
		return o, fieldFault{"until", fmt.Sprintf("It is allowed for %d days at most; then look again.", orderedDays)}
	}
	return o, fieldFault{}
}

// beyondLadder says why there is no such stage; empty: there is.
func beyondLadder(stage int, terms *ramp.Terms) string {
	n := len(terms.Ladder())
	if most := ramp.MostRoof(n); stage > most {
		return fmt.Sprintf("The ladder has %d stages, and with what comes after it there are %d.", n, most)
	}
	return ""
}

// orderStands says what was allowed in advance last, also where its last day has passed.
func orderStands(o *rehab.Order, today load.Day) string {
	switch {
	case !o.Allows():
		return "nothing is allowed in advance"
	case o.Until < today:
		return "what was allowed in advance ended on " + words.Day(o.Until) + "; now nothing is"
	}
	return orderWords(o)
}
