package web

import (
	"context"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"tidemark/load"
)

// editForm is what can be corrected of a recording, as it holds or as it was
// typed.
type editForm struct {
	Seen  int // edits that there were when the form was made
	Main  []editField
	More  []editField // for what was measured wrong
	Open  bool        // one of More is wrong
	Fault string      // what is wrong with the whole
}

// editField is one input of the form. Key is that of load.EditTable.
type editField struct {
	Key, Label, Hint string
	Input            string // kind of input: number, text, area, date, choice, check
	Value            string // as it holds or was typed
	Was              string // what the form was made with, as it comes back with it
	Measured         string // what stands where nothing is typed
	Options          []option
	Wrong            bool
}

// option is one choice of a list.
type option struct {
	Value, Text string
	Chosen      bool
}

// asFile is the choice that takes a field back.
var asFile = option{Value: "", Text: "as the file says"}

// surfaces are what can be run on, as the form says it.
var surfaces = []option{
	{string(load.Road), "road", false},
	{string(load.Trail), "trail", false},
	{string(load.Oval), "track", false},
	{string(load.Treadmill), "treadmill", false},
}

// formOf is the form with what holds now. shoes are those that were named before.
func formOf(rec *recording, shoes []string) editForm {
	s, edit := &rec.session, rec.original.Edits[rec.session.ID]
	f := editForm{Seen: len(rec.edits)}
	exertion := ""
	if rec.activity.HasExertion {
		exertion = exact(rec.activity.Exertion)
	}
	f.main("exertion", "How hard was all of it, 0 to 10?", "0 rest, 10 the hardest there is; in parts as 3x40 7x20: how hard x minutes", "number", said("exertion", edit, exertion))
	if s.Surface == load.Treadmill {
		f.main(beltField(s, edit))
	}
	f.main("kind", "What was it?", "", "choice", s.Sport.String())
	f.last().Options = kindOptions(s.Sport, edit.Kind != nil)
	f.main("race", "It was a race", "", "check", yesNo(s.Race))
	f.main("surface", "On what?", "", "choice", string(s.Surface))
	f.last().Options = surfaceOptions(s.Surface, edit.Surface != nil)
	f.main("shoe", "In which shoes?", "", "text", s.Shoe)
	for _, shoe := range shoes {
		f.last().Options = append(f.last().Options, option{Value: shoe})
	}
	f.main("note", "Anything to say about it?", "", "area", s.Note)
	f.main("excluded", "Leave it out of the load", "", "check", yesNo(s.Excluded))
	f.wrongly(s, edit)
	return f
}

// wrongly adds the fields for what was measured wrong.
func (f *editForm) wrongly(s *load.Session, edit load.Edit) {
	if s.Surface != load.Treadmill {
		f.more("distance", "Distance in km, if you know better", "", "number", said("distance", edit, ""))
		f.lastMore().Measured = kilometres(s)
	} else {
		f.more("incline", "How steep was the belt, in percent?", "", "number", said("incline", edit, ""))
	}
	if s.Moving > 0 && (s.Sport == load.Running || s.Sport == load.Walking) {
		f.more("run", "How many minutes of it were run, not walked?", "", "number", said("run", edit, ""))
		f.lastMore().Measured = fmt.Sprintf("%.0f", s.RunTime.Minutes())
	}
	f.more("day", "Its date, if the watch's clock was wrong", "", "date", s.Day.String())
}

func beltField(s *load.Session, edit load.Edit) (key, label, hint, input, value string) {
	hint = "the watch only estimates it"
	if s.DeviceDistance > 0 {
		hint = fmt.Sprintf("the watch guessed %.2f", float64(s.DeviceDistance)/1000)
	}
	return "distance", "What did the belt say, in km?", hint, "number", said("distance", edit, "")
}

// said is what an edit says in a field, else what stands without one.
func said(key string, edit load.Edit, otherwise string) string {
	field, err := load.FindEditField(key)
	if err != nil {
		panic(err) // keys are written in code only
	}
	if text := field.Of(edit); text != "" {
		return text
	}
	return otherwise
}

func kilometres(s *load.Session) string {
	if s.DistanceSource == "" {
		return ""
	}
	return fmt.Sprintf("%.2f", float64(s.Distance)/1000)
}

func (f *editForm) main(key, label, hint, input, value string) {
	f.Main = append(f.Main, editField{Key: key, Label: label, Hint: hint, Input: input, Value: value, Was: value})
}

func (f *editForm) more(key, label, hint, input, value string) {
	f.More = append(f.More, editField{Key: key, Label: label, Hint: hint, Input: input, Value: value, Was: value})
}

