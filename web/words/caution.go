package words

import (
	"strings"

	"tidemark/load"
	"tidemark/load/rehab"
)

// FollowClinician stands on every page that advises.
const FollowClinician = "These limits follow rules that your clinician can change. If your clinician's plan differs, follow your clinician."

// Roof stands beside every headroom.
const Roof = "A roof, never a plan."

// Held says which runs the limits are made of (model, 6).
const Held = "Held runs carry the limits: no race, and at most 10 % longer than the runs before it, or followed by a week without trouble."

// RatioCaveat stands beside every ratio.
const RatioCaveat = "The ratio describes a change in load. In runners it has not predicted injury; two cohorts found the opposite direction."

// NotForThis is the red flags as one paragraph.
func NotForThis() string {
	var lines []string
	for _, f := range rehab.RedFlags {
		lines = append(lines, f.Sign+": "+f.Do+".")
	}
	lines[0] = strings.ToLower(lines[0][:1]) + lines[0][1:]
	return "Not for this program: " + strings.Join(lines, " ")
}

// Level names how loudly a finding speaks.
func Level(l load.Level) string {
	return map[load.Level]string{load.Remark: "Note", load.Caution: "Caution", load.Stop: "Stop"}[l]
}
