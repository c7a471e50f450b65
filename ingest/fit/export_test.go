package fit

import "tidemark/load"

// Checksum is checksum.
var Checksum = checksum

// Track returns the samples of all parts of a file before they are given to
// sessions, and how many records had no time.
func Track(data []byte) (samples []load.Sample, untimed int) {
	left := DefaultLimits
	for at := 0; Sniff(data[at:]); {
		x, err := locate(data, at, left.Messages)
		if err != nil {
			break
		}
		p := read(data, x, &left)
		samples = append(samples, p.track.samples...)
		untimed += p.track.untimed
		at = x.next
	}
	return samples, untimed
}
