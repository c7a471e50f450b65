package load_test

import (
	"slices"
	"strings"
	"testing"

	"tidemark/load"
)

// findingsOf returns the findings of a story as of its last day plus idle.
func findingsOf(t *testing.T, edit func(*load.Input), idle int, km ...float64) []load.Finding {
	t.Helper()
	in := &load.Input{Sessions: daily(monday, km...), Today: monday + load.Day(len(km)-1+idle)}
	if edit != nil {
		edit(in)
	}
	return load.Episodes(load.NewHistory(in, load.Distance).Triggers())
}

func TestSessionSpike(t *testing.T) {
	tests := []struct {
		name  string
		long  float64 // after twelve even weeks with a longest run of 14 km
		edit  func(*load.Input)
		level load.Level
		found bool
	}{
		{"within the limits", 15.4, nil, 0, false},
		{"over them", 15.5, nil, load.Remark, true},
		{"large", 28.5, nil, load.Caution, true},
		{"with a complaint open", 16, func(in *load.Input) {
			in.Complaints = []load.DaySpan{{First: monday + 80, Last: monday + 90}}
		}, load.Caution, true},
		{"a race is accepted", 21, func(in *load.Input) { in.Sessions[len(in.Sessions)-1].Race = true }, 0, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			found := findingsOf(t, tt.edit, 0, append(slices.Clone(evenWeeks), 0, tt.long)...)
			i := slices.IndexFunc(found, func(f load.Finding) bool { return f.Rule == load.RuleSessionSpike })
			if (i >= 0) != tt.found {
				t.Fatalf("found %v, want %v: %+v", i >= 0, tt.found, found)
			}
			if i < 0 {
				return
			}
			f := found[i]
			if f.Level != tt.level || f.Value != tt.long || !near(f.Limit, 15.4, 1e-9) || f.Unit != "km" {
				t.Errorf("%s: %v over %v %s, want %s: %v over 15.4 km", f.Level, f.Value, f.Limit, f.Unit, tt.level, tt.long)
			}
			if f.Advice == "" || f.Evidence[0].Source == "" || f.Evidence[0].Strength == "" {
				t.Errorf("no advice or no source: %+v", f)
			}
			if want := run(f.Day, tt.long).ID; f.ID != "session-spike:"+want || f.Subject != want {
				t.Errorf("id %s, subject %s", f.ID, f.Subject)
			}
		})
	}
}

// A run of 3 km after runs of 2.6 is 15 % over, but within the limits, which
// always allow half a kilometre.
func TestSmallStepsAreNoSpike(t *testing.T) {
	if found := findingsOf(t, nil, 0, append(repeat(6, 2.6, 0, 2.6, 0, 2.6, 0, 0), 3)...); len(found) > 0 {
		t.Errorf("found %+v, want nothing", found)
	}
}

func TestWeekJump(t *testing.T) {
	// Best week 38 km; 1.3 times that are 49.4, and 5 km over it 43.
	jump := append(slices.Clone(evenWeeks), 14, 0, 14, 0, 14, 8, 0)
	found := findingsOf(t, nil, 0, jump...)
	if len(found) != 1 || found[0].Rule != load.RuleWeekJump || found[0].Level != load.Remark {
		t.Fatalf("found %+v, want one week-jump", found)
	}
	// The seven days to Friday hold 14+14+14+14 = 56 km.
	f := found[0]
	if day := monday + 84 + 4; f.Day != day || f.Subject != day.String() || f.Value < 49.4 || !near(f.Limit, 49.4, 1e-9) {
		t.Errorf("%v: %v over %v (%s), want 2026-05-29 over 49.4", f.Day, f.Value, f.Limit, f.Subject)
	}
	novice := func(in *load.Input) {
		in.Settings, _ = load.NewSchedule([]load.Change{{Key: "novice", From: monday, Value: 1}})
	}
	if got := findingsOf(t, novice, 0, jump...)[0].Level; got != load.Caution {
		t.Errorf("level %s for a novice, want caution", got)
	}
	// From 4 km a week to 8 is double, but not 5 km more.
	if found := findingsOf(t, nil, 0, append(repeat(8, 2, 0, 0, 2, 0, 0, 0), 2, 0, 2, 0, 2, 0, 2)...); len(found) > 0 {
		t.Errorf("found %+v for 4 km more", found)
	}
}

