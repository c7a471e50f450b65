package load

// Fields says which of a sample's values the file really held.
type Fields uint8

// One bit a value of Sample.
const (
	HasPosition Fields = 1 << iota
	HasDistance
	HasAltitude
	HasSpeed
	HasCadence
	HasHeart
	HasGrade
)

// Sample is one moment of a recording. A value without its bit in Has is
// absent and must not be read; nothing is ever NaN or infinite.
type Sample struct {
	At       Instant
	Position Position
	Distance Metres // cumulative over the activity, as the device counted
	Altitude Metres
	Speed    Speed
	Cadence  Cadence // as the file counts it, see Activity.Cadence
	Heart    BPM
	Grade    Grade // of a treadmill's belt, as the device gives it
	Has      Fields
}

// Got reports whether all of f are present.
func (s *Sample) Got(f Fields) bool { return s.Has&f == f }
