package words

import (
	"strconv"
	"strings"

	"tidemark/load"
)

// Group names a group of settings, and says what it is for.
func Group(g load.Group) (title, text string) {
	switch g {
	case load.GroupRunner:
		return "You as a runner", "What you said when you began: it stands in for the runs that the logbook does not know, for 30 days at most."
	case load.GroupHeart:
		return "Heart rate", "The load by heart rate needs your rate at rest and the highest. A measured highest rate is better than any estimate: 10 bpm change the load by a sixth to a fifth."
	case load.GroupTendon:
		return "Tendon", load.TendonCaveat
	case load.GroupLimits:
		return "Limits", "What the limits of a day are grown from. Whoever is in charge of you may change them."
	case load.GroupWarnings:
		return "Warnings", "From where on something is said."
	case load.GroupWindows:
		return "Days and sums", "How days without a record count, and how the spread of a week is taken."
	}
	panic("words: Group: a group without words")
}

// SettingUnit is the unit in which people type a setting: a share in percent.
func SettingUnit(def load.Setting) string {
	switch def.Unit {
	case "share":
		return "%"
	case "switch", "choice", "year", "times", "runs":
		return ""
	}
	return def.Unit
}

// SettingValue writes a setting for people.
func SettingValue(def load.Setting, v float64) string {
	switch {
	case def.Unit == "switch" && v != 0:
		return "yes"
	case def.Unit == "switch":
		return "no"
	case def.Unit == "choice":
		return def.Options[int(v)]
	case def.Optional && v == 0:
		return "not said"
	}
	text := SettingNumber(def, v)
	if unit := SettingUnit(def); unit != "" {
		text += " " + unit
	}
	return text
}

// SettingNumber writes a setting's number as people type it.
func SettingNumber(def load.Setting, v float64) string {
	if def.Unit == "share" {
		v = float64(int(v*1000+0.5)) / 10
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// SettingRange says which values a setting takes.
func SettingRange(def load.Setting) string {
	switch def.Unit {
	case "switch":
		return "yes or no"
	case "choice":
		return strings.Join(def.Options, ", or ")
	}
	text := SettingNumber(def, def.Min) + " to " + SettingNumber(def, def.Max)
	if unit := SettingUnit(def); unit != "" {
		text += " " + unit
	}
	return text
}