func (f *editForm) last() *editField     { return &f.Main[len(f.Main)-1] }
func (f *editForm) lastMore() *editField { return &f.More[len(f.More)-1] }

func kindOptions(sport load.Sport, edited bool) (out []option) {
	if edited {
		out = append(out, asFile)
	}
	for kind := load.UnknownSport; kind <= load.OtherSport; kind++ {
		if kind == load.UnknownSport && sport != kind {
			continue // nobody says that it is not known
		}
		out = append(out, option{kind.String(), kinds[kind], false})
	}
	return out
}

func surfaceOptions(surface load.Surface, edited bool) (out []option) {
	switch {
	case edited:
		out = append(out, asFile)
	case surface == "":
		out = append(out, option{Value: "", Text: "not said"})
	}
	return append(out, surfaces...)
}

// fields are all inputs of the form.
func (f *editForm) fields() (out []*editField) {
	for i := range f.Main {
		out = append(out, &f.Main[i])
	}
	for i := range f.More {
		out = append(out, &f.More[i])
	}
	return out
}

// typedOver returns the form with what came back from it: the values that were
// typed, and those that it was made with.
func (f editForm) typedOver(r *http.Request) editForm {
	f.Seen, _ = strconv.Atoi(r.PostForm.Get("seen"))
	for _, field := range f.fields() {
		if !r.PostForm.Has("was-" + field.Key) {
			continue // a form of fewer fields
		}
		field.Was = unixLines(r.PostForm.Get("was-" + field.Key))
		field.Value = field.read(r.PostForm.Get(field.Key))
	}
	return f.chosen()
}

// read brings a text of the form to the words of load.EditTable.
func (f *editField) read(text string) string {
	switch f.Input {
	case "check":
		return yesNo(text == "yes")
	case "number":
		return strings.ReplaceAll(strings.TrimSpace(text), ",", ".")
	}
	return strings.TrimSpace(unixLines(text))
}

func unixLines(text string) string { return strings.ReplaceAll(text, "\r\n", "\n") }

// chosen marks in each list what is chosen.
func (f editForm) chosen() editForm {
	for _, field := range f.fields() {
		if field.Input != "choice" {
			continue
		}
		for i := range field.Options {
			field.Options[i].Chosen = field.Options[i].Value == field.Value
		}
	}
	return f
}

// changes is what was changed in the form, by key.
func (f *editForm) changes() map[string]string {
	out := make(map[string]string)
	for _, field := range f.fields() {
		if field.Value != field.Was {
			out[field.Key] = field.Value
		}
	}
	return out
}

// over lays what was typed over what holds now: a field that was left alone has
// its newer value.
func (f editForm) over(now editForm) editForm {
	changes := f.changes()
	for _, field := range now.fields() {
		if value, ok := changes[field.Key]; ok {
			field.Value = value
		}
	}
	return now.chosen()
}

// check says in words what is wrong with what was typed, and marks where.
func (f *editForm) check(s *load.Session, today load.Day) {
	for key, value := range f.changes() {
		var e load.Edit
		fault := ""
		switch err := e.Set(key, value); {
		case err != nil:
			fault = wrongValue(key, value)
		case e.RunTime != nil && *e.RunTime > s.Moving+time.Minute:
			fault = fmt.Sprintf("Of %s of movement, no more can have been run.", load.Lasting(s.Moving))
		case e.Day != nil && *e.Day > today:
			fault = "That date has not come yet."
		}
		if fault != "" {
			f.fault(key, fault)
		}
	}
}

func (f *editForm) fault(key, text string) {
	f.Fault = text
	for _, field := range f.fields() {
		field.Wrong = field.Key == key
	}
	for i := range f.More {
		f.Open = f.Open || f.More[i].Wrong
	}
}

// clone returns a form that can be typed into.
func (f editForm) clone() editForm {
	f.Main, f.More = append([]editField(nil), f.Main...), append([]editField(nil), f.More...)
	for _, field := range f.fields() {
		field.Options = append([]option(nil), field.Options...)
	}
	return f
}

// form is the form of a recording with what holds now.
func (v *visit) form(ctx context.Context, rec *recording) (editForm, error) {
	in, err := v.book.Input(ctx, v.today)
	if err != nil {
		return editForm{}, err
	}
	return formOf(rec, shoesOf(in.Sessions)).chosen(), nil
}

// mostShoes is how many shoes are offered.
const mostShoes = 8

// shoesOf lists the shoes that were named, the last first.
func shoesOf(sessions []load.Session) (out []string) {
	for i := len(sessions) - 1; i >= 0 && len(out) < mostShoes; i-- {
		if shoe := sessions[i].Shoe; shoe != "" && !slices.Contains(out, shoe) {
			out = append(out, shoe)
		}
	}
	return out
}
