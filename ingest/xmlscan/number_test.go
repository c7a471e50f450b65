package xmlscan_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"tidemark/ingest/xmlscan"
)

func TestParseNumber(t *testing.T) {
	given := func(v float64) xmlscan.Number { return xmlscan.Number{Value: v, State: xmlscan.Given} }
	comma := func(v float64) xmlscan.Number { return xmlscan.Number{Value: v, State: xmlscan.Given, Comma: true} }
	malformed := xmlscan.Number{State: xmlscan.Malformed}
	tests := []struct {
		in   string
		want xmlscan.Number
	}{
		{"", xmlscan.Number{}},
		{" \n\t ", xmlscan.Number{}},
		{"0", given(0)},
		{"142", given(142)},
		{"-12.5", given(-12.5)},
		{"+12.5", given(12.5)},
		{"  7.25\n", given(7.25)},
		{".5", given(0.5)},
		{"5.", given(5)},
		{"1e3", given(1000)},
		{"2.5E-1", given(0.25)},
		{"10,25", comma(10.25)},
		{" -10,25 ", comma(-10.25)},
		{"1,5e1", comma(15)},
		{"9007199254740993", given(9007199254740992)}, // 2^53+1 ties to even
		{"12345678901234567890.5", given(12345678901234567890.5)},
		{"0.1234567890123456789012345", given(0.1234567890123456789012345)},
		{"1,234.5", malformed},
		{"1.2.3", malformed},
		{".", malformed},
		{"-", malformed},
		{"-.", malformed},
		{"e5", malformed},
		{"1e", malformed},
		{"1e+", malformed},
		{"1e5x", malformed},
		{"NaN", malformed},
		{"nan", malformed},
		{"Inf", malformed},
		{"-Infinity", malformed},
		{"1e999", malformed},
		{"0x1p4", malformed},
		{"1_000", malformed},
		{"--1", malformed},
		{"1 2", malformed},
		{"undefined", malformed},
	}
	for _, test := range tests {
		t.Run(test.in, func(t *testing.T) {
			if got := xmlscan.ParseNumber([]byte(test.in)); got != test.want {
				t.Errorf("ParseNumber(%q) = %+v, want %+v", test.in, got, test.want)
			}
		})
	}
}

// FuzzParseNumber holds the reader against strconv.ParseFloat, which reads
// more: words, hexadecimal and infinities.
func FuzzParseNumber(f *testing.F) {
	for _, s := range []string{
		"", "0", "-0", "10.0003141", "-29.9970000", "123456789012345678901234567890", "1e22", "1e-400", "5e-324",
		"1.7976931348623157e308", "9007199254740993", "0.30000000000000004", "1,5", "NaN", "-inf", "0x1p-2", "1_0", ".", "..1",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		got := xmlscan.ParseNumber(b)
		trimmed := strings.Trim(string(b), " \t\r\n")
		want, err := strconv.ParseFloat(strings.Replace(trimmed, ",", ".", 1), 64)
		plain := strings.Trim(trimmed, "0123456789.,eE+-") == "" && !strings.ContainsAny(trimmed, "xX_pPnNiI")
		switch {
		case math.IsNaN(got.Value) || math.IsInf(got.Value, 0):
			t.Fatalf("%q: not finite: %v", b, got.Value)
		case trimmed == "":
			if got != (xmlscan.Number{}) {
				t.Fatalf("%q: %+v, want absent", b, got)
			}
		case err == nil && plain:
			if got.State != xmlscan.Given || math.Float64bits(got.Value) != math.Float64bits(want) {
				t.Fatalf("%q: %+v, strconv gives %v", b, got, want)
			}
		case got.State != xmlscan.Malformed || got.Value != 0:
			t.Fatalf("%q: %+v, strconv gives %v, %v", b, got, want, err)
		}
	})
}

func ExampleParseNumber() {
	for _, text := range []string{"12.5", "12,5", "NaN", ""} {
		n := xmlscan.ParseNumber([]byte(text))
		fmt.Println(n.Value, n.State == xmlscan.Given, n.State == xmlscan.Absent, n.Comma)
	}
	// Output:
	// 12.5 true false false
	// 12.5 true false true
	// 0 false false false
	// 0 false true false
}
