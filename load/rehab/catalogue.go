package rehab

import (
	"fmt"
	"slices"
)

// Muscle is what an exercise works most.
type Muscle string

// The muscles. With a straight knee both of the calf work, with a bent one the soleus.
const (
	Gastrocnemius Muscle = "gastrocnemius" // knee straight
	Soleus        Muscle = "soleus"        // knee bent
	OtherMuscle   Muscle = "other"
)

// Exercise is one row of the catalogue. Band orders exercises by what they ask of the
// Achilles tendon, 1 least to 6 most: published forces differ too much between methods for
// more than an order.
type Exercise struct {
	ID            string
	Name          string
	Muscle        Muscle
	WeightBearing bool
	Insertion     bool   // fit for a tendon that hurts at the heel bone: floor level, no stretch into it
	Floor         string // the version at floor level, for one that is not fit; empty: there is none
	Band          int    // 0: none, as of massage
	Usual         string
	Source        string
}

const commonPractice = "common practice, no source"

// Catalogue lists the exercises, by band and then by order of use. The anchors of the bands
// are from the rehab reference 3.6: Baxter et al. 2021, Med Sci Sports Exerc 53:124 (seated
// raise 0.5, forward hop 7.3 times body weight), Sancho et al. 2023, Phys Ther Sport 60:26
// (raises and walking up to 2.76, running, jumping and hopping from 5.13 on), Revak et al.
// 2017, J Athl Train 52:89 (the order of raises).
var Catalogue = []Exercise{
	{"massage", "soft-tissue massage of the tendon", OtherMuscle, false, true, "", 0, "2-3 min to begin with, at most 5 min", commonPractice},
	{"roll_calf", "rolling the calf", OtherMuscle, false, true, "", 0, "about 2 min", commonPractice},
	{"stretch_straight", "calf stretch, knee straight", Gastrocnemius, true, false, "", 0, "hold 20-30 s, 3 times", commonPractice},
	{"stretch_bent", "calf stretch, knee bent", Soleus, true, false, "", 0, "hold 20-30 s, 3 times", commonPractice},
	{"ankle_pumps", "ankle pumps without load", OtherMuscle, false, true, "", 1, "50-70 reps in 1-2 min", commonPractice},
	{"seated_raise_2", "seated heel raise, two legs", Soleus, false, true, "", 1, "3 sets of 10-20", "Baxter et al. 2021"},
	{"seated_raise_1", "seated heel raise, one leg", Soleus, false, true, "", 1, "3 sets of 10-20", "Baxter et al. 2021"},
	{"squat", "squat", OtherMuscle, true, true, "", 2, "3 sets of 10", "Baxter et al. 2021, as cited"},
	{"stand_raise_2", "heel raise on the floor, two legs", Gastrocnemius, true, true, "", 2, "3 sets of 10-20", "Revak et al. 2017"},
	{"step_raise_2", "heel raise on a step, two legs", Gastrocnemius, true, false, "stand_raise_2", 2, "3 sets of 10-20", "Revak et al. 2017"},
	{"leg_press_raise", "heel raise in the leg press", Gastrocnemius, false, false, "stand_raise_2", 3, "3 to 4 sets", "Beyer et al. 2015, as cited"},
	{"walk", "walking", OtherMuscle, true, true, "", 3, "30 min", "Sancho et al. 2023"},
	{"raise_2up_1down", "up on two legs, down on one", Gastrocnemius, true, true, "", 3, "3 sets of 10-15", "Revak et al. 2017"},
	{"floor_lower_1", "lowering on one leg to the floor", Gastrocnemius, true, true, "", 3, "3 sets of 10-15", "Jonsson et al. 2008"},
	{"floor_lower_1_bent", "lowering on one leg to the floor, knee bent", Soleus, true, true, "", 3, "3 sets of 10-15", "Jonsson et al. 2008"},
	{"step_lower_1", "lowering on one leg off a step, knee straight", Gastrocnemius, true, false, "floor_lower_1", 3, "3 sets of 15", "Alfredson et al. 1998"},
	{"step_lower_1_bent", "lowering on one leg off a step, knee bent", Soleus, true, false, "floor_lower_1_bent", 3, "3 sets of 15", "Alfredson et al. 1998; Weinert-Aplin et al. 2015: the same peak load as straight"},
	{"stand_raise_1", "heel raise on the floor, one leg", Gastrocnemius, true, true, "", 3, "3 sets of 10", "Sancho et al. 2023"},
	{"step_raise_1", "heel raise on a step, one leg", Gastrocnemius, true, false, "stand_raise_1", 3, "3 sets of 10", "Sancho et al. 2023"},
	{"hold_raise_1", "holding a heel raise, one leg", Gastrocnemius, true, true, "", 3, "5 times 45 s", "Rio et al. 2015, patellar; O'Neill et al. 2019: no useful effect at once in the Achilles tendon"},
	{"stand_raise_loaded", "standing heel raise with weight", Gastrocnemius, true, true, "", 4, "3 to 4 sets", "Beyer et al. 2015, as cited"},
	{"step_raise_1_loaded", "heel raise on a step, one leg, with weight", Gastrocnemius, true, false, "stand_raise_1_loaded", 4, "3 sets of 15", "Silbernagel et al. 2007, value from memory"},
	{"stand_raise_1_loaded", "heel raise on the floor, one leg, with weight", Gastrocnemius, true, true, "", 4, "3 sets of 15", "project default"},
	{"rebound_raise", "quick rebound raises", Gastrocnemius, true, true, "", 4, "3 sets of 20", "Silbernagel et al. 2007"},
	{"jump_2", "jumps on two legs", Gastrocnemius, true, true, "", 4, "3 sets of 10", "project default"},
	{"towel_raise_1", "heel raise on one leg, towel under the toes", Gastrocnemius, true, false, "", 4, "every second day", "Rathleff et al. 2015, as cited"},
	{"leg_extension_hold", "holding the knee nearly straight against a weight", OtherMuscle, false, true, "", 0, "5 times 45 s", "Rio et al. 2015; Breda et al. 2021"},
	{"leg_press", "leg press, one leg", OtherMuscle, false, true, "", 0, "4 sets", "Breda et al. 2021"},
	{"hop_2", "hops on two legs", Gastrocnemius, true, true, "", 5, "3 sets of 10", "Sancho et al. 2023"},
	{"hop_1", "hops on one leg", Gastrocnemius, true, true, "", 5, "3 sets of 10", "Sancho et al. 2023"},
	{"drop_jump_1", "drop jump on one leg", Gastrocnemius, true, true, "", 6, "3 sets of 5", "Baxter et al. 2021, as cited"},
	{"forward_hop_1", "forward hops on one leg", Gastrocnemius, true, true, "", 6, "3 sets of 5", "Baxter et al. 2021"},
}

// FindExercise returns the row of an ID.
func FindExercise(id string) (Exercise, error) {
	i := slices.IndexFunc(Catalogue, func(e Exercise) bool { return e.ID == id })
	if i < 0 {
		return Exercise{}, fmt.Errorf("find exercise %.40q: there is none", id)
	}
	return Catalogue[i], nil
}

// ForInsertion returns what to do instead of an exercise where the tendon hurts at the heel
// bone: itself, its version at floor level, or nothing (Jonsson et al. 2008, Br J Sports
// Med 42:746).
func (e Exercise) ForInsertion() (instead Exercise, ok bool) {
	switch {
	case e.Insertion:
		return e, true
	case e.Floor == "":
		return Exercise{}, false
	}
	instead, err := FindExercise(e.Floor)
	return instead, err == nil
}
