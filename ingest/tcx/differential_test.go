package tcx_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"tidemark/ingest/tcx"
	"tidemark/load"
)

// fields names what is summed up, by the path of its element below Trackpoint.
var fields = []string{
	"Position/LatitudeDegrees", "Position/LongitudeDegrees", "AltitudeMeters", "DistanceMeters",
	"HeartRateBpm/Value", "Extensions/TPX/Speed", "Extensions/TPX/RunCadence",
}

// sums is a recording in short.
type sums struct {
	points  int
	seconds float64
	counts  map[string]int
	values  map[string]float64
}

func newSums() sums { return sums{counts: map[string]int{}, values: map[string]float64{}} }

func (s *sums) add(field string, v float64) {
	s.counts[field]++
	s.values[field] += v
}

// tokens reads with the tokens of encoding/xml, in a way of its own: by the path
// of local names below Trackpoint.
func tokens(data []byte) (s sums, err error) {
	s = newSums()
	d := xml.NewDecoder(bytes.NewReader(data))
	var path []string
	for {
		token, err := d.RawToken()
		if errors.Is(err, io.EOF) {
			return s, nil
		}
		if err != nil {
			return s, err
		}
		switch token := token.(type) {
		case xml.StartElement:
			path = append(path, token.Name.Local)
		case xml.EndElement:
			path = path[:len(path)-1]
		case xml.CharData:
			i := slices.Index(path, "Trackpoint")
			text := strings.TrimSpace(string(token))
			if i < 0 || text == "" {
				continue
			}
			if err := s.take(strings.Join(path[i+1:], "/"), text); err != nil {
				return s, err
			}
		}
	}
}

func (s *sums) take(field, text string) error {
	if field == "Time" {
		at, err := time.Parse(time.RFC3339, text)
		s.points++
		s.seconds += float64(at.UnixMilli()) / 1000
		return err
	}
	if field == "Cadence" {
		field = "Extensions/TPX/RunCadence" // no real file has both
	}
	if !slices.Contains(fields, field) {
		return nil
	}
	if v, err := strconv.ParseFloat(text, 64); err == nil && !math.IsNaN(v) {
		s.add(field, v)
	}
	return nil
}

// ours reads with this package.
func ours(data []byte) (sums, error) {
	s := newSums()
	activities, err := tcx.Decode(data, tcx.DefaultLimits)
	for _, a := range activities {
		for i := range a.Samples {
			p := &a.Samples[i]
			s.points++
			s.seconds += float64(p.At.Time().UnixMilli()) / 1000
			for j, v := range []struct {
				has   load.Fields
				value float64
			}{
				{load.HasPosition, float64(p.Position.Lat)},
				{load.HasPosition, float64(p.Position.Lon)},
				{load.HasAltitude, float64(p.Altitude)},
				{load.HasDistance, float64(p.Distance)},
				{load.HasHeart, float64(p.Heart)},
				{load.HasSpeed, float64(p.Speed)},
				{load.HasCadence, float64(p.Cadence)},
			} {
				if p.Got(v.has) {
					s.add(fields[j], v.value)
				}
			}
		}
	}
	return s, err
}

// explained lists the files in which the tokens differ, the fields and why.
var explained = map[string]struct {
	fields []string
	reason string
}{
	"065.tcx": {[]string{"Position/LongitudeDegrees"}, "half a position is none: a latitude in words beside a longitude"},
	"067.tcx": {[]string{"refused"}, "a course"},
}

// TestDifferential reads the real files with encoding/xml too.
func TestDifferential(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(corpus(t), "*", "*_run.tcx"))
	if err != nil {
		t.Fatal(err)
	}
	more, err := filepath.Glob(filepath.Join(corpus(t), "real", "*.tcx"))
	if err != nil || len(more) == 0 {
		t.Fatalf("%d files in the corpus: %v", len(more), err)
	}
	files = append(files, more...)
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			data, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			got := difference(t, data)
			if want := explained[filepath.Base(file)]; !slices.Equal(got, want.fields) {
				t.Errorf("differs in %v, explained are %v (%s)", got, want.fields, want.reason)
			}
		})
	}
	t.Logf("compared %d files", len(files))
}

// difference names the fields in which the two readings are not equal to a part
// in 10^12.
func difference(t *testing.T, data []byte) (names []string) {
	t.Helper()
	other, err := tokens(data)
	if err != nil {
		t.Fatal(err)
	}
	own, err := ours(data)
	if err != nil {
		return []string{"refused"}
	}
	differ := func(x, y float64) bool { return math.Abs(x-y) > 1e-12*max(math.Abs(x), math.Abs(y)) }
	if own.points != other.points || differ(own.seconds, other.seconds) {
		names = append(names, "Time")
	}
	for _, f := range fields {
		if own.counts[f] != other.counts[f] || differ(own.values[f], other.values[f]) {
			names = append(names, f)
		}
	}
	return names
}