func TestAfterBreak(t *testing.T) {
	tests := []struct {
		name  string
		off   int // days between the last run and the first
		first float64
		found bool
		level load.Level
	}{
		{"seven days", 7, 8, false, 0},
		{"eight days, within the limit", 8, 8, true, load.Remark},
		{"eight days, over it", 8, 8.1, true, load.Caution},
		{"twenty days, over half", 20, 5, true, load.Caution},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			found := findingsOf(t, nil, 0, append(append(slices.Clone(evenWeeks), repeat(tt.off-1, 0)...), tt.first)...)
			found = slices.DeleteFunc(found, func(f load.Finding) bool { return f.Rule == load.RuleData })
			if (len(found) == 1) != tt.found {
				t.Fatalf("found %+v, want one: %v", found, tt.found)
			}
			if !tt.found {
				return
			}
			if f := found[0]; f.Rule != load.RuleAfterBreak || f.Level != tt.level || f.Value != float64(tt.off) || f.Unit != "days" {
				t.Errorf("%+v, want after-break %s of %d days", f, tt.level, tt.off)
			}
		})
	}
}

// One finding an episode: the jump of the week joins the spike that made it; a
// cause that was quiet for more than 14 days begins anew.
func TestEpisodes(t *testing.T) {
	km := append(slices.Clone(evenWeeks), 25, 0, 8, 0, 8, 0, 14) // spike and week-jump
	found := findingsOf(t, nil, 0, km...)
	if len(found) != 1 || len(found[0].Evidence) != 2 || found[0].Evidence[1].Rule != load.RuleWeekJump {
		t.Fatalf("found %+v, want one finding with the week as evidence", found)
	}
	if found[0].LastDay <= found[0].Day {
		t.Errorf("last day %v, first %v: the week's last day must count", found[0].LastDay, found[0].Day)
	}
	quiet := append(slices.Clone(km), repeat(6, 8, 0, 8, 0, 8, 0, 14)...)
	again := findingsOf(t, nil, 0, append(quiet, 0, 40)...)
	if len(again) != 2 || again[0].ID == again[1].ID {
		t.Fatalf("found %+v, want two episodes", again)
	}
}

func TestDataFindings(t *testing.T) {
	edit := func(in *load.Input) {
		in.Sessions[0].Notes.Add(load.NoteDistance, "device 8.00 km, track 7.10 km")
		in.Sessions[0].DeviceDistance, in.Sessions[0].TrackDistance = 8000, 7100
		in.Sessions[1].Surface = load.Treadmill
		typed := run(in.Sessions[2].Day, 8.2)
		typed.NoStart, typed.Typed = true, true
		in.Sessions = append(in.Sessions, typed)
	}
	found := findingsOf(t, edit, 0, 8, 0, 8, 0, 8)
	if len(found) != 3 {
		t.Fatalf("%d findings, want 3: %+v", len(found), found)
	}
	for i, words := range []string{"8.00 km, its track 7.10", "treadmill", "kept, not counted"} {
		if f := found[i]; f.Rule != load.RuleData || !strings.Contains(f.Evidence[0].Text, words) {
			t.Errorf("finding %d: %+v, want %q", i, f, words)
		}
	}
}

func TestRulesTable(t *testing.T) {
	seen := make(map[string]bool)
	for _, r := range load.Rules {
		if seen[r.ID] || r.Title == "" || r.When == "" || strings.Join(r.Advice[:], "") == "" || len(r.Rests) == 0 {
			t.Errorf("rule %+v is doubled or lacks a text", r)
		}
		seen[r.ID] = true
		for _, word := range []string{"safe", "cleared", "healed"} {
			if strings.Contains(strings.Join(r.Advice[:], " ")+r.Title+r.When, word) {
				t.Errorf("rule %s says %q", r.ID, word)
			}
		}
	}
}

// While a break still limits, every run over its limit is told, and the week is
// held against what the break leaves of it.
func TestBreakIsWatchedAfterTheReturn(t *testing.T) {
	tests := []struct {
		name  string
		km    []float64
		rules []string // of the evidence, in order of day
	}{
		{
			"the second run is too long",
			append(append(slices.Clone(evenWeeks), repeat(9, 0)...), 8, 14),
			[]string{load.RuleAfterBreak, load.RuleAfterBreak},
		},
		{
			// 8 + 4 x 8 km are 40, over 28.5 x 1.3 and over it by 5.
			"the week is too large",
			append(append(slices.Clone(evenWeeks), repeat(9, 0)...), 8, 8, 8, 8, 8),
			[]string{load.RuleAfterBreak, load.RuleAfterBreak, load.RuleAfterBreak, load.RuleWeekJump},
		},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			found := findingsOf(t, nil, 0, tt.km...)
			if len(found) != 1 || found[0].Level != load.Caution {
				t.Fatalf("found %+v, want one caution", found)
			}
			var rules []string
			for _, e := range found[0].Evidence {
				rules = append(rules, e.Rule)
			}
			slices.Sort(rules)
			if !slices.Equal(rules, tt.rules) {
				t.Errorf("rules %v, want %v", rules, tt.rules)
			}
		})
	}
}
