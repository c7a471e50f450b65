package web

import (
	"maps"
	"path"
	"slices"
	"strings"
	"testing"

	"github.com/jba/templatecheck"
)

// TestTemplates checks every template against the struct of its page, so that a
// name that is wrong is found here and not by a reader.
func TestTemplates(t *testing.T) {
	parsed := parseTemplates(loadAssets(), "")
	for _, name := range slices.Sorted(maps.Keys(pages)) {
		if err := templatecheck.CheckHTMLStrict(parsed[name].Lookup("layout"), pages[name]); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestEveryTemplateIsAPage finds templates that nobody renders.
func TestEveryTemplateIsAPage(t *testing.T) {
	files, err := templateFiles.ReadDir("templates")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		name := strings.TrimSuffix(f.Name(), path.Ext(f.Name()))
		if _, ok := pages[name]; !ok && !strings.HasPrefix(name, "_") {
			t.Errorf("%s is no page", f.Name())
		}
	}
}

func TestTogether(t *testing.T) {
	tests := []struct{ text, want string }{
		{"Up to 9.2 km within", "Up to 9.2\u00a0km within"},
		{"27 % over 11.0 km.", "27\u00a0% over 11.0\u00a0km."},
		{"5 kilometres", "5 kilometres"},
		{"held for 3 days", "held for 3\u00a0days"},
	}
	for _, tt := range tests {
		if got := together(tt.text); got != tt.want {
			t.Errorf("together(%q) = %q, want %q", tt.text, got, tt.want)
		}
	}
}

func TestFigures(t *testing.T) {
	for _, tt := range []struct {
		speed float64
		want  string
	}{
		{1000.0 / 342, "5:42 /km"},
		{1000.0 / 359.6, "6:00 /km"}, // rounds to a whole minute
		{0.5, ""},
	} {
		if got := pace(tt.speed); got != tt.want {
			t.Errorf("pace(%v) = %q, want %q", tt.speed, got, tt.want)
		}
	}
	for _, tt := range []struct {
		bytes int64
		want  string
	}{{900, "900 bytes"}, {9 << 10, "9 kB"}, {64 << 20, "64 MB"}, {1<<20 + 1<<19, "1.5 MB"}} {
		if got := size(tt.bytes); got != tt.want {
			t.Errorf("size(%d) = %q, want %q", tt.bytes, got, tt.want)
		}
	}
}

func TestLoopback(t *testing.T) {
	for host, want := range map[string]bool{
		"localhost": true, "127.0.0.1": true, "127.8.9.1": true, "::1": true, "[::1]": true, "club.localhost": true,
		"": false, "0.0.0.0": false, "::": false, "192.168.1.4": false, "localhost.example": false, "example": false,
	} {
		if got := Loopback(host); got != want {
			t.Errorf("Loopback(%q) = %v, want %v", host, got, want)
		}
	}
}
