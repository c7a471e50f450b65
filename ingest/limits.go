package ingest

import (
	"fmt"
	"time"

	"tidemark/ingest/diary"
	"tidemark/ingest/fit"
	"tidemark/ingest/gpx"
	"tidemark/ingest/mornings"
	"tidemark/ingest/tcx"
	"tidemark/load"
)

// Limits bounds what is accepted, so that no file costs more than it is worth.
type Limits struct {
	Raw      int64 // bytes of a file that is no zip, as it is handed over
	Inflated int64 // bytes of one recording that was packed, and of a zip in a zip
	Archive  int64 // bytes of everything in an archive together
	Members  int   // files in an archive and in those in it; folders do not count

	Earliest load.Instant  // of a sample
	Ahead    time.Duration // how far after the import a sample may lie
	Longest  time.Duration // of one activity, first sample to last
	Shortest time.Duration // of one activity

	FIT      fit.Limits
	GPX      gpx.Limits
	TCX      tcx.Limits
	Diary    diary.Limits
	Mornings mornings.Limits
}

// DefaultLimits is for everyday use: the largest of some 200 real files has
// 25 MB, ten years of two runs a day are 7,300, the longest race on foot with a start and an end takes six days. A
// clock may be two days ahead, for zones and for watches set by hand. 30 s is
// what it takes to stop a recording that was started by mistake. Project
// defaults.
var DefaultLimits = Limits{
	Raw:      64 << 20,
	Inflated: 128 << 20,
	Archive:  4 << 30,
	Members:  20_000,
	Earliest: load.InstantOf(time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)),
	Ahead:    48 * time.Hour,
	Longest:  7 * 24 * time.Hour,
	Shortest: 30 * time.Second,
	FIT:      fit.DefaultLimits,
	GPX:      gpx.DefaultLimits,
	TCX:      tcx.DefaultLimits,
	Diary:    diary.DefaultLimits,
	Mornings: mornings.DefaultLimits,
}

// sizeOf writes a number of bytes for people.
func sizeOf(bytes int64) string {
	if bytes >= 1<<20 {
		return fmt.Sprintf("%.1f MB", float64(bytes)/(1<<20))
	}
	return fmt.Sprintf("%d bytes", bytes)
}
