package wire_test

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"

	"tidemark/load"
	"tidemark/load/journal"
	"tidemark/web/api/wire"
)

// small is a logbook with a row or two.
func small(t *testing.T) string {
	t.Helper()
	k := &journal.Kept{
		Name: "Ada", Home: "UTC", FirstUse: load.Date(2026, 3, 1),
		Settings: []journal.Setting{{Key: "heart-max", From: load.Date(2026, 3, 1), Value: "181", By: "Ida", At: 1_772_366_400_123}},
		Gaps:     []journal.Gap{{Gap: load.Gap{DaySpan: load.DaySpan{First: 20500, Last: 20501}, Answer: load.GapRested}, By: "Ida", At: 1_772_366_400_000}},
	}
	text, err := json.MarshalIndent(wire.FromKept(k, nil), "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestReadLogbook(t *testing.T) {
	text := small(t)
	b, err := wire.ReadLogbook([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	k, err := b.Kept()
	if err != nil || k.Settings[0].At != 1_772_366_400_123 || k.Settings[0].By != "Ida" || k.Gaps[0].First != 20500 || k.Name != "Ada" {
		t.Errorf("%+v, %v", k, err)
	}
	for name, tt := range map[string]struct{ old, now, want string }{
		"cut short":           {text[len(text)/2:], "", "unexpected end of JSON input (line "},
		"a comma too many":    {`"version": 1,`, `"version": 1,,`, "invalid character ',' looking for beginning of object key string (line 3, column 15, byte 47)"},
		"more after it":       {"\n}", "\n} {}", "after top-level value (line "},
		"a newer version":     {`"version": 1`, `"version": 7`, "it is of version 7, and this program reads up to 1: take a newer one"},
		"no version":          {`"version": 1`, `"version": 0`, "it is of version 0, which there never was"},
		"something else":      {`"tidemark-logbook"`, `"something"`, `no logbook: its format is "something"`},
		"a field that is not": {`"home"`, `"house"`, `runner.home: it is missing`},
		"one too many":        {`"home"`, `"more": 1, "home"`, `runner."more": there is no such field`},
		"a name without text": {`"home"`, `"": 1, "home"`, `runner."": there is no such field`},
		"null":                {`"heart-max"`, `null`, `settings[0].key: it is null`},
		"a number for a text": {`"heart-max"`, `7`, `settings[0].key: number: want a text`},
		"a text for a number": {`"runs": 0`, `"runs": "0"`, `gaps[0].runs: string: want a whole number, not too large`},
		"a fraction":          {`"runs": 0`, `"runs": 0.5`, `gaps[0].runs: number 0.5: want a whole number, not too large`},
		"a list for a row":    {`"settings": [`, `"settings": [[],`, `settings[0]: want an object`},
		"a row for a list":    {`"rests": []`, `"rests": {}`, `rests: want a list`},
		"a day that is none":  {`"2026-03-01"`, `"2026-02-30"`, `first_use: read day "2026-02-30": want YYYY-MM-DD`},
		"no instant":          {`"2026-03-01T12:00:00.123Z"`, `"noon"`, `settings[0].at: want an instant with its offset as 2026-03-02T07:10:00+01:00`},
		"no text":             {`"Ada"`, "\"A\xff\"", "not UTF-8 text (line 5, column 13, byte 73)"},
	} {
		spoilt := strings.Replace(text, tt.old, tt.now, 1)
		if spoilt == text {
			t.Fatalf("%s: nothing was spoilt in\n%s", name, text)
		}
		if _, err := wire.ReadLogbook([]byte(spoilt)); err == nil || !strings.Contains(err.Error(), tt.want) {
			t.Errorf("%s: %v\nwant %s", name, err, tt.want)
		}
	}
	if _, err := wire.ReadLogbook([]byte(`{"format": "x"}`)); !errors.Is(err, wire.ErrNoLogbook) {
		t.Errorf("another document: %v", err)
	}
}

func TestDigits(t *testing.T) {
	var d wire.Digits
	for _, text := range []string{"", "00", strings.Repeat("0", 63), strings.Repeat("0", 66), strings.Repeat("g", 64)} {
		if err := d.UnmarshalText([]byte(text)); err == nil {
			t.Errorf("%q was taken", text)
		}
	}
	if err := d.UnmarshalText([]byte(strings.Repeat("0a", 32))); err != nil || d[31] != 10 {
		t.Errorf("%v, %v", d, err)
	}
}
