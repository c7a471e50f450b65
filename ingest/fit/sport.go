package fit

import (
	"fmt"

	"tidemark/load"
)

// sportOf maps the file's sport; detail is the profile's word where ours is
// coarser. Hiking counts as walking. A treadmill is filed under fitness
// equipment by some devices, whether it was run or walked on: there the sport
// stays unknown and the speed decides later.
func sportOf(s sport) (kind load.Sport, detail string) {
	switch s.sport {
	case sportGeneric, invalid8:
		return load.UnknownSport, ""
	case sportRunning:
		return load.Running, ""
	case sportWalking:
		return load.Walking, ""
	case sportHiking:
		return load.Walking, sportWord(s.sport)
	case sportCycling:
		return load.Cycling, ""
	case sportSwimming:
		return load.Swimming, ""
	case sportFitnessEquipment:
		if s.subSport == subSportTreadmill {
			return load.UnknownSport, sportWord(s.sport)
		}
	}
	return load.OtherSport, sportWord(s.sport)
}

// surfaceOf maps the sub-sports that say what was run or walked on.
func surfaceOf(s sport) load.Surface {
	switch s.sport {
	case sportRunning, sportWalking, sportHiking, sportFitnessEquipment, sportGeneric, invalid8:
	default:
		return ""
	}
	switch s.subSport {
	case subSportTreadmill:
		return load.Treadmill
	case subSportStreet:
		return load.Road
	case subSportTrail:
		return load.Trail
	case subSportTrack:
		return load.Oval
	}
	return ""
}

// sportWord returns the profile's word for a sport.
func sportWord(number uint8) string {
	if int(number) < len(sportWords) && sportWords[number] != "" {
		return sportWords[number]
	}
	return fmt.Sprintf("sport %d", number)
}

// sportWords are the profile's words, by number.
var sportWords = [...]string{
	0: "generic", 1: "running", 2: "cycling", 3: "transition", 4: "fitness_equipment",
	5: "swimming", 6: "basketball", 7: "soccer", 8: "tennis", 9: "american_football",
	10: "training", 11: "walking", 12: "cross_country_skiing", 13: "alpine_skiing",
	14: "snowboarding", 15: "rowing", 16: "mountaineering", 17: "hiking", 18: "multisport",
	19: "paddling", 20: "flying", 21: "e_biking", 22: "motorcycling", 23: "boating",
	24: "driving", 25: "golf", 26: "hang_gliding", 27: "horseback_riding", 28: "hunting",
	29: "fishing", 30: "inline_skating", 31: "rock_climbing", 32: "sailing",
	33: "ice_skating", 34: "sky_diving", 35: "snowshoeing", 36: "snowmobiling",
	37: "stand_up_paddleboarding", 38: "surfing", 39: "wakeboarding", 40: "water_skiing",
	41: "kayaking", 42: "rafting", 43: "windsurfing", 44: "kitesurfing", 45: "tactical",
	46: "jumpmaster", 47: "boxing", 48: "floor_climbing", 49: "baseball", 53: "diving",
	56: "shooting", 58: "winter_sport", 59: "grinding", 62: "hiit", 63: "video_gaming",
	64: "racket", 65: "wheelchair_push_walk", 66: "wheelchair_push_run", 67: "meditation",
	68: "para_sport", 69: "disc_golf", 70: "team_sport", 71: "cricket", 72: "rugby",
	73: "hockey", 74: "lacrosse", 75: "volleyball", 76: "water_tubing", 77: "wakesurfing",
	78: "water_sport", 79: "archery", 80: "mixed_martial_arts", 81: "motor_sports",
	82: "snorkeling", 83: "dance", 84: "jump_rope", 85: "pool_apnea", 86: "mobility",
	87: "geocaching", 88: "canoeing",
}

// fileKind says in words what a file that is no recording is.
func fileKind(kind uint8) string {
	if words, ok := fileKinds[kind]; ok {
		return words
	}
	return fmt.Sprintf("a file of type %d", kind)
}

// fileKinds are the types of the profile but for activity, 4.
var fileKinds = map[uint8]string{
	1: "a description of a device", 2: "settings", 3: "settings of a sport", 5: "a workout",
	6: "a course", 7: "a schedule", 9: "a list of weights", 10: "a list of totals",
	11: "a list of goals", 14: "a list of blood pressures", 15: "monitoring of a day",
	20: "a summary of activities", 28: "monitoring of a day", 32: "monitoring of a day",
	34: "a segment", 35: "a list of segments", 40: "settings of a display",
}
