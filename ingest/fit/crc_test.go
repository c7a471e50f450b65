package fit_test

import (
	"bytes"
	"testing"

	"tidemark/ingest/fit"
)

// TestChecksum compares with the routine that the FIT protocol prints, at every
// length around the sixteen bytes taken at a time, and with the check value of
// CRC-16/ARC in the CRC RevEng catalogue: 0xBB3D for "123456789".
func TestChecksum(t *testing.T) {
	if got := fit.Checksum([]byte("123456789")); got != 0xBB3D {
		t.Errorf("checksum of 123456789 is %#04x, want 0xbb3d", got)
	}
	data := bytes.Repeat([]byte("tide mark\xFF\x00\x80"), 8)
	for n := range data {
		if got, want := fit.Checksum(data[:n]), nibbleCRC(data[:n]); got != want {
			t.Errorf("checksum of %d bytes is %#04x, want %#04x", n, got, want)
		}
	}
}
