package wire

import (
	"time"

	"tidemark/load"
	"tidemark/load/journal"
)

// What a whole logbook is called, and in which version it is written. The version rises when
// a reader of the one before would misread it.
const (
	LogbookFormat  = "tidemark-logbook"
	LogbookVersion = 1
)

// The members of a logbook's zip.
const (
	LogbookFile     = "logbook.json"
	OriginalsFolder = "originals/"
)

// Logbook is everything that is kept of one runner. Lists are in the order in which things
// were entered, unless they have a date or a name to go by.
type Logbook struct {
	Format  string `json:"format"`
	Version int    `json:"version"`
	Runner  Owner  `json:"runner"`

	Originals []Original     `json:"originals"`
	Zones     []ZoneDecision `json:"zones"`
	Rests     []Rest         `json:"rests"`

	Settings []Setting `json:"settings"`
	Edits    []Edit    `json:"edits"`
	Gaps     []Gap     `json:"gaps"`
	Races    []RaceRow `json:"races"`

	Complaints []KeptComplaint `json:"complaints"`
	Steps      []ComplaintStep `json:"complaint_steps"`
	Bases      []ComplaintBase `json:"complaint_bases"`
	Mornings   []MorningEntry  `json:"mornings"`
	RedFlags   []RedFlag       `json:"red_flags"`
	Results    []Result        `json:"results"`

	Prescriptions []Prescription `json:"prescriptions"`
	Done          []Done         `json:"exercise_log"`
	Routines      []Routine      `json:"routines"`
	Orders        []Order        `json:"standing_orders"`
	Aways         []Away         `json:"away"`
	Ramps         []RampTerms    `json:"ramps"`
	Gates         []Gate         `json:"gates"`
	Notes         []Note         `json:"notes"`

	Findings []KeptFinding  `json:"findings"`
	States   []FindingState `json:"finding_states"`
}

// Owner is whose logbook it is.
type Owner struct {
	Name     string   `json:"name"`
	Home     string   `json:"home"` // IANA name of the home time zone
	FirstUse load.Day `json:"first_use"`
}

// Said is who entered a row, by the name that they have in the journal, and when.
type Said struct {
	By string `json:"by"`
	At Moment `json:"at"`
}

func saidBy(by journal.Person, at load.Instant) Said { return Said{string(by), Moment(at)} }

func (s Said) person() journal.Person { return journal.Person(s.By) }

func (s Said) at() load.Instant { return load.Instant(s.At) }

// Moment is an instant to the millisecond, in RFC 3339 and UTC.
type Moment load.Instant

// MarshalText writes RFC 3339.
func (m Moment) MarshalText() ([]byte, error) { return []byte(Instant(load.Instant(m), 0)), nil }

// UnmarshalText reads RFC 3339.
func (m *Moment) UnmarshalText(text []byte) error {
	t, err := time.Parse(time.RFC3339, string(text))
	if err != nil {
		return errInstant
	}
	*m = Moment(load.InstantOf(t))
	return nil
}

// Original is a file as it was given to the program.
type Original struct {
	SHA256 Digits `json:"sha256"`
	File   string `json:"file"` // the member of the zip that holds it
	Path   string `json:"path"` // where it came from; ARCHIVE!MEMBER inside archives
	Format string `json:"format"`
	Size   int64  `json:"size_bytes"`
	Added  Moment `json:"added"`
}

// ZoneDecision is the local time and date that a session was given.
type ZoneDecision struct {
	Session string   `json:"session"`
	SHA256  Digits   `json:"sha256"` // of its original
	Zone    *string  `json:"zone"`   // IANA name, null where only the offset is known
	Offset  float64  `json:"offset_s"`
	Source  string   `json:"source"`
	Day     load.Day `json:"day"`
}

// Rest is a day that a diary says was rest.
type Rest struct {
	Day    load.Day `json:"day"`
	SHA256 Digits   `json:"sha256"` // of the diary
}

// Setting is a choice that holds from a day on.
type Setting struct {
	Key   string   `json:"key"`
	From  load.Day `json:"from"`
	Value string   `json:"value"`
	Said
}

// Edit is what was said of a session that its file could not know.
type Edit struct {
	Session string  `json:"session"`
	Field   string  `json:"field"`
	Value   *string `json:"value"` // null: taken back
	Said
}

// Gap is an answer about days without a record.
type Gap struct {
	First   load.Day `json:"first"`
	Last    load.Day `json:"last"`
	Answer  *string  `json:"answer"` // null: taken back
	Runs    int      `json:"runs"`
	Longest *int64   `json:"longest_mm"` // null: not said
	Said
}

// RaceRow is what was said of a race to come.
type RaceRow struct {
	Day      load.Day `json:"day"`
	Name     string   `json:"name"`
	Distance *int64   `json:"distance_mm"` // null: not said
	Off      bool     `json:"off"`         // it is not run after all
	Said
}

// KeptFinding is what a finding says; its states stand apart.
type KeptFinding struct {
	ID       string         `json:"id"`
	Rule     string         `json:"rule"`
	Level    load.Level     `json:"level"`
	Subject  string         `json:"subject"`
	Day      load.Day       `json:"day"`
	LastDay  load.Day       `json:"last_day"`
	Value    float64        `json:"value"`
	Limit    float64        `json:"limit"`
	Unit     string         `json:"unit"`
	Advice   string         `json:"advice"`
	Evidence []KeptEvidence `json:"evidence"`
}

// KeptEvidence is one thing that a finding rests on.
type KeptEvidence struct {
	Rule     string     `json:"rule"`
	Day      load.Day   `json:"day"`
	Subject  string     `json:"subject"`
	Level    load.Level `json:"level"`
	Value    float64    `json:"value"`
	Limit    float64    `json:"limit"`
	Unit     string     `json:"unit"`
	Text     string     `json:"text"`
	Source   string     `json:"source"`
	Strength string     `json:"strength"`
}

// FindingState is one step in the life of a finding.
type FindingState struct {
	Finding  string    `json:"finding"`
	State    string    `json:"state"`
	Why      string    `json:"why"`
	Reopened *load.Day `json:"reopened"` // null: never
	Said
}
