package web

import (
	"crypto/subtle"
	"encoding/base32"
	"fmt"
	"net/url"
	"strings"
	"time"

	"github.com/boombuler/barcode/qr"
	"github.com/pquerna/otp/hotp"
	"github.com/pquerna/otp/totp"
)

// codeStep is how long a one-time code is good (RFC 6238); the ones before and after are
// taken too.
const codeStep = 30 * time.Second

// codeOf finds the time step of a code; false: it is no code of the key now.
func codeOf(key, code string, now time.Time) (step int64, ok bool) {
	code = strings.ReplaceAll(code, " ", "")
	at := now.Unix() / int64(codeStep/time.Second)
	for _, step := range []int64{at - 1, at, at + 1} {
		want, err := hotp.GenerateCode(key, uint64(step))
		if err == nil && subtle.ConstantTimeCompare([]byte(want), []byte(code)) == 1 {
			return step, true
		}
	}
	return 0, false
}

// newKey makes a key of one-time codes, in base 32.
func newKey(name string) (string, error) {
	k, err := totp.Generate(totp.GenerateOpts{Issuer: "tidemark", AccountName: name})
	if err != nil {
		return "", fmt.Errorf("make key of codes: %w", err)
	}
	return k.Secret(), nil
}

// isKey reports whether a key is as newKey makes them: 160 bits (RFC 4226, 4, R6) in base 32.
func isKey(key string) bool {
	raw, err := base32.StdEncoding.WithPadding(base32.NoPadding).DecodeString(key)
	return err == nil && len(raw) == 20
}

// keyAddress is a key as apps read it.
func keyAddress(name, key string) string {
	return "otpauth://totp/tidemark:" + url.PathEscape(name) + "?secret=" + url.QueryEscape(key) + "&issuer=tidemark"
}

// keyPicture draws a key for an app's camera: the path of its squares, one unit each.
func keyPicture(name, key string) (path string, size int, err error) {
	code, err := qr.Encode(keyAddress(name, key), qr.M, qr.Auto)
	if err != nil {
		return "", 0, fmt.Errorf("draw key of codes: %w", err)
	}
	var b strings.Builder
	bounds := code.Bounds()
	for y := bounds.Min.Y; y < bounds.Max.Y; y++ {
		for x := bounds.Min.X; x < bounds.Max.X; x++ {
			if dark, _, _, _ := code.At(x, y).RGBA(); dark == 0 {
				fmt.Fprintf(&b, "M%d %dh1v1h-1z", x+4, y+4)
			}
		}
	}
	return b.String(), bounds.Dx() + 8, nil
}
