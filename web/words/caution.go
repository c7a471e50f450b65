package words

import (
	"strings"

	"tidemark/load"
)

// FollowClinician stands on every page that advises.
const FollowClinician = "These limits follow rules that your clinician can change. If your clinician's plan differs, follow your clinician."

// Roof stands beside every headroom.
const Roof = "A roof, never a plan."

// Held says which runs the limits are made of (model, 6).
const Held = "Held runs carry the limits: no race, and at most 10 % longer than the runs before it, or followed by a week without trouble."

// RatioCaveat stands beside every ratio.
const RatioCaveat = "The ratio describes a change in load. In runners it has not predicted injury; two cohorts found the opposite direction."

// RedFlags says what is no matter of limits at all.
var RedFlags = []RedFlag{
	{"A sudden snap or kick at the heel, or a foot that cannot rise on its toes", "stop, see a doctor the same day"},
	{"A calf that is swollen, warm, red or painful at rest, chest pain or breathlessness", "call the emergency number"},
	{"Pain at night or at rest, fever, an ache at one spot of a bone", "no running until a doctor has seen it, urgently"},
	{"An antibiotic such as ciprofloxacin or levofloxacin, now or in recent months", "stop loading and call who prescribed it the same day"},
	{"A steroid injection near the tendon, or steroid tablets", "no plan until who gave them has set a date"},
	{"Both heels at once, with a swollen toe, psoriasis, an inflamed eye, bowel disease or long stiffness in the morning", "see a doctor"},
	{"A foot that goes numb, or a calf that tightens on a run and eases at rest", "see a doctor"},
	{"Children, pregnancy and the time after birth, diabetes with numb feet", "only with a clinician who leads"},
	{"No better after 12 weeks, or worse over two", "have it looked at again"},
}

// RedFlag is a sign, whom to call, and how soon (the red flags of the rehab
// reference, 5.8).
type RedFlag struct{ Sign, Act string }

// NotForThis is the red flags as one paragraph.
func NotForThis() string {
	var lines []string
	for _, f := range RedFlags {
		lines = append(lines, f.Sign+": "+f.Act+".")
	}
	lines[0] = strings.ToLower(lines[0][:1]) + lines[0][1:]
	return "Not for this program: " + strings.Join(lines, " ")
}

// Level names how loudly a finding speaks.
func Level(l load.Level) string {
	return map[load.Level]string{load.Remark: "Note", load.Caution: "Caution", load.Stop: "Stop"}[l]
}
