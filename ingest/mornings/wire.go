package mornings

// column is one column of the format.
type column int

// The columns, in the order of columnNames. A file may have them in any order.
const (
	complaint column = iota
	on
	before
	during
	after
	next
	stiffness
	limp
	entered
	columns
)

var columnNames = [columns]string{"complaint", "on", "before", "during", "after", "next", "stiffness", "limp", "entered"}

func (c column) String() string { return columnNames[c] }

// cell is one value as it was typed, without the blanks around it, and where.
type cell struct {
	text         string
	line, offset int // from 1; offset counts bytes in the line
}
