package web

import (
	"fmt"
	"net/http"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"tidemark/load"
	"tidemark/load/assess"
	"tidemark/load/journal"
	"tidemark/web/api/intake"
	"tidemark/web/words"
)

// runPage is one recording: what it asked of the runner, how it went, what is
// odd about its data, and what can be corrected.
type runPage struct {
	page
	ID       string
	Start    string // time of day where it was, empty: not known
	Kind     string
	Headline words.Sentence
	Why      []string
	Doubles  doubles
	Belt     bool // a treadmill's distance that is not confirmed
	Cleaned  []cleanedLine
	Track    bool // it has one to hand out
	Measures []figure
	Profiles []profile
	Table    profileTable
	Notes    load.Notes
	Said     string // what the runner wrote about it
	File     fileLine
	Form     editForm
	Edits    []editLine
}

// figure is one thing that was measured, and what it is from.
type figure struct{ Name, Value, From string }

// fileLine is the original that the recording is from.
type fileLine struct{ Name, Format, Size, Added string }

// recording is what a page about one recording needs.
type recording struct {
	session  load.Session
	original journal.Original
	activity load.Activity
	edits    []journal.Edit
}

func (v *visit) recording(r *http.Request) (rec recording, err error) {
	ctx, id := r.Context(), r.PathValue("id")
	if rec.session, err = v.book.Session(ctx, id); err != nil {
		return rec, err
	}
	if rec.edits, err = v.book.Edits(ctx, id); err != nil {
		return rec, err
	}
	if rec.original, _, err = v.book.OriginalOf(ctx, id); err != nil {
		return rec, err
	}
	opt, err := v.server.intake(v.runner)
	if err != nil {
		return rec, err
	}
	rec.activity, err = intake.Activity(rec.original, id, opt)
	return rec, err
}

func (s *Server) run(w http.ResponseWriter, r *http.Request, v *visit) error {
	rec, err := v.recording(r)
	if err != nil {
		return err
	}
	form, err := v.form(r.Context(), &rec)
	if err != nil {
		return err
	}
	return s.showRun(w, r, v, rec, form, http.StatusOK)
}

// showRun renders the page with the form as it is given.
func (s *Server) showRun(w http.ResponseWriter, r *http.Request, v *visit, rec recording, form editForm, status int) error {
	one := &rec.session
	out := runPage{
		page: v.page(fmt.Sprintf("%s on %s", title(kinds[one.Sport]), words.Day(one.Day)), "runs"),
		ID:   one.ID, Kind: kinds[one.Sport], Headline: headline(one), Notes: one.Notes, Form: form,
	}
	in, err := v.book.Input(r.Context(), max(v.today, one.Day))
	if err != nil {
		return err
	}
	set := in.Settings.On(one.Day)
	out.Measures = figuresWithSources(one, &set, rec.activity.Altitude)
	if !one.NoStart {
		out.Start = one.Start.In(one.Zone.Offset).Format("15:04")
	}
	out.Belt = one.Surface == load.Treadmill && one.Sport == load.Running && one.DistanceSource != load.DistanceTyped
	out.judge(in, one)
	out.profiles(&rec)
	at := rec.original.Added.Time()
	if home, err := time.LoadLocation(v.runner.Home); err == nil {
		at = at.In(home)
	}
	out.Said, out.Cleaned, out.Track = one.Note, cleanedOf(&rec), one.TrackDistance > 0
	out.File = fileLine{shortPath(rec.original.Path), rec.original.Format, size(rec.original.Size), at.Format("2 January 2006, 15:04")}
	out.Edits = v.editLines(rec.edits, v.runner.Home)
	return s.render(w, status, "run", out)
}

// title makes a text the beginning of a line.
func title(text string) string {
	if text == "" {
		return ""
	}
	first, length := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(first)) + text[length:]
}

