package xmlscan

import (
	"time"

	"tidemark/load"
)

// Time is a moment as a document gives it: RFC 3339, or the same without a
// zone, which is read as UTC. At and Offset are zero unless State is Given.
type Time struct {
	At     load.Instant  // to the millisecond, rounded down
	Offset time.Duration // of the zone as written, ahead of UTC
	State  State
	NoZone bool
}

// No zone is further from UTC or has an offset that is no quarter of an hour
// (common practice; the widest in use is +14:00, Kiribati).
const (
	widestZone = 15 * time.Hour
	zoneStep   = 15 * time.Minute
)

// Zone returns the offset as that of local time; ok is false where it cannot
// be. Zero is taken for another spelling of Z: programs write UTC so far more
// often than runners live there, and those who do lose nothing.
func (t Time) Zone() (offset time.Duration, ok bool) {
	if t.Offset == 0 || t.Offset.Abs() > widestZone || t.Offset%zoneStep != 0 {
		return 0, false
	}
	return t.Offset, true
}

// ParseTime reads a date and time of RFC 3339 with blanks around it, T and Z in
// capitals. The zone may be missing. A second 60 and other forms are malformed.
func ParseTime(b []byte) Time {
	b = trim(b)
	if len(b) == 0 {
		return Time{}
	}
	seconds, ok := parseSeconds(b)
	if !ok {
		return Time{State: Malformed}
	}
	millis, rest, ok := parseFraction(b[len("2006-01-02T15:04:05"):])
	if !ok {
		return Time{State: Malformed}
	}
	t := Time{State: Given, NoZone: len(rest) == 0}
	if !t.NoZone {
		if t.Offset, ok = parseZone(rest); !ok {
			return Time{State: Malformed}
		}
	}
	t.At = load.Unix(seconds-int64(t.Offset/time.Second)) + load.Instant(millis)
	return t
}

// parseSeconds reads the fixed 19 bytes of date and time as seconds since 1970.
func parseSeconds(b []byte) (int64, bool) {
	if len(b) < 19 || b[4] != '-' || b[7] != '-' || b[10] != 'T' || b[13] != ':' || b[16] != ':' {
		return 0, false
	}
	century, y := twoDigits(b), twoDigits(b[2:])
	month, day := twoDigits(b[5:]), twoDigits(b[8:])
	h, m, s := twoDigits(b[11:]), twoDigits(b[14:]), twoDigits(b[17:])
	if (century|y|month|day|h|m|s) < 0 || month < 1 || month > 12 || h > 23 || m > 59 || s > 59 {
		return 0, false
	}
	year := century*100 + y
	if day < 1 || day > daysIn(year, month) {
		return 0, false
	}
	return daysSince1970(year, month, day)*86400 + int64(h*3600+m*60+s), true
}

// twoDigits returns the number that b starts with, or -1.
func twoDigits(b []byte) int {
	tens, ones := b[0]-'0', b[1]-'0'
	if tens > 9 || ones > 9 {
		return -1
	}
	return int(tens)*10 + int(ones)
}

func daysIn(year, month int) int {
	switch month {
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	case 4, 6, 9, 11:
		return 30
	}
	return 31
}

// daysSince1970 counts the days of the proleptic Gregorian calendar, with years
// that begin in March so that the leap day comes last (a common algorithm).
func daysSince1970(year, month, day int) int64 {
	if month <= 2 {
		year--
		month += 12
	}
	// 306 days lie between March 1 and January 1; 719,468 days between
	// 0000-03-01 and 1970-01-01.
	inYear := (153*(month-3)+2)/5 + day - 1
	leaps := floorDiv(year, 4) - floorDiv(year, 100) + floorDiv(year, 400)
	return int64(year)*365 + int64(leaps) + int64(inYear) - 719468
}

func floorDiv(a, b int) int {
	if a < 0 {
		return -((-a + b - 1) / b)
	}
	return a / b
}

// parseFraction reads an optional point and digits as milliseconds and returns
// what follows.
func parseFraction(b []byte) (millis int, rest []byte, ok bool) {
	if len(b) == 0 || b[0] != '.' {
		return 0, b, true
	}
	scale := 100
	i := 1
	for ; i < len(b); i++ {
		d := b[i] - '0'
		if d > 9 {
			break
		}
		millis += int(d) * scale
		scale /= 10
	}
	return millis, b[i:], i > 1
}

// parseZone reads Z or +hh:mm.
func parseZone(b []byte) (time.Duration, bool) {
	if len(b) == 1 && b[0] == 'Z' {
		return 0, true
	}
	if len(b) != 6 || b[3] != ':' || (b[0] != '+' && b[0] != '-') {
		return 0, false
	}
	h, m := twoDigits(b[1:]), twoDigits(b[4:])
	if (h|m) < 0 || h > 23 || m > 59 {
		return 0, false
	}
	d := time.Duration(h*60+m) * time.Minute
	if b[0] == '-' {
		d = -d
	}
	return d, true
}
