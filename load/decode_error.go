package load

import "fmt"

// DecodeError says where a file stopped making sense.
type DecodeError struct {
	Format string // "fit", "gpx", "tcx", "diary", "gzip" or "zip"
	Offset int64  // bytes from the start of the recording; -1 if unknown
	Line   int    // from 1; 0 where the format has no lines
	Column int    // from 1; 0 if unknown
	Err    error
}

// Error names the format, the place as far as it is known, and the reason.
func (e *DecodeError) Error() string {
	switch {
	case e.Line > 0 && e.Column > 0:
		return fmt.Sprintf("read %s, line %d, column %d: %v", e.Format, e.Line, e.Column, e.Err)
	case e.Line > 0:
		return fmt.Sprintf("read %s, line %d: %v", e.Format, e.Line, e.Err)
	case e.Offset > 0:
		return fmt.Sprintf("%v (%s, byte %d)", e.Err, e.Format, e.Offset)
	}
	return fmt.Sprintf("%v (%s)", e.Err, e.Format)
}

// Unwrap returns the reason.
func (e *DecodeError) Unwrap() error { return e.Err }
