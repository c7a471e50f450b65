package demo

import (
	"bytes"
	"fmt"

	"tidemark/load"
	"tidemark/load/ramp"
	"tidemark/load/rehab"
)

// Care is what is followed of a runner besides the runs. The mornings are a file among the
// runner's files.
type Care struct {
	Complaint rehab.Complaint
	Why       string
	Programme []Prescribed
	Done      []rehab.Done
	Gate      ramp.Gate
	Terms     ramp.Terms // of the way back to running
	TermsWhy  string
}

// Prescribed is a programme, or its next phase, with why.
type Prescribed struct {
	rehab.Prescription
	Why string
}

// followedFor is for how many days Nessa's tendon is followed.
const followedFor = 42

// nessaWeek is every week of hers before it hurt.
var nessaWeek = []outing{
	{day: 2, km: 7.0},
	{day: 4, km: 8.0},
	{day: 7, km: 9.0, kind: long},
}

// nessaAfter is what she has run since; here day counts from the day on which the tendon was
// first followed.
var nessaAfter = []outing{
	{day: 4, km: 2.2, kind: walkRun},
	{day: 7, km: 2.2, kind: walkRun},
	{day: 11, km: 2.2, kind: walkRun},
	{day: 14, km: 2.3, kind: walkRun},
	{day: 17, km: 2.3, kind: walkRun},
	{day: 21, km: 2.5, kind: walkRun},
	{day: 25, km: 5.5, note: "felt good, went on"},
	{day: 32, km: 2.3, kind: walkRun},
	{day: 36, km: 2.3, kind: walkRun},
	{day: 40, km: 2.5, kind: walkRun},
}

// nessaPlan is three runs a week, the last of them twice too long, and then the way back.
func nessaPlan(today load.Day) []dated {
	opened := today - followedFor
	plan := calendar(repeat(nessaWeek, -8, -1), opened-4)
	plan = append(plan, dated{outing{km: 16, kind: long, note: "the whole head with the club"}, opened - 3})
	for _, o := range nessaAfter {
		plan = append(plan, dated{o, opened + load.Day(o.day)})
	}
	return plan
}

// morning is a line of a morning diary; day counts as in nessaAfter, minus one is not said.
type morning struct {
	day, during, after, next, stiffness int
	late                                int // days after which it was typed
}

// usualMorning is what she says of a day that is not in the table: less by and by.
func usualMorning(day int) morning {
	m := morning{day, -1, -1, 2, 10, 0}
	if day > 14 {
		m.next, m.stiffness = 1, 8
	}
	return m
}

// nessaMornings are those after runs, and those that were not as usual. Nobody answered on
// the days of nessaSilent.
var nessaMornings = []morning{
	{5, 3, 3, 3, 15, 0},
	{8, 2, 2, 2, 10, 0},
	{15, 1, 1, 1, 8, 0},
	{18, 2, 1, 1, 8, 0},
	{20, -1, -1, 1, 8, 2},
	{22, 1, 1, 1, 8, 0},
	{26, 3, 4, 4, 30, 0},
	{27, -1, -1, 3, 20, 0},
	{28, -1, -1, 2, 12, 0},
	{33, 1, 1, 1, 8, 0},
	{37, 1, 1, 1, 6, 0},
	{41, 1, 1, 1, 6, 0},
}

var nessaSilent = map[int]bool{12: true, 30: true, followedFor: true}

// nessaCare follows her left Achilles tendon, with the combined programme.
func nessaCare(today load.Day) *Care {
	opened := today - followedFor
	pain, stiffness := 2.0, 10.0
	c := Care{
		Complaint: rehab.Complaint{
			Site: rehab.AchillesMid, Side: rehab.Left, Onset: opened - 2,
			Steps: []rehab.Step{{Day: opened, Status: rehab.Open}}, Bases: []rehab.Base{{From: opened, Pain: &pain, Stiffness: &stiffness}},
		},
		Why: "stiff since the long run with the club",
	}
	set := func(day load.Day, phase int, why string) {
		c.Programme = append(c.Programme, Prescribed{rehab.Prescription{
			Complaint: "ach-mid-left", Programme: "combined", Started: opened + 2, Phase: phase, State: rehab.Running, From: opened + day,
		}, why})
	}
	set(2, 1, "to begin with")
	set(15, 2, "ten raises on one leg go well")
	set(31, 2, "as usual again for three mornings")
	c.Done = nessaDone(opened)
	daily, walk, raises, hops, worst := uint8(1), 40, 14, 12, uint8(2)
	c.Gate = ramp.Gate{Day: opened + 31, DailyPain: &daily, Walk: &walk, WalkSettled: true, Raises: &raises, Hops: &hops, LoadPain: &worst}
	c.Terms = ramp.Terms{
		Start: opened + 31, Weeks: 12, Free: [7]bool{true, true, true, true, true, true, true}, State: ramp.Running,
		Goal: ramp.Goal{Km: 8, Pace: 6.25},
	}
	c.TermsWhy = "slowly this time"
	return &c
}

// nessaDone is what she did of the programme: most of it on most days.
func nessaDone(opened load.Day) (done []rehab.Done) {
	programme, err := rehab.FindProgramme("combined")
	if err != nil {
		panic(fmt.Sprintf("demo: %v", err))
	}
	for day := load.Day(2); day < followedFor; day++ {
		doses := programme.Phases[0].Doses
		if day >= 15 && day < 26 || day >= 31 {
			doses = programme.Phases[1].Doses
		}
		switch day % 7 {
		case 5:
			continue
		case 2:
			doses = doses[:2]
		}
		for _, d := range doses {
			pain := uint8(2 + day%2)
			done = append(done, rehab.Done{
				Complaint: "ach-mid-left", Day: opened + day, Exercise: d.Exercise, Sets: d.Sets, Reps: d.Reps, Hold: d.Hold, Minutes: d.Minutes, Pain: &pain,
			})
		}
	}
	return done
}

// nessaDiary is the file of her mornings.
func nessaDiary(today load.Day) File {
	opened := today - followedFor
	var b bytes.Buffer
	b.WriteString("complaint,on,during,after,next,stiffness,entered\n")
	for day := range followedFor + 1 {
		if nessaSilent[day] {
			continue
		}
		m := usualMorning(day)
		for _, special := range nessaMornings {
			if special.day == day {
				m = special
			}
		}
		entered := ""
		if m.late > 0 {
			entered = (opened + load.Day(day+m.late)).String() + "T08:00:00Z"
		}
		fmt.Fprintf(&b, "ach-mid:left,%v,%s,%s,%d,%d,%s\n", opened+load.Day(day), said(m.during), said(m.after), m.next, m.stiffness, entered)
	}
	return File{"mornings.csv", b.Bytes()}
}

func said(score int) string {
	if score < 0 {
		return ""
	}
	return fmt.Sprint(score)
}
