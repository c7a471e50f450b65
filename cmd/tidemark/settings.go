package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"text/tabwriter"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/words"
)

type settingsCommand struct {
	Changes []string `arg:"" optional:"" name:"key=value" help:"Settings to change; without any, all are listed. Shares are fractions, choices the number of the option."`
	From    load.Day `placeholder:"YYYY-MM-DD" help:"The day from which the change holds; by default today."`
}

func (*settingsCommand) examples() string {
	return `  tidemark settings
  tidemark settings heart-rest=52 heart-max=186 --from 2025-01-01
  tidemark settings ratio-rule=1`
}

// settingLine is a setting as it is listed.
type settingLine struct {
	Key     string   `json:"key"`
	Group   string   `json:"group"`
	Value   float64  `json:"value"`
	Default float64  `json:"default"`
	Min     float64  `json:"min"`
	Max     float64  `json:"max"`
	Unit    string   `json:"unit"`
	Options []string `json:"options,omitempty"`
	What    string   `json:"what"`
	Source  string   `json:"source"`
	From    *string  `json:"from"` // null: as usual
	By      *string  `json:"by"`
}

// Run lists the settings, or changes some.
func (c *settingsCommand) Run(a *app) error {
	choices, err := c.choices()
	if err != nil {
		return err
	}
	book, today, done, err := a.reading(len(choices) > 0)
	if err != nil {
		return err
	}
	defer done()
	if len(choices) > 0 {
		return c.change(a, book, today, choices)
	}
	in, err := book.Input(a.ctx, today)
	if err != nil {
		return a.journalFailure(err)
	}
	kept, err := book.Settings(a.ctx)
	if err != nil {
		return a.journalFailure(err)
	}
	return listSettings(a, in.Settings.On(today), kept, today)
}

// choices reads what is to be changed.
func (c *settingsCommand) choices() (choices []journal.Choice, err error) {
	for _, text := range c.Changes {
		key, value, ok := strings.Cut(text, "=")
		if !ok {
			return nil, &failure{exitUse, fmt.Errorf("read setting %q: want KEY=VALUE", text), "tidemark settings lists the keys"}
		}
		def, err := load.FindSetting(key)
		if err != nil {
			return nil, &failure{exitUse, err, "tidemark settings lists the keys"}
		}
		v, err := strconv.ParseFloat(value, 64)
		if err != nil || strings.ContainsAny(value, "xXpP_") {
			return nil, &failure{exitUse, fmt.Errorf("set %s: %q is no number", key, value), ""}
		}
		if err := def.Check(v); err != nil {
			return nil, &failure{exitUse, err, ""}
		}
		choices = append(choices, journal.Choice{Key: key, Value: value})
	}
	return choices, nil
}

func (c *settingsCommand) change(a *app, book *journal.Book, today load.Day, choices []journal.Choice) error {
	from := c.From
	if from == 0 {
		from = today
	}
	if from > today {
		return &failure{exitUse, fmt.Errorf("settings: --from %v has not come yet", from), ""}
	}
	err := book.SetAll(a.ctx, from, choices)
	if _, together := errors.AsType[*load.SettingsError](err); together {
		return &failure{exitUse, err, ""}
	}
	if err != nil {
		return a.journalFailure(err)
	}
	if err := book.Refresh(a.ctx, today); err != nil {
		return a.journalFailure(err)
	}
	a.say("kept; it holds from %v on\n", from)
	return nil
}

func listSettings(a *app, now load.Settings, kept []journal.Setting, today load.Day) error {
	var lines []settingLine
	for _, def := range load.SettingTable {
		line := settingLine{
			Key: def.Key, Group: string(def.Group), Value: def.Of(now), Default: def.Default, Min: def.Min, Max: def.Max,
			Unit: def.Unit, Options: def.Options, What: def.What, Source: def.Source,
		}
		if s, ok := journal.On(kept, def.Key, today); ok {
			from, by := s.From.String(), string(s.By)
			line.From, line.By = &from, &by
		}
		lines = append(lines, line)
	}
	if a.JSON {
		return a.writeJSON(lines)
	}
	for _, group := range load.Groups {
		title, _ := words.Group(group)
		fmt.Fprintf(a.out, "%s\n", title)
		t := tabwriter.NewWriter(a.out, 0, 0, 2, ' ', 0)
		for _, line := range lines {
			if line.Group != string(group) {
				continue
			}
			since := "as usual"
			if line.From != nil {
				since = "from " + *line.From + ", " + *line.By
			}
			fmt.Fprintf(t, "  %s\t%s\t%s\t%s\n", line.Key, words.SettingValue(settingOf(line.Key), line.Value), since, line.What)
		}
		_ = t.Flush()
		fmt.Fprintln(a.out)
	}
	return nil
}

// settingOf is the setting of a key of the table.
func settingOf(key string) load.Setting {
	i := slices.IndexFunc(load.SettingTable, func(def load.Setting) bool { return def.Key == key })
	return load.SettingTable[i]
}
