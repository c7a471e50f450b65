// Package demo invents a running club and the files that its watches, phones
// and diaries would have exported up to yesterday: healthy and damaged, doubled
// and refused. It generates them from tables that read like a training diary
// and from a written seed.
//
// It is not a test fixture of the importers, whose cases live in their own
// packages, and it does not know them: whoever asks for the club sends its files
// through the real ones. Nobody in it exists, and its routes lie in the open sea.
package demo

import (
	"fmt"
	"time"
	_ "time/tzdata" // Home must be known on machines without zone files.

	"tidemark/load"
)

// File is one exported file.
type File struct {
	Name string
	Data []byte
}

// Runner is an invented member of the club with everything they exported.
type Runner struct {
	Name     string
	Home     string   // IANA zone
	Story    string   // one sentence
	FirstUse load.Day // since when the runner uses the program; older files are history
	Files    []File   // in order of time; archives and the diaries last
	Care     *Care    // nil: nothing is followed
}

// member is what the generator knows about a runner.
type member struct {
	name, story string
	number      uint64 // of the runner's streams of chance
	zone        *time.Location
	body        body
	firstUse    int // days before today
	plan        func(today load.Day) []dated
	planned     string // name of a route that was sent along, empty: none
	care        func(today load.Day) *Care
	mornings    func(today load.Day) File
}

// members returns the club, the main runner first.
func members() []member {
	zone, err := time.LoadLocation(Home)
	if err != nil {
		panic(fmt.Sprintf("demo: %v", err))
	}
	club := []member{
		{
			name:     "Edda Quill",
			story:    "Four months of patient building, a ten-day cold and a careful return, until one long run with a faster group went 4 km too far.",
			body:     body{pace: 365, heart: 143, cadence: 166},
			firstUse: 28,
			plan:     eddaPlan,
			planned:  "harbour to head and back",
		},
		{
			name:     "Jory Fenn",
			story:    "Began five weeks ago, walking and running in turn.",
			body:     body{pace: 415, heart: 152, cadence: 160},
			firstUse: 30,
			plan:     joryPlan,
		},
		{
			name:     "Hedda Brock",
			story:    "The same three runs every week, and nothing to report.",
			body:     body{pace: 340, heart: 138, cadence: 170},
			firstUse: 45,
			plan:     heddaPlan,
		},
		{
			name:     "Osk Tarrant",
			story:    "Ran steadily until his watch fell silent 20 days ago.",
			body:     body{pace: 352, heart: 147, cadence: 168},
			firstUse: 60,
			plan:     oskPlan,
		},
		{
			name:     "Nessa Vale",
			story:    "Six weeks with a sore left Achilles tendon, raises and short runs, and one run that was too long too soon.",
			body:     body{pace: 370, heart: 146, cadence: 168},
			firstUse: followedFor,
			plan:     nessaPlan,
			care:     nessaCare,
			mornings: nessaDiary,
		},
	}
	for i := range club {
		club[i].number, club[i].zone = uint64(i), zone
	}
	return club
}

// Club returns the invented runners with everything their watches recorded in
// the 17 weeks up to and including the day before today, the main runner first.
// The same day gives the same bytes.
func Club(today load.Day) []Runner {
	var runners []Runner
	for _, m := range members() {
		r := Runner{
			Name: m.name, Home: Home, Story: m.story,
			FirstUse: today - load.Day(m.firstUse),
			Files:    m.files(m.outings(today)),
		}
		if m.care != nil {
			r.Care = m.care(today)
			r.Files = append(r.Files, m.mornings(today))
		}
		runners = append(runners, r)
	}
	return runners
}

// outings returns the member's plan, in order of days, with the distances that
// the devices will show.
func (m *member) outings(today load.Day) []dated {
	plan := within(m.plan(today), today)
	m.vary(plan)
	return plan
}
