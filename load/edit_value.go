package load

import (
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// read sets the field to a value of its own, or to nil if the text is empty.
func read[T any](field **T, text string, parse func(string) (T, bool)) bool {
	if text == "" {
		*field = nil
		return true
	}
	v, ok := parse(text)
	if ok {
		*field = &v
	}
	return ok
}

func write[T any](field *T, format func(T) string) string {
	if field == nil {
		return ""
	}
	return format(*field)
}

// between returns a reader of numbers in a range: digits with a sign, a decimal
// point or comma, and no other form of a number: no exponent, infinity or NaN.
func between(low, high float64) func(string) (float64, bool) {
	return func(text string) (float64, bool) {
		if strings.Trim(text, "-0123456789.,") != "" {
			return 0, false
		}
		v, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64)
		return v, err == nil && v >= low && v <= high
	}
}

// formatNumber writes the shortest digits, to a millionth.
func formatNumber(v float64) string {
	return strconv.FormatFloat(math.Round(v*1e6)/1e6, 'f', -1, 64)
}

// setExertion reads one number for all of it, or parts as "3x40 7x20".
func (e *Edit) setExertion(text string) bool {
	if !strings.Contains(text, "x") {
		ok := read(&e.Exertion, text, between(0, maxExertion))
		if ok {
			e.Parts = nil
		}
		return ok
	}
	var parts []EffortPart
	for _, field := range strings.Fields(text) {
		rpe, minutes, _ := strings.Cut(field, "x")
		r, okR := between(0, maxExertion)(rpe)
		m, okM := between(0.1, 6000)(minutes)
		if !okR || !okM || len(parts) == mostParts {
			return false
		}
		parts = append(parts, EffortPart{r, m})
	}
	e.Exertion, e.Parts = nil, &parts
	return len(parts) > 0
}

func (e Edit) exertion() string {
	if e.Parts == nil {
		return write(e.Exertion, formatNumber)
	}
	fields := make([]string, len(*e.Parts))
	for i, p := range *e.Parts {
		fields[i] = formatNumber(p.RPE) + "x" + formatNumber(p.Minutes)
	}
	return strings.Join(fields, " ")
}

func parseKM(text string) (Metres, bool) {
	km, ok := between(0.05, 500)(text)
	return Metres(km * 1000), ok
}

func parsePercent(text string) (Grade, bool) {
	percent, ok := between(-10, 40)(text)
	return Grade(percent / 100), ok
}

func parseMinutes(text string) (time.Duration, bool) {
	minutes, ok := between(0, 6000)(text)
	return time.Duration(math.Round(minutes*60e3)) * time.Millisecond, ok
}

func parseDay(text string) (Day, bool) {
	day, err := ParseDay(text)
	return day, err == nil && day >= Date(2000, time.January, 1) && day <= Date(2100, time.December, 31)
}

func parseSurface(text string) (Surface, bool) {
	switch s := Surface(text); s {
	case Road, Trail, Oval, Treadmill:
		return s, true
	}
	return "", false
}

// parseText returns a reader of texts without control characters but for those
// that are allowed.
func parseText(most int, allowed string) func(string) (string, bool) {
	return func(text string) (string, bool) {
		control := func(r rune) bool { return unicode.IsControl(r) && !strings.ContainsRune(allowed, r) }
		return text, utf8.ValidString(text) && utf8.RuneCountInString(text) <= most && !strings.ContainsFunc(text, control)
	}
}

func asItIs(text string) string { return text }

// parseKind leaves out the sport that says nothing.
func parseKind(text string) (Sport, bool) {
	kind, err := ParseSport(text)
	return kind, err == nil && kind != UnknownSport
}

func parseYes(text string) (yes, ok bool) { return text == "yes", text == "yes" || text == "no" }

func formatYes(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}
