package journal

import (
	"context"
	"errors"
	"fmt"
	"strconv"

	"tidemark/load"
)

// Setting is one choice for a runner. It holds from a day on, so that a later
// one rewrites nothing before its own day. Rows are added, never changed.
type Setting struct {
	Key   string
	From  load.Day
	Value string
	By    Person
	At    load.Instant
}

// SettingTx keeps settings.
type SettingTx interface {
	PutSetting(RunnerID, Setting) error
	Settings(RunnerID) ([]Setting, error) // in order of entry
}

// Set keeps a new value of key that holds from a day on. Where load describes the
// setting, a value out of its range is refused; other packages check their own.
func (b *Book) Set(ctx context.Context, key string, from load.Day, value string) error {
	if key == "" {
		return errors.New("set: the key is empty")
	}
	if def, err := load.FindSetting(key); err == nil {
		v, err := strconv.ParseFloat(value, 64)
		if err != nil {
			return fmt.Errorf("set %s: %q is no number", key, value)
		}
		if err := def.Check(v); err != nil {
			return err
		}
	}
	return b.write(ctx, RightPlan, func(tx Tx) (bool, error) {
		return true, tx.PutSetting(b.runner, Setting{key, from, value, b.person, b.now()})
	})
}

// Settings returns every value that was ever set, in order of entry.
func (b *Book) Settings(ctx context.Context) (out []Setting, err error) {
	err = b.read(ctx, RightLoad, func(tx Tx) error {
		out, err = tx.Settings(b.runner)
		return err
	})
	return out, err
}

// On returns the setting of key that holds on a day: of those that begin on it
// or before, the one that begins last, and of several that begin on the same
// day the one entered last. The settings are in order of entry.
func On(settings []Setting, key string, day load.Day) (held Setting, ok bool) {
	for _, s := range settings {
		if s.Key == key && s.From <= day && (!ok || s.From >= held.From) {
			held, ok = s, true
		}
	}
	return held, ok
}
