package web_test

import (
	"testing"
	"time"

	"github.com/pquerna/otp/totp"
)

// codeAt is what an app shows: the code by the library's own reading of RFC 6238.
func codeAt(t *testing.T, key string, at time.Time) string {
	t.Helper()
	code, err := totp.GenerateCode(key, at)
	if err != nil {
		t.Fatal(err)
	}
	return code
}
