package journal_test

import (
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tidemark/load"
	"tidemark/load/journal"
)

func TestApplied(t *testing.T) {
	said := func(session, field, value string) journal.Edit {
		return journal.Edit{Session: session, Field: field, Value: value}
	}
	got, err := journal.Applied([]journal.Edit{
		said("a", "race", "no"), said("b", "excluded", "yes"), said("a", "a newer field", "43"), said("a", "race", "yes"),
		said("b", "excluded", ""), said("c", "exertion", "4"), said("c", "race", ""),
	})
	yes, four := true, 4.0
	want := map[string]load.Edit{"a": {Race: &yes}, "b": {}, "c": {Exertion: &four}}
	if diff := cmp.Diff(want, got); diff != "" || err != nil {
		t.Errorf("%v (-want +got):\n%s", err, diff)
	}
	if _, err := journal.Applied([]journal.Edit{said("a", "exertion", "much")}); !errors.Is(err, journal.ErrDamaged) {
		t.Errorf("a value that is none: %v", err)
	}
}
