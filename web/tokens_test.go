package web

import (
	"fmt"
	"math"
	"regexp"
	"testing"
)

// TestContrast holds the colours of the style sheet against WCAG 2.2: 4.5 to 1
// for text (1.4.3) and 3 to 1 for what carries meaning in a picture (1.4.11), in
// both schemes. The tool that tests pages looks at text alone.
func TestContrast(t *testing.T) {
	text := [][2]string{
		{"ink", "paper"},
		{"soft", "paper"},
		{"water", "paper"},
		{"brick", "paper"},
		{"ink", "sheet"},
		{"soft", "sheet"},
		{"water", "sheet"},
		{"water", "tint"},
		{"ink", "tint"},
		{"soft", "tint"},
	}
	graphics := [][2]string{
		{"bar", "paper"},
		{"bar", "tint"},
		{"ink", "paper"},
		{"ink", "bar"},
		{"water", "paper"},
		{"water", "tint"},
		{"ochre", "paper"},
		{"brick", "paper"},
		{"soft", "paper"},
		{"soft", "sheet"},
	}
	for scheme, colours := range tokens(t) {
		for _, group := range []struct {
			pairs [][2]string
			least float64
		}{{text, 4.5}, {graphics, 3}} {
			for _, pair := range group.pairs {
				if got := contrast(colours[pair[0]], colours[pair[1]]); got < group.least {
					t.Errorf("%s: %s on %s has %.2f, want %.1f", scheme, pair[0], pair[1], got, group.least)
				}
			}
		}
	}
}

// TestContrastFormula checks the formula on the ends of the scale, which WCAG
// gives as 21 to 1, and on the ratios that the design lists.
func TestContrastFormula(t *testing.T) {
	if got := contrast(rgb{0, 0, 0}, rgb{255, 255, 255}); math.Abs(got-21) > 1e-9 {
		t.Errorf("black on white: %v, want 21", got)
	}
	all := tokens(t)
	for _, tt := range []struct {
		scheme, token string
		want          float64
	}{
		{"light", "ink", 14.0},
		{"dark", "ink", 14.3},
		{"light", "water", 5.4},
		{"dark", "water", 9.0},
		{"light", "bar", 3.7},
		{"light", "ochre", 5.3},
		{"dark", "brick", 7.3},
	} {
		colours := all[tt.scheme]
		if got := contrast(colours[tt.token], colours["paper"]); math.Abs(got-tt.want) > 0.1 {
			t.Errorf("%s %s on paper: %.2f, the design says %.1f", tt.scheme, tt.token, got, tt.want)
		}
	}
}

type rgb struct{ r, g, b float64 }

var tokenLine = regexp.MustCompile(`--(\w+): light-dark\((#\w{6}), (#\w{6})\)`)

// tokens reads the colours of both schemes.
func tokens(t *testing.T) map[string]map[string]rgb {
	t.Helper()
	css, err := static.ReadFile("static/style.css")
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]map[string]rgb{"light": {}, "dark": {}}
	for _, m := range tokenLine.FindAllStringSubmatch(string(css), -1) {
		out["light"][m[1]], out["dark"][m[1]] = parseColour(t, m[2]), parseColour(t, m[3])
	}
	if len(out["light"]) < 10 {
		t.Fatalf("found %d tokens", len(out["light"]))
	}
	return out
}

func parseColour(t *testing.T, hex string) rgb {
	t.Helper()
	var r, g, b int
	if _, err := fmt.Sscanf(hex, "#%02x%02x%02x", &r, &g, &b); err != nil {
		t.Fatalf("%s: %v", hex, err)
	}
	return rgb{float64(r), float64(g), float64(b)}
}

// contrast is the contrast ratio of WCAG 2.2 (definitions of contrast ratio and
// relative luminance).
func contrast(a, b rgb) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

func luminance(c rgb) float64 {
	channel := func(v float64) float64 {
		v /= 255
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*channel(c.r) + 0.7152*channel(c.g) + 0.0722*channel(c.b)
}
