package wire

import (
	"strconv"
	"strings"

	"tidemark/load"
)

// ReportColumns are those of an import's report as a table: one row for each
// session of a file, and one for a file without.
var ReportColumns = []string{"path", "outcome", "day", "start", "kind", "distance_km", "reason", "notes"}

// ReportRows writes what became of a file as rows of the report.
func ReportRows(file *Imported, sessions []load.Session) (rows [][]string) {
	reason := ""
	if file.Reason != nil {
		reason = *file.Reason
	}
	if len(file.Activities) == 0 {
		return [][]string{plainCells(file.Path, file.Outcome, "", "", "", "", reason, "")}
	}
	for i := range file.Activities {
		a, s := &file.Activities[i], &sessions[i]
		km := ""
		if a.Distance != nil {
			km = strconv.FormatFloat(*a.Distance/1000, 'f', 3, 64)
		}
		var notes []string
		for _, n := range s.Notes {
			notes = append(notes, n.Text)
		}
		rows = append(rows, plainCells(file.Path, file.Outcome, a.Day.String(), a.Start, s.Sport.String(), km, reason, strings.Join(notes, "; ")))
	}
	return rows
}

// plainCells keeps a spreadsheet from taking the name of a file for a formula.
func plainCells(cells ...string) []string {
	for i, c := range cells {
		if c != "" && strings.ContainsRune("=+-@\t\r", rune(c[0])) {
			cells[i] = "'" + c
		}
	}
	return cells
}
