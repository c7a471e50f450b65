package load

import "fmt"

// NoteCode names one kind of remark on a recording's data.
type NoteCode string

// Everything that is dropped, filled or chosen on the way from file to session
// leaves one of these; nothing is repaired in silence.
const (
	NoteTruncated      NoteCode = "truncated"        // the file ends early; whole records were kept
	NoteChecksum       NoteCode = "checksum"         // the checksum does not match; the content reads well
	NoteSize           NoteCode = "size"             // the header's length is wrong; the file's own was used
	NoteTrailing       NoteCode = "trailing"         // bytes after the end were left out
	NoteSkipped        NoteCode = "skipped"          // parts that are no recording, or over a limit, were left out
	NoteMarkup         NoteCode = "markup"           // not well-formed, or an odd encoding; read leniently
	NoteTime           NoteCode = "time"             // samples without a usable time, out of order or doubled
	NotePosition       NoteCode = "position"         // positions off the globe, at 0,0 or not a number
	NoteHeart          NoteCode = "heart"            // heart rates outside 25 to 245
	NoteValue          NoteCode = "value"            // other values that make no sense
	NoteOffset         NoteCode = "offset"           // the local time of the file is no zone's
	NoteSport          NoteCode = "sport-assumed"    // no sport in the file; judged by speed
	NoteCadence        NoteCode = "cadence-doubled"  // the file counts one foot
	NoteJump           NoteCode = "jump"             // positions that nobody could have run to
	NoteGap            NoteCode = "gap"              // a stretch without samples, taken as a pause
	NoteDistance       NoteCode = "distance-differs" // device and track disagree by more than 3 %
	NoteDistanceChoice NoteCode = "distance-choice"  // why the distance is not the device's own
	NoteTreadmill      NoteCode = "treadmill"        // the watch's distance is an estimate
	NoteSteps          NoteCode = "steps-estimated"  // from speed, for want of cadence
	NoteTotals         NoteCode = "totals-only"      // no usable samples; the file's sums were used
	NoteZone           NoteCode = "zone"             // the zone was taken from elsewhere than the file
	NoteCarried        NoteCode = "carried"          // too fast for too long without steps: left out
	NoteFlat           NoteCode = "flat"             // what of the flat-equivalent distance is assumed or clipped
	NoteGait           NoteCode = "gait"             // what of running and walking is assumed, or said by hand
	NoteCorrected      NoteCode = "corrected"        // a value that the runner gave instead
	NoteDay            NoteCode = "day-corrected"    // the runner gave another date
	NoteStart          NoteCode = "late-start"       // the device had counted before the first sample
)

// Note is one remark: a code to count and branch on, and a sentence to read.
type Note struct {
	Code NoteCode `json:"code"`
	Text string   `json:"text"`
}

// Notes is a list of remarks.
type Notes []Note

// Add appends a remark; format and args are those of fmt.Sprintf.
func (n *Notes) Add(code NoteCode, format string, args ...any) {
	*n = append(*n, Note{code, fmt.Sprintf(format, args...)})
}

// Has reports whether a remark with the code is in the list.
func (n Notes) Has(code NoteCode) bool {
	for _, note := range n {
		if note.Code == code {
			return true
		}
	}
	return false
}
