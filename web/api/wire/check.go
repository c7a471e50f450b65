package wire

import "tidemark/load/journal"

// Checked is what check found: what is wrong, and the sum of what is kept.
type Checked struct {
	Problems []string `json:"problems"` // empty: none
	Digest
}

// Digest is the sum of all kept rows.
type Digest struct {
	Rows   int64  `json:"kept_rows"`
	SHA256 string `json:"sha256"`
}

// FromDigest is a digest in hexadecimal.
func FromDigest(d journal.Digest) Digest { return Digest{d.Rows, d.Sum.String()} }

// FromCheck is what a check says.
func FromCheck(problems []journal.Problem, d journal.Digest) Checked {
	out := Checked{Problems: make([]string, 0, len(problems)), Digest: FromDigest(d)}
	for _, p := range problems {
		out.Problems = append(out.Problems, p.String())
	}
	return out
}

// Copied is a backup that was made.
type Copied struct {
	Path string `json:"path"`
	Digest
}
