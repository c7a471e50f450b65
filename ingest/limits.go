package ingest

import (
	"fmt"
	"time"

	"tidemark/ingest/diary"
	"tidemark/ingest/fit"
	"tidemark/ingest/gpx"
	"tidemark/ingest/tcx"
	"tidemark/load"
)

// Limits bounds what is accepted, so that no file costs more than it is worth.
type Limits struct {
	Raw      int64 // bytes of a file as it is handed over, and of one recording
	Inflated int64 // bytes of all recordings of an archive together
	Members  int   // files in an archive; folders do not count

	Earliest load.Instant  // of a sample
	Ahead    time.Duration // how far after the import a sample may lie
	Longest  time.Duration // of one activity, first sample to last
	Shortest time.Duration // of one activity

	FIT   fit.Limits
	GPX   gpx.Limits
	TCX   tcx.Limits
	Diary diary.Limits
}

// DefaultLimits is for everyday use: the largest of some 200 real files has
// 25 MB, the longest race on foot with a start and an end takes six days. A
// clock may be two days ahead, for zones and for watches set by hand. 30 s is
// what it takes to stop a recording that was started by mistake. Project
// defaults.
var DefaultLimits = Limits{
	Raw:      64 << 20,
	Inflated: 128 << 20,
	Members:  50,
	Earliest: load.InstantOf(time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)),
	Ahead:    48 * time.Hour,
	Longest:  7 * 24 * time.Hour,
	Shortest: 30 * time.Second,
	FIT:      fit.DefaultLimits,
	GPX:      gpx.DefaultLimits,
	TCX:      tcx.DefaultLimits,
	Diary:    diary.DefaultLimits,
}

// size writes a number of bytes for people.
func size(bytes int64) string {
	if bytes >= 1<<20 {
		return fmt.Sprintf("%.1f MB", float64(bytes)/(1<<20))
	}
	return fmt.Sprintf("%d bytes", bytes)
}
