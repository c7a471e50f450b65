package web

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/words"
)

// settingsPage shows every setting of a runner, by group, and who changed what.
type settingsPage struct {
	page
	Saved  bool
	Groups []settingGroup
	Said   []settingChange
}

// settingGroup is the form of one group.
type settingGroup struct {
	ID, Title, Text string
	Action          string
	From            string // the day from which a change holds, as typed
	Fault           string
	Open            bool
	Fields          []settingField
}

// settingField is one setting: as typed where a form was refused.
type settingField struct {
	Key, Label, Unit, Hint string
	Value, Was             string
	Options                []option
	Wrong                  bool
}

// settingChange is one step in the history of the settings.
type settingChange struct{ When, Who, What string }

func (s *Server) settings(w http.ResponseWriter, r *http.Request, v *visit) error {
	out, err := v.settingsPage(r.Context())
	if err != nil {
		return err
	}
	out.Saved = r.URL.Query().Has("saved")
	return s.render(w, http.StatusOK, "settings", out)
}

func (v *visit) settingsPage(ctx context.Context) (out settingsPage, err error) {
	in, err := v.book.Input(ctx, v.today)
	if err != nil {
		return out, err
	}
	kept, err := v.book.Settings(ctx)
	if err != nil {
		return out, err
	}
	now := in.Settings.On(v.today)
	out.page = v.page("Settings", "settings")
	for _, id := range load.Groups {
		out.Groups = append(out.Groups, v.settingGroup(id, now, in, kept))
	}
	for _, s := range slices.Backward(kept) {
		if def, err := load.FindSetting(s.Key); err == nil {
			out.Said = append(out.Said, settingChangeOf(def, s))
		}
	}
	return out, nil
}

func (v *visit) settingGroup(id load.Group, now load.Settings, in *load.Input, kept []journal.Setting) settingGroup {
	title, text := words.Group(id)
	g := settingGroup{ID: string(id), Title: title, Text: text, Action: v.link.Base() + "/settings", From: v.firstFrom(id, in, kept).String()}
	g.Open = id == load.GroupRunner || id == load.GroupHeart || id == load.GroupTendon
	for _, def := range load.SettingTable {
		if def.Group != id {
			continue
		}
		value := fieldText(def.Key, now)
		g.Fields = append(g.Fields, settingFieldOf(def, value, value))
	}
	return g
}

// firstFrom is the day from which a first answer holds: what nobody said before is
// as true of the runs that are there already, but for a newcomer's answers.
func (v *visit) firstFrom(id load.Group, in *load.Input, kept []journal.Setting) load.Day {
	ofGroup := func(s journal.Setting) bool {
		def, err := load.FindSetting(s.Key)
		return err == nil && def.Group == id
	}
	about := id == load.GroupHeart || id == load.GroupTendon
	if !about || len(in.Sessions) == 0 || slices.ContainsFunc(kept, ofGroup) {
		return v.today
	}
	return min(v.today, in.Sessions[0].Day)
}

func settingFieldOf(def load.Setting, value, was string) settingField {
	f := settingField{Key: def.Key, Label: title(def.What), Unit: words.SettingUnit(def), Value: value, Was: was}
	hint := []string{}
	if text := words.SettingRange(def); def.Unit != "choice" && def.Unit != "switch" {
		hint = append(hint, text)
	}
	if !def.Optional && def.Unit != "choice" {
		hint = append(hint, "usually "+words.SettingValue(def, def.Default))
	}
	f.Hint = strings.Join(append(hint, def.Source), "; ")
	switch def.Unit {
	case "switch":
		f.Options = []option{{"0", "no", value == "0"}, {"1", "yes", value == "1"}}
	case "choice":
		for i, text := range def.Options {
			f.Options = append(f.Options, option{strconv.Itoa(i), text, value == strconv.Itoa(i)})
		}
	}
	return f
}

func settingChangeOf(def load.Setting, s journal.Setting) settingChange {
	value := s.Value
	if v, err := strconv.ParseFloat(s.Value, 64); err == nil {
		value = words.SettingValue(def, v)
	}
	return settingChange{words.Day(load.DayOf(s.At.Time())), whoWords(s.By), fmt.Sprintf("%s: %s, from %s on", def.What, value, words.Day(s.From))}
}