func headline(s *load.Session) words.Sentence {
	f := figuresOf(s)
	on := ", " + words.Weekday(s.Day) + "."
	switch {
	case f.Distance != "" && f.Time != "":
		return words.Sentence{Number: f.Distance, After: " in " + f.Time + on}
	case f.Distance != "":
		return words.Sentence{Number: f.Distance, After: on}
	case f.Time != "":
		return words.Sentence{Number: f.Time, After: on}
	}
	return words.Sentence{Before: title(kinds[s.Sport]) + on}
}

// judge says how the recording stands against the runs before it, or why it does
// not count.
func (p *runPage) judge(in *load.Input, one *load.Session) {
	p.Doubles = doublesOf(in, one, p.Runner.Base(), p.Form.Seen)
	switch {
	case one.Sport == load.UnknownSport:
		p.Why = append(p.Why, "Was this a run? Until you say so below, it counts nothing.")
	case one.Sport != load.Running:
		p.Why = append(p.Why, "Only runs make running load: this one is kept and shown, and counts nothing.")
	case one.Excluded:
		p.Why = append(p.Why, "You left it out: it stays in the logbook, and no sum or limit counts it.")
	case p.Doubles.Counts != nil:
		p.Why = append(p.Why, "Another recording of the same run counts instead of this one.")
	default:
		p.Why = append(p.Why, against(in, one))
	}
	if apart, ok := load.Strays(in.Sessions)[one.ID]; ok {
		p.Why = append(p.Why, fmt.Sprintf("Its date is %.1f years from everything else in the logbook. If the watch's clock was wrong, give the right date below.", float64(apart)/365.25))
	}
	if p.Belt {
		p.Why = append(p.Why, "A treadmill's distance is only the watch's guess: it counts in sums, and sets no longest run until you say what the belt showed.")
	}
	if one.Race || isPlannedRace(in, one) {
		p.Why = append(p.Why, "A race: its length is accepted and makes no warning, and it sets no length that training may repeat at once.")
	}
}

// isPlannedRace reports whether the run is taken for a race that was planned.
func isPlannedRace(in *load.Input, one *load.Session) bool {
	for _, r := range in.Races {
		if r.Day != one.Day {
			continue
		}
		for _, row := range load.NewHistory(in, load.Distance).SessionRows(one.Day, one.Day) {
			if row.ID == one.ID {
				return row.Race
			}
		}
	}
	return false
}

// against compares a run with the longest of the 30 days before it.
func against(in *load.Input, one *load.Session) string {
	before := *in
	before.Today = one.Day
	picture := assess.Assess(&before, nil, assess.Query{Measure: load.Distance, From: one.Day - 1, To: one.Day}, nil)
	for _, row := range picture.Sessions {
		if row.ID != one.ID {
			continue
		}
		spike, ok := row.Spike.Get()
		if !ok {
			if row.Spike.Reason() == load.ReasonNotRecorded {
				return "No distance was recorded: it counts in minutes only."
			}
			return "Nothing to compare it with: " + words.Reason(row.Spike.Reason()) + "."
		}
		tidemark, _ := row.Tidemark.Get()
		text := ""
		if own, _ := one.Measures.Get(load.Distance); own != row.Load {
			text = "With what followed within half an hour, " + words.Amount(load.Distance, row.Load) + ": "
		}
		text = title(text+words.Over(spike)) + " the longest run of the 30 days before (" + words.Value(load.Distance, tidemark) + ")."
		if row.Provisional {
			text += " Provisional: the logbook knew fewer than 30 days by then."
		}
		return text
	}
	return "Less than half an hour after the run before: the two count as one effort."
}

// sources say in words where a value is from.
var (
	distanceSources = map[load.DistanceSource]string{
		load.DistanceFromDevice: "as the watch counted", load.DistanceFromTrack: "along the track", load.DistanceFromSession: "the file's own sum", load.DistanceTyped: "given by hand",
	}
	stepsSources = map[load.StepsSource]string{
		load.StepsFromCadence: "from cadence", load.StepsFromSpeed: "estimated from speed", load.StepsTyped: "typed",
	}
)

