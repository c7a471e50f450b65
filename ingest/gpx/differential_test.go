package gpx_test

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

	gpxgo "github.com/tkrajina/gpxgo/gpx"
	"golang.org/x/text/encoding/charmap"

	"tidemark/ingest/gpx"
	"tidemark/load"
)

// sums is a recording in short, over the points that have a time.
type sums struct {
	points, timed, placed              int
	lat, lon, ele, seconds, heart, cad float64
}

// add counts a point; a value that is NaN is not there.
func (s *sums) add(at time.Time, lat, lon, ele, heart, cad float64) {
	s.timed++
	s.seconds += float64(at.UnixMilli()) / 1000
	if !math.IsNaN(lat) && !math.IsNaN(lon) {
		s.placed++
		s.lat += lat
		s.lon += lon
	}
	for _, v := range []struct {
		sum   *float64
		value float64
	}{{&s.ele, ele}, {&s.heart, heart}, {&s.cad, cad}} {
		if !math.IsNaN(v.value) {
			*v.sum += v.value
		}
	}
}

// differences names the fields in which two sums are not equal to a part in
// 10^12, which is more than the order of addition can do.
func differences(a, b sums) []string {
	var names []string
	differ := func(name string, x, y float64) {
		if math.Abs(x-y) > 1e-12*max(math.Abs(x), math.Abs(y)) {
			names = append(names, name)
		}
	}
	differ("points", float64(a.points), float64(b.points))
	differ("timed", float64(a.timed), float64(b.timed))
	differ("placed", float64(a.placed), float64(b.placed))
	differ("lat", a.lat, b.lat)
	differ("lon", a.lon, b.lon)
	differ("ele", a.ele, b.ele)
	differ("time", a.seconds, b.seconds)
	differ("hr", a.heart, b.heart)
	differ("cad", a.cad, b.cad)
	return names
}

// ours reads with this package. Points that are no samples are counted from the
// remark that says so; a refused file has no sums.
func ours(data []byte) (s sums, err error) {
	activities, err := gpx.Decode(data, gpx.DefaultLimits)
	pick := func(ok bool, v float64) float64 {
		if ok {
			return v
		}
		return math.NaN()
	}
	for _, a := range activities {
		for i := range a.Samples {
			p := &a.Samples[i]
			s.points++
			s.add(
				p.At.Time(),
				pick(p.Got(load.HasPosition), float64(p.Position.Lat)), pick(p.Got(load.HasPosition), float64(p.Position.Lon)),
				pick(p.Got(load.HasAltitude), float64(p.Altitude)),
				pick(p.Got(load.HasHeart), float64(p.Heart)), pick(p.Got(load.HasCadence), float64(p.Cadence)),
			)
		}
		for _, n := range a.Notes {
			if text, ok := strings.CutPrefix(n.Text, "points without a usable time were left out: "); ok {
				dropped, err := strconv.Atoi(text)
				if err != nil {
					return s, err
				}
				s.points += dropped
			}
		}
	}
	return s, err
}

// tokens reads with the tokens of encoding/xml, in a way of its own: by the
// local names of the innermost and the enclosing element.
func tokens(data []byte) (s sums, err error) {
	d := xml.NewDecoder(bytes.NewReader(data))
	d.Strict = false
	d.CharsetReader = func(_ string, r io.Reader) (io.Reader, error) {
		return charmap.Windows1252.NewDecoder().Reader(r), nil
	}
	var path []string
	var value map[string]string
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
			if token.Name.Local == "trkpt" {
				value = map[string]string{}
				for _, a := range token.Attr {
					value["@"+a.Name.Local] = a.Value
				}
			}
		case xml.CharData:
			if text := strings.TrimSpace(string(token)); value != nil && text != "" {
				value[path[len(path)-1]] = text
			}
		case xml.EndElement:
			if len(path) > 0 {
				path = path[:len(path)-1]
			}
			if token.Name.Local == "trkpt" {
				s.take(value)
				value = nil
			}
		}
	}
}

func (s *sums) take(value map[string]string) {
	s.points++
	at, err := time.Parse(time.RFC3339, value["time"])
	if err != nil {
		if at, err = time.Parse("2006-01-02T15:04:05", value["time"]); err != nil {
			return
		}
	}
	number := func(name string) float64 {
		v, err := strconv.ParseFloat(value[name], 64)
		if err != nil {
			return math.NaN()
		}
		return v
	}
	s.add(at, number("@lat"), number("@lon"), number("ele"), number("hr"), number("cad"))
}

