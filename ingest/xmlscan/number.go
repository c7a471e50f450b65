package xmlscan

import (
	"math"
	"math/bits"
	"strconv"
)

// State says whether a value was there at all.
type State uint8

// The states; an element that is empty is as absent as one that is missing.
const (
	Absent State = iota
	Malformed
	Given
)

// Number is a number as a document gives it. Value is finite, and zero unless
// State is Given.
type Number struct {
	Value float64
	State State
	Comma bool // written with a decimal comma
}

// maxExact is the bound below which every whole number is a float64.
const maxExact = 1 << 53

// pow10 holds the powers of ten that are exact in a float64.
var pow10 = [...]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18,
}

// ParseNumber reads a decimal number with blanks around it, an optional sign,
// a decimal point or comma and an optional exponent, to the same bit as
// strconv.ParseFloat. Words (NaN, Inf), hexadecimal and what overflows are
// malformed.
func ParseNumber(b []byte) Number {
	if v, ok := parsePlain(b); ok {
		return Number{Value: v, State: Given}
	}
	b = trim(b)
	if len(b) == 0 {
		return Number{}
	}
	comma, ok := checkDecimal(b)
	if !ok {
		return Number{State: Malformed}
	}
	if comma >= 0 {
		b = append([]byte(nil), b...)
		b[comma] = '.'
	}
	v, err := strconv.ParseFloat(string(b), 64)
	if err != nil || math.IsInf(v, 0) {
		return Number{State: Malformed}
	}
	return Number{Value: v, State: Given, Comma: comma >= 0}
}

// parsePlain reads what nearly all numbers are: a sign or none, digits with or
// without a point, short enough to be exact. Else ok is false.
func parsePlain(b []byte) (v float64, ok bool) {
	negative := len(b) > 0 && b[0] == '-'
	if negative {
		b = b[1:]
	}
	// Up to 19 digits cannot overflow the mantissa.
	if len(b) == 0 {
		return 0, false
	}
	if len(b) > 19 {
		v, ok = parseLong(b)
		return negate(v, negative), ok
	}
	var mantissa uint64
	point := -1
	for i, c := range b {
		d := c - '0'
		if d > 9 {
			if c != '.' || point >= 0 {
				return 0, false
			}
			point = i
			continue
		}
		mantissa = mantissa*10 + uint64(d)
	}
	v = float64(mantissa)
	if point >= 0 {
		// One rounding of two exact values is correct (Clinger 1990, "How to
		// read floating point numbers accurately", PLDI).
		v /= pow10[len(b)-1-point]
	}
	return negate(v, negative), mantissa < maxExact && (point < 0 || len(b) > 1)
}

func negate(v float64, negative bool) float64 {
	if negative {
		return -v
	}
	return v
}

// parseLong reads digits with a point and more than 18 significant digits,
// which is what exporters make of a coordinate kept in fewer bits, and slow
// elsewhere. It looks at 19 of them and gives up where the rest could matter.
func parseLong(b []byte) (v float64, ok bool) {
	var mantissa uint64
	digits, decimals, point := 0, 0, false
	for _, c := range b {
		switch d := c - '0'; {
		case d <= 9 && digits < 19:
			mantissa = mantissa*10 + uint64(d)
			digits++
			if point {
				decimals++
			}
		case d <= 9 && point: // beyond the 19th
		case c == '.' && !point:
			point = true
		default:
			return 0, false
		}
	}
	if mantissa < 1e18 || decimals > 18 {
		return 0, false
	}
	return divide(mantissa, uint64(pow10[decimals]))
}

// divide returns the float64 nearest to all of [m, m+1) / d, or false where
// there is none; m is from 1e18 up to 1e19 and d a power of ten up to 1e18.
func divide(m, d uint64) (v float64, ok bool) {
	// The quotient is taken with 62 or 63 bits: m/d*2^shift is from 2^61 up to
	// 2^63, and as 2^shift/d is below 2^63/m < 10, all of the interval lies
	// within 11 above the whole part.
	const above = 11
	shift := 62 - bits.Len64(m) + bits.Len64(d)
	if shift < 0 || shift > 127 {
		return 0, false
	}
	hi, lo := m>>(64-shift), m<<shift
	if shift >= 64 {
		hi, lo = m<<(shift-64), 0
	}
	quotient, _ := bits.Div64(hi, lo, d)
	extra := bits.Len64(quotient) - 53
	low, half := quotient&(1<<extra-1), uint64(1)<<(extra-1)
	kept := quotient >> extra
	if low > half {
		kept++
	}
	return math.Ldexp(float64(kept), extra-shift), low > half || low+above < half
}

// checkDecimal reports whether b is a decimal number, and where its decimal
// comma is, or -1.
func checkDecimal(b []byte) (comma int, ok bool) {
	comma = -1
	i, digits, point := 0, 0, false
	if b[0] == '-' || b[0] == '+' {
		i++
	}
	for ; i < len(b); i++ {
		switch c := b[i]; {
		case c-'0' <= 9:
			digits++
			continue
		case (c == '.' || c == ',') && !point:
			point = true
			if c == ',' {
				comma = i
			}
			continue
		}
		break
	}
	return comma, digits > 0 && (i == len(b) || isExponent(b[i:]))
}

// isExponent reports whether b is e or E, an optional sign and digits.
func isExponent(b []byte) bool {
	if b[0] != 'e' && b[0] != 'E' {
		return false
	}
	b = b[1:]
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		b = b[1:]
	}
	for _, c := range b {
		if c-'0' > 9 {
			return false
		}
	}
	return len(b) > 0
}
