package ramp

import (
	"fmt"
	"strconv"
	"strings"
)

// ParseLadder reads stages, one a line or parted by commas, as the trade writes them: 10x1:1
// is ten times one minute of running and one of walking, 30 half an hour of running. It
// fails on the first that it cannot read, and does not look whether they make a ladder.
func ParseLadder(text string) (stages []Stage, err error) {
	fields := strings.FieldsFunc(text, func(r rune) bool { return r == '\n' || r == '\r' || r == ',' || r == ';' })
	for _, field := range fields {
		field = strings.ToLower(strings.TrimSpace(field))
		if field == "" {
			continue
		}
		s, err := parseStage(field)
		if err != nil {
			return nil, fmt.Errorf("stage %d, %.40q: want 10x1:1 (times, min of running, min of walking) or 30", len(stages)+1, field)
		}
		s.Stage = len(stages) + 1
		stages = append(stages, s)
	}
	return stages, nil
}

func parseStage(field string) (s Stage, err error) {
	s.Reps = 1
	if reps, rest, ok := strings.Cut(strings.ReplaceAll(field, "×", "x"), "x"); ok {
		if s.Reps, err = strconv.Atoi(strings.TrimSpace(reps)); err != nil {
			return s, err
		}
		field = rest
	}
	run, walk, ok := strings.Cut(field, ":")
	if ok {
		if s.Walk, err = parseMinutes(walk); err != nil {
			return s, err
		}
	}
	s.Run, err = parseMinutes(run)
	return s, err
}

func parseMinutes(text string) (Minutes, error) {
	m, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	return Minutes(m), err
}

// Notation writes a stage as ParseLadder reads it.
func (s Stage) Notation() string {
	run := strconv.FormatFloat(float64(s.Run), 'g', -1, 64)
	if s.Reps == 1 && s.Walk == 0 {
		return run
	}
	return fmt.Sprintf("%dx%s:%s", s.Reps, run, strconv.FormatFloat(float64(s.Walk), 'g', -1, 64))
}

// Notation writes stages as ParseLadder reads them.
func Notation(stages []Stage) string {
	var out []string
	for _, s := range stages {
		out = append(out, s.Notation())
	}
	return strings.Join(out, ", ")
}
