package web

import (
	"fmt"
	"net/http"

	"tidemark/load"
	"tidemark/web/words"
)

// restsOnPage is what the warnings rest on: the table of rules and the numbers
// that the limits are made of.
type restsOnPage struct {
	page
	Rules    []ruleLine
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
	say := func(v float64) string { return exact(v) + " " + def.Unit }
	switch def.Unit {
	case "switch":
		return settingLine{def.What, map[bool]string{false: "no", true: "yes"}[def.Default != 0], "yes or no", def.Source}
	case "share":
		say = func(v float64) string { return fmt.Sprintf("%.0f %%", 100*v) }
	}
	return settingLine{def.What, say(def.Default), say(def.Min) + " to " + say(def.Max), def.Source}
}

func (s *Server) restsOn(w http.ResponseWriter, r *http.Request) error {
	out := restsOnPage{page: page{Title: "What the warnings rest on", Nonce: nonceOf(r)}}
	for _, def := range load.SettingTable {
		out.Settings = append(out.Settings, settingLineOf(def))
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
