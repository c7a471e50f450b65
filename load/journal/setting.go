package journal

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

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
	return b.SetAll(ctx, from, []Choice{{key, value}})
}

// Choice is a new value of a setting.
type Choice struct{ Key, Value string }

// SetAll is Set of several at once: all are kept, or none. Settings that cannot hold
// together are refused.
func (b *Book) SetAll(ctx context.Context, from load.Day, choices []Choice) error {
	for _, c := range choices {
		if err := c.check(); err != nil {
			return err
		}
	}
	return b.write(ctx, needFor(choices), func(tx Tx) (changed bool, err error) {
		kept, err := tx.Settings(b.runner)
		if err != nil {
			return false, err
		}
		for _, c := range choices {
			s := Setting{c.Key, from, c.Value, b.person, b.now()}
			if err := tx.PutSetting(b.runner, s); err != nil {
				return false, err
			}
			kept = append(kept, s)
		}
		_, err = schedule(kept)
		return len(choices) > 0, err
	})
}

// needFor: what is so of a runner may be said by the runner, limits are set by whoever is in
// charge.
func needFor(choices []Choice) Rights {
	about := []load.Group{load.GroupRunner, load.GroupHeart, load.GroupTendon}
	for _, c := range choices {
		if def, err := load.FindSetting(c.Key); err != nil || !slices.Contains(about, def.Group) {
			return RightTreat
		}
	}
	return RightTell
}

func (c Choice) check() error {
	if c.Key == "" {
		return errors.New("set: the key is empty")
	}
	def, err := load.FindSetting(c.Key)
	if err != nil {
		return nil // of another package
	}
	v, err := strconv.ParseFloat(c.Value, 64)
	if err != nil || strings.Trim(c.Value, "+-.0123456789e") != "" {
		return fmt.Errorf("set %s: %q is no number", c.Key, c.Value)
	}
	return def.Check(v)
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
