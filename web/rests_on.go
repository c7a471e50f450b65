package web

import (
	"net/http"

	"tidemark/load"
	"tidemark/web/words"
)

// restsOnPage is what the warnings rest on: the table of rules and the numbers
// that the limits are made of.
type restsOnPage struct {
	page
	Rules    []ruleLine
	Measures []measureLine
	Groups   []settingLines
}

// measureLine is a measure with what it is and rests on.
type measureLine struct{ Name, Unit, Text string }

// settingLines are the settings of one group.
type settingLines struct {
	Title    string
	Settings []settingLine
}

// ruleLine is a rule with its levels in words.
type ruleLine struct {
	load.Rule
	Advices []advice
}

type advice struct{ Level, Text string }

// settingLine is one number that the limits are made of.
type settingLine struct{ What, Value, Range, Source string }

func settingLineOf(def load.Setting) settingLine {
	return settingLine{def.What, words.SettingValue(def, def.Default), words.SettingRange(def), def.Source}
}

func (s *Server) restsOn(w http.ResponseWriter, r *http.Request) error {
	out := restsOnPage{page: s.page(r, "What the warnings rest on")}
	for _, m := range load.Measures {
		out.Measures = append(out.Measures, measureLine{words.Measure(m), words.Unit(m), words.Method(m)})
	}
	for _, group := range load.Groups {
		lines := settingLines{}
		lines.Title, _ = words.Group(group)
		for _, def := range load.SettingTable {
			if def.Group == group {
				lines.Settings = append(lines.Settings, settingLineOf(def))
			}
		}
		out.Groups = append(out.Groups, lines)
	}
	for _, rule := range load.Rules {
		line := ruleLine{Rule: rule}
		for level, text := range rule.Advice {
			if text != "" {
				line.Advices = append(line.Advices, advice{words.Level(load.Level(level)), text})
			}
		}
		out.Rules = append(out.Rules, line)
	}
	return s.render(w, http.StatusOK, "rests_on", out)
}
