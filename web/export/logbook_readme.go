package export

import (
	"io"
	"text/template"

	"tidemark/load"
	"tidemark/load/journal"
)

func writeReadme(w io.Writer, whole *journal.Whole, on load.Day) error {
	return readme.Execute(w, struct {
		Name      string
		On        string
		Originals int
	}{whole.Name, on.Spoken(), len(whole.Originals)})
}

var readme = template.Must(template.New("readme").Parse(`The logbook of {{.Name}}, as of {{.On}}.

This is everything that tidemark keeps about one runner, in formats that other programs
read. These are health data: whoever has this file can read all of it.

originals/     The files as they were added ({{.Originals}}), unpacked and otherwise unchanged:
               FIT, GPX and TCX from watches, CSV for diaries.
runs.csv       One line for each recording, with what was measured of it.
days.csv       One line for each day and measure: load, sums over 7 and 28 days, ratios, the
               longest run of 30 days. The measures follow one another; the second column
               says which, the third in which unit. Computed from the rest.
mornings.csv   One line for each morning on which something was said. "tidemark import"
               takes it too.
rehab.csv      One line for each exercise that was logged.
logbook.json   Everything that is kept: what the runner, the coach and the clinician said,
               set and corrected, each with who and when, also what was taken back later.
schema.json    What logbook.json looks like, as JSON Schema 2020-12.

Tables are CSV by RFC 4180 in UTF-8, with a decimal point; units are in the names of the
columns, and an empty cell is a value that nobody knows. A text that a spreadsheet would
take for a formula has an apostrophe before it. Days are YYYY-MM-DD, moments RFC 3339.

"tidemark import THIS.zip" takes the logbook over whole into another journal, as does the
page for adding runs. It reads logbook.json and originals/; the tables are for people.
Whoever made an entry is shown there as somebody from elsewhere.

Not in here: what follows from the rest and is computed anew (headroom, windows, verdicts),
the secret addresses of calendars, sign-ins, who else may see the logbook, and who looked
at it.
`))
