package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strconv"
	"strings"

	"tidemark/load"
	"tidemark/load/rehab"
)

// runMorningColumns are those of the file of --mornings; the last may be left out.
var runMorningColumns = []string{"date", "during", "after", "next", "stiffness", "limp"}

// readRunMornings reads what mornings would say, one row a day with a run. What is empty
// was not recorded. An error names line and column.
func readRunMornings(path string) (out []rehab.Morning, err error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("mornings: %w", err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.TrimLeadingSpace = true
	header, err := r.Read()
	if err != nil {
		return nil, fmt.Errorf("mornings %s: %w", path, err)
	}
	header[0] = strings.TrimPrefix(header[0], "\ufeff")
	if !slices.Equal(header, runMorningColumns) && !slices.Equal(header, runMorningColumns[:5]) {
		return nil, fmt.Errorf("mornings %s: line 1: want the columns date,during,after,next,stiffness[,limp]", path)
	}
	seen := make(map[load.Day]bool)
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			return out, nil
		}
		if err != nil {
			return nil, fmt.Errorf("mornings %s: %w", path, err)
		}
		line, _ := r.FieldPos(0)
		m, err := runMorning(row)
		if err == nil && seen[m.Day] {
			err = fmt.Errorf("date: %v stands there twice", m.Day-1)
		}
		if err != nil {
			return nil, fmt.Errorf("mornings %s: line %d: %w", path, line, err)
		}
		seen[m.Day] = true
		out = append(out, m)
	}
}

func runMorning(row []string) (m rehab.Morning, err error) {
	run, err := load.ParseDay(strings.TrimSpace(row[0]))
	if err != nil {
		return m, fmt.Errorf("date %.20q: want YYYY-MM-DD", row[0])
	}
	m.Day = run + 1
	for i, to := range []**rehab.Score{&m.During, &m.After, &m.Next} {
		if text := strings.TrimSpace(row[i+1]); text != "" {
			n, err := strconv.ParseUint(text, 10, 8)
			if err != nil || n > rehab.MaxScore {
				return m, fmt.Errorf("%s %.20q: want a whole number from 0 to %d", runMorningColumns[i+1], text, rehab.MaxScore)
			}
			score := rehab.Score(n)
			*to = &score
		}
	}
	if text := strings.TrimSpace(row[4]); text != "" {
		n, err := strconv.Atoi(text)
		if err != nil || n < 0 || n > rehab.MaxStiffness {
			return m, fmt.Errorf("stiffness %.20q: want whole minutes from 0 to %d", text, rehab.MaxStiffness)
		}
		m.Stiffness = &n
	}
	if len(row) > 5 {
		switch text := strings.TrimSpace(row[5]); text {
		case "":
		case "yes", "no":
			limped := text == "yes"
			m.Limp = &limped
		default:
			return m, fmt.Errorf("limp %.20q: want yes or no", text)
		}
	}
	return m, nil
}
