package words

import "tidemark/load"

// Verdict names a verdict for people.
func Verdict(v load.Verdict) string {
	return [...]string{load.NoVerdict: "nothing asked", load.Settled: "Settled", load.Unsettled: "Not settled", load.Flared: "Flared", load.Missing: "Missing"}[v]
}
