package web

import (
	"testing"

	"github.com/alexedwards/argon2id"
)

// TestPasswordCost: OWASP Password Storage Cheat Sheet, argon2id with 19 MiB and 2 passes; the
// hash that stands for nobody's costs the same, and is nobody's.
func TestPasswordCost(t *testing.T) {
	if hashCost != [2]uint32{19 * 1024, 2} {
		t.Errorf("a hash costs %v", hashCost)
	}
	params, _, _, err := argon2id.DecodeHash(nobodysHash)
	if err != nil || params.Memory != 19*1024 || params.Iterations != 2 || params.Parallelism != 1 {
		t.Errorf("nobody's hash costs %+v, %v", params, err)
	}
	p := newPasswords()
	hash, err := p.hash(t.Context(), "four mugs under rain")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		password, hash string
		want           bool
	}{{"four mugs under rain", hash, true}, {"four mugs under Rain", hash, false}, {"four mugs under rain", "", false}, {"", "", false}} {
		if got, err := p.right(t.Context(), c.password, c.hash); got != c.want || err != nil {
			t.Errorf("%q against %.12q: %v, %v", c.password, c.hash, got, err)
		}
	}
}
