package words

import "tidemark/load"

// VerdictID names a verdict as scripts know it.
func VerdictID(v load.Verdict) string {
	return [...]string{load.NoVerdict: "", load.Settled: "settled", load.Unsettled: "unsettled", load.Flared: "flared", load.Missing: "missing"}[v]
}

// Verdict names a verdict for people.
func Verdict(v load.Verdict) string {
	return [...]string{load.NoVerdict: "nothing asked", load.Settled: "Settled", load.Unsettled: "Not settled", load.Flared: "Flared", load.Missing: "Missing"}[v]
}
