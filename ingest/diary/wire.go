package diary

// column is one column of the format.
type column int

// The columns, in the order of columnNames. A file may have them in any order.
const (
	date column = iota
	start
	kind
	distance
	duration
	runTime
	exertion
	ascent
	steps
	surface
	race
	note
	columns
)

var columnNames = [columns]string{
	"date", "start", "kind", "distance_km", "duration_min", "run_min",
	"rpe", "ascent_m", "steps", "surface", "race", "note",
}

func (c column) String() string { return columnNames[c] }

// cell is one value as it was typed, without the blanks around it, and where.
type cell struct {
	column       column
	text         string
	line, offset int // from 1; offset counts bytes in the line
}

// row is one line of the file. A column that the file lacks is an empty cell.
type row [columns]cell

// empty reports whether nothing was typed in r, as in the padding lines that
// spreadsheets write.
func (r *row) empty() bool {
	for _, c := range r {
		if c.text != "" {
			return false
		}
	}
	return true
}