// tree reads with gpxgo.
func tree(data []byte) (s sums, err error) {
	g, err := gpxgo.ParseBytes(data)
	if err != nil {
		return s, err
	}
	for _, track := range g.Tracks {
		for _, segment := range track.Segments {
			for _, p := range segment.Points {
				s.points++
				if p.Timestamp.IsZero() {
					continue
				}
				ele := math.NaN()
				if p.Elevation.NotNull() {
					ele = p.Elevation.Value()
				}
				s.add(p.Timestamp, p.Latitude, p.Longitude, ele, node(p.Extensions.Nodes, "hr"), node(p.Extensions.Nodes, "cad"))
			}
		}
	}
	return s, nil
}

// node returns the number of the first extension with a local name, or NaN.
func node(nodes []gpxgo.ExtensionNode, name string) float64 {
	for _, n := range nodes {
		if n.XMLName.Local == name {
			if v, err := strconv.ParseFloat(strings.TrimSpace(n.Data), 64); err == nil {
				return v
			}
		}
		if v := node(n.Nodes, name); !math.IsNaN(v) {
			return v
		}
	}
	return math.NaN()
}

const (
	fraction = "gpxgo cuts the time at its point, and loses the fraction"
	dropped  = "a whole track without times is left out with one remark, its points are not counted"
	words    = "gpxgo gives the file up for one coordinate in words"
)

// explanation names the fields that differ and why.
type explanation struct {
	fields []string
	reason string
}

// explained lists every file in which another reader differs. The names of
// three digits are files of the corpus, the rest of gpxgo's module.
var explained = map[string]map[string]explanation{
	"tokens": {
		"cerknicko-without-times.gpx": {[]string{"points"}, dropped},
		"korita-zbevnica.gpx":         {[]string{"points"}, dropped},
		"038.gpx":                     {[]string{"points"}, dropped},
		"040.gpx":                     {[]string{"points"}, dropped},
	},
	"tree": {
		"cerknicko-without-times.gpx":     {[]string{"points"}, dropped},
		"korita-zbevnica.gpx":             {[]string{"points"}, dropped},
		"038.gpx":                         {[]string{"points"}, dropped},
		"040.gpx":                         {[]string{"points"}, dropped},
		"Mojstrovka.gpx":                  {[]string{"time"}, fraction},
		"gpx-without-root-attributes.gpx": {[]string{"time"}, fraction},
		"gpx-without-xml-declaration.gpx": {[]string{"time"}, fraction},
		"029.gpx":                         {[]string{"time"}, fraction},
		"035.gpx":                         {[]string{"time"}, fraction},
		"049.gpx":                         {[]string{"time"}, fraction},
		"052.gpx":                         {[]string{"error"}, words},
	},
}

// TestDifferential reads real files with two other readers.
func TestDifferential(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(module(t, "github.com/tkrajina/gpxgo@v1.4.0"), "test_files", "*.gpx"))
	if err != nil || len(files) == 0 {
		t.Fatalf("%d files in the module: %v", len(files), err)
	}
	t.Run("module", func(t *testing.T) { compareFiles(t, files) })
	t.Run("corpus", func(t *testing.T) {
		files, err := filepath.Glob(filepath.Join(corpus(t), "real", "*.gpx"))
		if err != nil || len(files) == 0 {
			t.Fatalf("%d files in the corpus: %v", len(files), err)
		}
		compareFiles(t, files)
	})
}

func compareFiles(t *testing.T, files []string) {
	t.Helper()
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		own, refusal := ours(data)
		for name, read := range map[string]func([]byte) (sums, error){"tokens": tokens, "tree": tree} {
			t.Run(filepath.Base(file)+"/"+name, func(t *testing.T) {
				other, err := read(data)
				fields := difference(own, refusal, other, err)
				if want := explained[name][filepath.Base(file)]; !slices.Equal(fields, want.fields) {
					t.Errorf("differs in %v, explained are %v (%s)", fields, want.fields, want.reason)
				}
			})
		}
	}
	t.Logf("compared %d files", len(files))
}

// difference compares a reading with ours. A file that we refuse must have no
// timed point elsewhere.
func difference(own sums, refusal error, other sums, err error) []string {
	switch {
	case err != nil:
		return []string{"error"}
	case refusal != nil && other.timed == 0:
		return nil
	case refusal != nil:
		return []string{"refused"}
	}
	return differences(own, other)
}
