package rehab

import (
	"fmt"
	"slices"

	"tidemark/load"
)

// Act is what a red flag asks for, and what it does to plans and limits.
type Act string

// The acts. The first three stop running until somebody lifts the flag; refer and review
// leave the limits without growth; led leaves only what a clinician has typed.
const (
	Emergency    Act = "emergency"
	SameDay      Act = "same-day"
	Urgent       Act = "urgent"
	Refer        Act = "refer"
	Review       Act = "review"
	ClinicianLed Act = "clinician-led"
)

// Stops reports whether the act stops running.
func (a Act) Stops() bool { return a == Emergency || a == SameDay || a == Urgent }

// RedFlag is a sign that is no matter of limits: what it is, whom to call and how soon.
type RedFlag struct {
	ID     string
	Sign   string
	Do     string
	Act    Act
	Source string
}

// RedFlags are the signs that are asked about (rehab reference 5.8).
var RedFlags = []RedFlag{
	{"rupture", "A sudden snap or kick at the heel, or a foot that cannot rise on its toes", "stop, see a doctor the same day", SameDay, "Maffulli 1998, Am J Sports Med 26:266; a fifth and more are missed at first, as cited"},
	{"clot", "A calf that is swollen, warm, red or painful at rest, chest pain or breathlessness", "call the emergency number", Emergency, "value from memory (Wells); nothing is scored here"},
	{"night", "Pain at night or at rest, fever, an ache at one spot of a bone", "no running until a doctor has seen it, urgently", Urgent, "George et al. 2024, Sports Med, for bone; the others from memory"},
	{"antibiotic", "An antibiotic such as ciprofloxacin or levofloxacin, now or in recent months", "stop loading and call who prescribed it the same day", SameDay, "FDA boxed warning 2008, as cited"},
	{"steroid", "A steroid injection near the tendon, or steroid tablets", "no plan until who gave them has set a date", ClinicianLed, "value from memory"},
	{"both-heels", "Both heels at once, with a swollen toe, psoriasis, an inflamed eye, bowel disease or long stiffness in the morning", "see a doctor", Refer, "NICE NG65 and guidance of physiotherapists, as cited"},
	{"numb", "A foot that goes numb, or a calf that tightens on a run and eases at rest", "see a doctor", Refer, "value from memory"},
	{"led", "Children, pregnancy and the time after birth, diabetes with numb feet", "only with a clinician who leads", ClinicianLed, "value from memory"},
	{"no-better", "No better after 12 weeks, or worse over two", "have it looked at again", Review, "Silbernagel and Crossley 2015: three months of exercise first; two weeks project default"},
}

// FindRedFlag returns the flag of an ID.
func FindRedFlag(id string) (RedFlag, error) {
	i := slices.IndexFunc(RedFlags, func(f RedFlag) bool { return f.ID == id })
	if i < 0 {
		return RedFlag{}, fmt.Errorf("find red flag %.20q: there is none", id)
	}
	return RedFlags[i], nil
}

// Raised is a flag that somebody has said yes to, from a day on.
type Raised struct {
	Flag RedFlag
	From load.Day
	At   load.Instant // when it was said
	// Lifted is the day from which it does not stand any more.
	Lifted   load.Day
	IsLifted bool
}

// Stands reports whether the flag stands on day.
func (r *Raised) Stands(day load.Day) bool { return day >= r.From && !(r.IsLifted && day >= r.Lifted) }

// NothingNew stands in the place of a flag for the answer that there is none.
const NothingNew = "none"

// askEvery is how many days pass before it is asked whether a sign is new (model 7).
const askEvery = 28

// AskNew reports whether it is time to ask: something was followed for four weeks, and of
// signs nobody has said anything for as long.
func AskNew(opened, lastSaid, today load.Day) bool {
	return today >= opened+askEvery && today >= lastSaid+askEvery
}
