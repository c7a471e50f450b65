package load

import "math"

// Reason says why a value is undefined.
type Reason uint8

// The reasons. The zero Reason belongs to a value that is defined.
const (
	NoReason          Reason = iota
	ReasonHistory            // not enough days since the first run
	ReasonUnknownDays        // too many days of which nothing is known
	ReasonFloor              // the divisor is too small to mean anything
	ReasonNoVariation        // seven equal days
	ReasonZeroWeek           // no share of nothing
	ReasonNoTidemark         // no run in the 30 days before
	ReasonNotRecorded        // nothing that the value could be of
)

var reasonNames = [...]string{"", "history", "unknown-days", "floor", "no-variation", "zero-week", "no-tidemark", "not-recorded"}

func (r Reason) String() string { return reasonNames[r] }

// Value is a number that may be undefined, and then says why. Its zero value is
// the number 0.
type Value struct {
	number float64
	reason Reason
}

// Known returns v as a defined value. It panics if v is no number: whatever
// divides must have looked at the divisor before.
func Known(v float64) Value {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		panic("load: Known: not a number")
	}
	return Value{number: v}
}

// Undefined returns the absence of a value.
func Undefined(why Reason) Value { return Value{reason: why} }

// Get returns the number; ok is false where the value is undefined.
func (v Value) Get() (number float64, ok bool) { return v.number, v.reason == NoReason }

// Reason returns why the value is undefined, or nothing if it is not.
func (v Value) Reason() Reason { return v.reason }