func figuresWithSources(s *load.Session, set *load.Settings, kind load.AltitudeKind) (out []figure) {
	f := figuresOf(s)
	add := func(name, value, from string) {
		if value != "" {
			out = append(out, figure{name, value, from})
		}
	}
	if s.DistanceSource != "" {
		add("Distance", fmt.Sprintf("%.2f km", float64(s.Distance)/1000), distanceSources[s.DistanceSource])
	}
	if s.DeviceDistance > 0 && s.TrackDistance > 0 && s.Notes.Has(load.NoteDistance) {
		add("Watch and track", fmt.Sprintf("%.2f and %.2f km", float64(s.DeviceDistance)/1000, float64(s.TrackDistance)/1000), "they differ")
	}
	add("Moving time", f.Time, "")
	add("Elapsed", clock(s.Elapsed), "")
	if s.RunTime > 0 && s.WalkTime > 0 {
		add("Running and walking", clock(s.RunTime)+" and "+clock(s.WalkTime), words.Plural(s.RunSpells, "spell")+" of running")
		if amount, ok := s.Measures.Get(load.RunDistance); ok {
			add("Distance run", words.Value(load.RunDistance, load.RunDistance.In(amount)), "without what was walked")
		}
	}
	add("Pace", f.Pace, "while moving")
	add("Mean heart rate", f.Heart, "")
	if s.HeartMax > 0 {
		add("Highest", fmt.Sprintf("%d bpm", s.HeartMax), "")
	}
	add("Ascent", f.Ascent, ascentFrom(s, kind))
	add("On the flat", flatOf(s), "the level distance that costs as much")
	if s.CadenceMean > 0 {
		add("Cadence", fmt.Sprintf("%.0f steps a minute", float64(s.CadenceMean)), "both feet")
	}
	add("Steps", f.Steps, stepsSources[s.StepsSource])
	add("Effort", f.Exertion, "how hard (0 to 10) times minutes")
	add("Heart", personal(s, set, load.Heart), heartFrom(s))
	add("Tendon", personal(s, set, load.Tendon), "level km at 3 m/s that would ask as much; an estimate")
	add("Surface", string(s.Surface), "")
	add("Shoes", s.Shoe, "")
	add("Device", s.Device, "")
	return out
}

// personal writes a measure that depends on the runner, with its band.
func personal(s *load.Session, set *load.Settings, m load.Measure) string {
	r, ok := set.Reading(s, m)
	if !ok {
		return ""
	}
	text := words.Value(m, m.In(r.Amount))
	if low, high, ok := set.Band(s, m); ok {
		text += fmt.Sprintf(" (%s to %s)", words.Number(m, m.In(low)), words.Number(m, m.In(high)))
	}
	return text
}

func heartFrom(s *load.Session) string {
	return fmt.Sprintf("a heart rate for %.0f %% of the moving time", 100*s.HeartCoverage())
}

// shortPath leaves the folders out of where a file came from, but not those
// within an archive.
func shortPath(p string) string {
	file, member, archived := strings.Cut(p, "!")
	file = file[strings.LastIndexAny(file, `/\`)+1:]
	if archived {
		file += ", " + member
	}
	return file
}

// original sends the bytes that were handed in.
func (s *Server) original(w http.ResponseWriter, r *http.Request, v *visit) error {
	o, content, err := v.book.OriginalOf(r.Context(), r.PathValue("id"))
	if err != nil {
		return err
	}
	w.Header().Set("Content-Type", "application/octet-stream")
	w.Header().Set("Content-Disposition", `attachment; filename="`+plainName(o)+`"`)
	_, err = w.Write(content)
	return err
}

// plainName is a file name that is safe anywhere, and ends as the format does.
func plainName(o journal.Original) string {
	ending := o.Format
	if ending == "diary" {
		ending = "csv"
	}
	return fmt.Sprintf("%x.%s", o.Sum[:8], ending)
}
