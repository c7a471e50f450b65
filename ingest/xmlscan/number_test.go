package xmlscan_test

import (
	"fmt"
	"math"
	"math/big"
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
		{"10.123456694185733795166015625", given(10.123456694185733795166015625)},
		{"-30.12345669977366924285888671875", given(-30.12345669977366924285888671875)},
		{"1234567890.12345678901", given(1234567890.12345678901)},
		{"9007199254740993.00000000000000000", given(9007199254740992)},
		{"9007199254740993.00000000000000001", given(9007199254740994)},
		{"12345678901234567890123.5.5", malformed},
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

// TestParseNumberLong holds numbers of 16 to 40 digits against strconv: those of
// every third float32 around a coordinate, and ties and near ties of float64.
func TestParseNumberLong(t *testing.T) {
	check := func(text string) {
		t.Helper()
		want, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		if got := xmlscan.ParseNumber([]byte(text)); got.State != xmlscan.Given || got.Value != want {
			t.Fatalf("ParseNumber(%q) = %v, strconv gives %v", text, got.Value, want)
		}
	}
	for i := range 20_000 {
		v := float64(math.Float32frombits(math.Float32bits(121.5) + uint32(3*i)))
		check(strconv.FormatFloat(v, 'f', -1, 64))
		check(strconv.FormatFloat(v, 'f', 30, 64))
		check(strconv.FormatFloat(-v/7, 'f', 12+i%28, 64))
	}
	for i := range 20_000 {
		// The middle of two neighbouring float64, exact in 53 decimals, and a
		// little beside it.
		low := 1 + float64(i)/20_000
		middle := new(big.Float).SetPrec(80).SetFloat64(low)
		middle.Add(middle, new(big.Float).SetMantExp(big.NewFloat(1), -53))
		text := middle.Text('f', 53)
		check(text)
		check(text + "1")
		check(text[:25])
	}
}

// FuzzParseNumber holds the reader against strconv.ParseFloat, which reads
// more: words, hexadecimal and infinities.
func FuzzParseNumber(f *testing.F) {
	for _, s := range []string{
		"10.123456694185733795166015625", "9007199254740993.00000000000000001", "0.9999999999999999999999999",
		"1.00000000000000011102230246251565", "", "0", "-0", "10.0003141", "-29.9970000", "123456789012345678901234567890", "1e22", "1e-400", "5e-324",
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
