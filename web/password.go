package web

import (
	"context"
	"runtime"
	"strings"
	"unicode/utf8"

	"github.com/alexedwards/argon2id"
	"golang.org/x/sync/semaphore"
	"golang.org/x/text/unicode/norm"
)

// Lengths of a password: OWASP ASVS 4.0.3, 2.1.1 and 2.1.2.
const (
	leastPassword = 12
	mostPassword  = 128 // characters
)

// passwordParams are the cost of a hash: OWASP Password Storage Cheat Sheet, argon2id with
// 19 MiB, 2 passes and 1 thread.
var passwordParams = &argon2id.Params{Memory: 19 * 1024, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32}

// nobodysHash is the hash of a password that was thrown away, at the same cost: a name that
// there is not takes as long as one that there is.
const nobodysHash = "$argon2id$v=19$m=19456,t=2,p=1$5LncJ5MM0NgRITSL47zqoA$mhNosY759p3RB0tITQMOPnkupBLlsiNXdn40m65R1kQ"

// passwords hashes and compares, as many at once as there are processors: each takes 19 MiB.
type passwords struct{ at *semaphore.Weighted }

func newPasswords() passwords { return passwords{semaphore.NewWeighted(int64(runtime.NumCPU()))} }

// hash hashes a password.
func (p passwords) hash(ctx context.Context, password string) (string, error) {
	if err := p.at.Acquire(ctx, 1); err != nil {
		return "", err
	}
	defer p.at.Release(1)
	return argon2id.CreateHash(norm.NFC.String(password), passwordParams)
}

// right reports whether a password is that of a hash; an empty hash is nobody's, and takes
// as long.
func (p passwords) right(ctx context.Context, password, hash string) (bool, error) {
	if err := p.at.Acquire(ctx, 1); err != nil {
		return false, err
	}
	defer p.at.Release(1)
	nobody := hash == ""
	if nobody {
		hash = nobodysHash
	}
	if utf8.RuneCountInString(password) > mostPassword {
		password = password[:mostPassword]
		nobody = true
	}
	ok, err := argon2id.ComparePasswordAndHash(norm.NFC.String(password), hash)
	return ok && !nobody, err
}

// commonPasswords are long ones that are tried first; values from memory.
var commonPasswords = []string{
	"123456789012", "1234567890123", "12345678901234", "123456789123", "qwertyuiopas", "qwertyuiop123", "passwordpassword", "password1234", "password12345",
	"iloveyouiloveyou", "administrator", "letmeinletmein", "correcthorsebatterystaple", "abcdefghijkl", "abcdefghijklm", "qwerty123456", "123123123123",
}

// passwordFault says why a password is not taken; empty: it is.
func passwordFault(password, name string) string {
	n := utf8.RuneCountInString(norm.NFC.String(password))
	low := strings.ToLower(password)
	bare := strings.ReplaceAll(strings.ToLower(name), " ", "")
	switch {
	case !utf8.ValidString(password):
		return "The password is not UTF-8."
	case n < leastPassword:
		return "A password has at least 12 characters. A few words that do not belong together are good."
	case n > mostPassword:
		return "A password has at most 128 characters."
	case len([]rune(strings.Trim(low, string([]rune(low)[:1])))) == 0:
		return "A password is not one character again and again."
	case bare != "" && strings.Contains(strings.ReplaceAll(low, " ", ""), bare), strings.Contains(low, "tidemark"):
		return "A password holds neither the name nor the name of this program."
	}
	for _, common := range commonPasswords {
		if low == common {
			return "This password is one of the first that are tried. Take another."
		}
	}
	return ""
}