// whoWords names who did something. On one's own machine that is whoever sits at it.
func whoWords(by journal.Person) string {
	if by == journal.Local {
		return "on this machine"
	}
	if name, ok := by.Elsewhere(); ok && journal.Person(name) == journal.Local {
		return "on another machine"
	} else if ok {
		return "by " + name + ", elsewhere"
	}
	return "by " + string(by)
}

// set keeps the changed fields of one group.
func (s *Server) set(w http.ResponseWriter, r *http.Request, v *visit) error {
	if err := parseForm(r); err != nil {
		return err
	}
	out, err := v.settingsPage(r.Context())
	if err != nil {
		return err
	}
	at := slices.IndexFunc(out.Groups, func(g settingGroup) bool { return g.ID == r.PostForm.Get("group") })
	if at < 0 {
		return &problem{http.StatusUnprocessableEntity, "There is no such group of settings.", nil}
	}
	g := &out.Groups[at]
	if ok, err := v.keepGroup(r, g); err != nil {
		return err
	} else if !ok {
		g.Open = true
		return s.render(w, http.StatusUnprocessableEntity, "settings", out)
	}
	http.Redirect(w, r, v.link.Base()+"/settings?saved#"+g.ID, http.StatusSeeOther)
	return nil
}

// keepGroup takes what was typed into the group's form, and reports false with the
// fault in it if something cannot be.
func (v *visit) keepGroup(r *http.Request, g *settingGroup) (ok bool, err error) {
	g.From = r.PostForm.Get("from")
	from, err := load.ParseDay(g.From)
	if err != nil || from > v.today {
		g.Fault = "Say from which day on it holds: today or a day before."
	}
	in, err := v.book.Input(r.Context(), v.today)
	if err != nil {
		return false, err
	}
	then, onlyTheDay := in.Settings.On(from), !anyChanged(r, g)
	var choices []journal.Choice
	for i := range g.Fields {
		f := &g.Fields[i]
		typed := strings.TrimSpace(r.PostForm.Get(f.Key))
		if !r.PostForm.Has(f.Key) || typed == f.Was && !(onlyTheDay && typed != fieldText(f.Key, then)) {
			continue
		}
		def, _ := load.FindSetting(f.Key) // it is of the table
		*f = settingFieldOf(def, typed, f.Was)
		value, err := readSetting(def, typed)
		if err != nil {
			f.Wrong = true
			g.Fault = fmt.Sprintf("%s takes %s.", f.Label, words.SettingRange(def))
			continue
		}
		choices = append(choices, journal.Choice{Key: f.Key, Value: exact(value)})
	}
	if g.Fault != "" {
		return false, nil
	}
	if len(choices) == 0 {
		g.Fault = "Nothing was changed: from that day on these values hold already."
		return false, nil
	}
	err = v.book.SetAll(r.Context(), from, choices)
	if together, ok := errors.AsType[*load.SettingsError](err); ok {
		g.Fault = title(together.Text) + "."
		return false, nil
	}
	return err == nil, err
}

// anyChanged reports whether a field of the form differs from what the page showed. If
// none does, the form moves the day from which all of it holds.
func anyChanged(r *http.Request, g *settingGroup) bool {
	return slices.ContainsFunc(g.Fields, func(f settingField) bool {
		return r.PostForm.Has(f.Key) && strings.TrimSpace(r.PostForm.Get(f.Key)) != f.Was
	})
}

// fieldText is a setting as a form shows it.
func fieldText(key string, set load.Settings) string {
	def, _ := load.FindSetting(key) // it is of the table
	if def.Optional && def.Of(set) == 0 {
		return ""
	}
	return words.SettingNumber(def, def.Of(set))
}

// readSetting reads a setting as people type it; empty takes back what was said.
func readSetting(def load.Setting, typed string) (float64, error) {
	if typed == "" && def.Optional {
		return 0, nil
	}
	v, err := parseNumber(typed)
	if err != nil {
		return 0, err
	}
	if def.Unit == "share" {
		v /= 100
	}
	return v, def.Check(v)
}
