package web

import (
	"testing"
	"time"
)

// TestCodes: RFC 6238, appendix B, with SHA-1 and the last six of its eight digits.
func TestCodes(t *testing.T) {
	const key = "GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ" // "12345678901234567890" in base 32
	for at, code := range map[int64]string{59: "287082", 1111111109: "081804", 1111111111: "050471", 1234567890: "005924", 2000000000: "279037", 20000000000: "353130"} {
		step, ok := codeOf(key, code, time.Unix(at, 0))
		if !ok || step != at/30 {
			t.Errorf("code %s at %d: step %d, %v; want %d", code, at, step, ok, at/30)
		}
		if _, ok := codeOf(key, code, time.Unix(at+90, 0)); ok {
			t.Errorf("code %s is good 90 s later", code)
		}
	}
}
