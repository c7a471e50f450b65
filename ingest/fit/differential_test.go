package fit_test

import (
	"fmt"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	tormoderfit "github.com/tormoder/fit"

	"tidemark/ingest/fit"
	"tidemark/load"
)

// digest sums up samples so that one that is lost, doubled or misread shows.
type digest map[string]float64

func digestOf(samples []load.Sample) digest {
	d := digest{"samples": float64(len(samples))}
	add := func(s *load.Sample, f load.Fields, name string, v float64) {
		if s.Got(f) {
			d[name] += v
			d[name+" count"]++
		}
	}
	for i := range samples {
		s := &samples[i]
		d["time"] += float64(s.At / 1000)
		add(s, load.HasPosition, "latitude", float64(s.Position.Lat))
		add(s, load.HasPosition, "longitude", float64(s.Position.Lon))
		add(s, load.HasDistance, "distance", float64(s.Distance))
		add(s, load.HasAltitude, "altitude", float64(s.Altitude))
		add(s, load.HasSpeed, "speed", float64(s.Speed))
		add(s, load.HasCadence, "cadence", float64(s.Cadence))
		add(s, load.HasHeart, "heart", float64(s.Heart))
	}
	return d
}

// differences names what is not the same in both. Sums of up to 100 000 values
// may differ in rounding.
func (d digest) differences(other digest) []string {
	both := maps.Clone(d)
	maps.Copy(both, other)
	var names []string
	for name := range both {
		if a, b := d[name], other[name]; math.Abs(a-b) > 1e-9*max(math.Abs(a), math.Abs(b), 1) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// peerFiles are all FIT files of both modules and of the corpus, by name.
func peerFiles(t *testing.T) map[string][]byte {
	t.Helper()
	files := make(map[string][]byte)
	for _, module := range []string{"github.com/muktihari/fit", "github.com/tormoder/fit"} {
		for name, data := range moduleFiles(t, module) {
			files[strings.TrimPrefix(module, "github.com/")+"/"+strings.TrimPrefix(name, "testdata/")] = data
		}
	}
	real, err := filepath.Glob(filepath.Join(corpusDir(), "real", "*.fit"))
	if err != nil {
		t.Fatal(err)
	}
	if len(real) == 0 {
		t.Log("NO CORPUS: only the files of the modules are compared")
	}
	for _, path := range real {
		files["real/"+filepath.Base(path)] = readFile(t, path)
	}
	return files
}

// allSamples joins the samples of all activities.
func allSamples(activities []load.Activity) []load.Sample {
	var all []load.Sample
	for _, a := range activities {
		all = append(all, a.Samples...)
	}
	return all
}

// compare holds what we read against what a peer read: the names of what
// differs, or one of the whole.
func compare(ours []load.Activity, ourErr error, theirs []load.Sample, theirErr error) string {
	switch {
	case ourErr != nil && len(theirs) == 0:
		return ""
	case ourErr != nil:
		return "refused: " + ourErr.Error()
	case theirErr != nil && len(theirs) == 0:
		return "peer reads nothing"
	}
	return strings.Join(digestOf(allSamples(ours)).differences(digestOf(theirs)), ", ")
}

// checkPeer compares all files and demands that each difference is in the table
// and each line of the table is a difference.
func checkPeer(t *testing.T, explained map[string][2]string, read func([]byte) ([]load.Sample, error)) {
	files := peerFiles(t)
	same := 0
	for name, data := range files {
		ours, ourErr := fit.Decode(data, fit.DefaultLimits)
		theirs, theirErr := read(data)
		got := compare(ours, ourErr, theirs, theirErr)
		if want := explained[name][0]; got != want {
			t.Errorf("%s: differs in %q, explained is %q\nours %v\ntheirs %v %v",
				name, got, want, digestOf(allSamples(ours)), digestOf(theirs), theirErr)
		}
		if got == "" {
			same++
		}
	}
	for name := range explained {
		if _, ok := files[name]; !ok && (haveCorpus() || !strings.HasPrefix(name, "real/")) {
			t.Errorf("%s: a difference is explained but there is no such file", name)
		}
	}
	t.Logf("%d files, %d with the same samples, %d differences explained", len(files), same, len(files)-same)
}

func TestAgainstMuktihari(t *testing.T) {
	checkPeer(t, muktihariDifferences, func(data []byte) ([]load.Sample, error) {
		c, err := muktihari(data, nil)
		return c.samples, err
	})
}

const (
	rebased     = "several sessions: the distance begins anew in each, the file counts on"
	fromPowerOn = "times count from power-on; without a date it is no session of any day"
)

// muktihariDifferences: file, what differs, why.
var muktihariDifferences = map[string][2]string{
	"muktihari/fit/from_garmin_forums/triathlon_summary_first.fit": {"distance", rebased},
	"muktihari/fit/from_garmin_forums/triathlon_summary_last.fit":  {"distance", rebased},
	"real/008.fit": {"distance", rebased},
	"real/009.fit": {"distance", rebased},
	"real/021.fit": {"distance", rebased},

	"tormoder/fit/python-fitparse/antfs-dump.63.fit":             {refusedNoDate, fromPowerOn},
	"tormoder/fit/python-fitparse/compressed-speed-distance.fit": {refusedNoDate, fromPowerOn},
}

const refusedNoDate = "refused: the watch did not know the date: times count from when it was switched on; write this run into a diary (fit)"

// TestTrackAgainstMuktihari compares the records as they are read, before
// anything is judged: value for value the same.
func TestTrackAgainstMuktihari(t *testing.T) {
	for name, data := range peerFiles(t) {
		theirs, _ := muktihari(data, nil) // what came before an error counts
		ours, untimed := fit.Track(data)
		if untimed != theirs.untimed || !slices.Equal(ours, theirs.samples) {
			t.Errorf("%s: %d without time, want %d; samples (-peer +ours):\n%s",
				name, untimed, theirs.untimed, cmp.Diff(theirs.samples, ours))
		}
	}
}

func TestAgainstTormoder(t *testing.T) {
	checkPeer(t, tormoderDifferences, func(data []byte) ([]load.Sample, error) {
		f, err := tormoder(data)
		if err != nil {
			return nil, err
		}
		return tormoderSamples(f)
	})
}

const (
	peerReadsNothing = "peer reads nothing"
	profileSize      = "a field that is larger or smaller in the file than in its profile makes it give up"
	firstPart        = "its Decode reads the first part of a chain only"
)

// tormoderDifferences: file, what differs, why.
var tormoderDifferences = map[string][2]string{
	"muktihari/fit/from_garmin_forums/triathlon_summary_first.fit": {peerReadsNothing, profileSize},
	"muktihari/fit/from_garmin_forums/triathlon_summary_last.fit":  {peerReadsNothing, profileSize},
	"real/008.fit": {peerReadsNothing, profileSize},
	"real/009.fit": {peerReadsNothing, profileSize},
	"real/018.fit": {peerReadsNothing, profileSize},

	"tormoder/fit/corrupt/activity-filecrc.fit":        {peerReadsNothing, "it refuses a wrong checksum, we note it"},
	"tormoder/fit/corrupt/activity-unexpected-eof.fit": {peerReadsNothing, "it refuses a file that is cut, we keep what is whole"},

	"tormoder/fit/chained/activity-activity-filecrc.fit": {
		"altitude, altitude count, distance, distance count, latitude, latitude count, longitude, longitude count, " +
			"samples, speed, speed count, time", firstPart,
	},
	"muktihari/fit/chained_Activity_activity_poolswim.fit": {
		"cadence, cadence count, distance, distance count, samples, speed, speed count, time", firstPart,
	},
	"real/013.fit": {peerReadsNothing, "no record has a valid time; we give the session's totals"},
	"real/021.fit": {"distance", rebased},

	"tormoder/fit/python-fitparse/antfs-dump.63.fit":             {refusedNoDate, fromPowerOn},
	"tormoder/fit/python-fitparse/compressed-speed-distance.fit": {refusedNoDate, fromPowerOn},
}

// tormoderSamples makes samples of typed records, enhanced fields before legacy.
func tormoderSamples(f *tormoderfit.ActivityFile) ([]load.Sample, error) {
	var list []load.Sample
	for _, r := range f.Records {
		if tormoderfit.IsBaseTime(r.Timestamp) {
			continue
		}
		s := load.Sample{At: load.InstantOf(r.Timestamp)}
		set := func(f load.Fields, v float64, to func(float64)) {
			if !math.IsNaN(v) {
				to(v)
				s.Has |= f
			}
		}
		if !r.PositionLat.Invalid() && !r.PositionLong.Invalid() {
			s.Position = load.Position{Lat: load.Degrees(r.PositionLat.Degrees()), Lon: load.Degrees(r.PositionLong.Degrees())}
			s.Has |= load.HasPosition
		}
		set(load.HasDistance, r.GetDistanceScaled(), func(v float64) { s.Distance = load.Metres(v) })
		set(load.HasAltitude, either(r.GetEnhancedAltitudeScaled(), r.GetAltitudeScaled()), func(v float64) { s.Altitude = load.Metres(v) })
		set(load.HasSpeed, either(r.GetEnhancedSpeedScaled(), r.GetSpeedScaled()), func(v float64) { s.Speed = load.Speed(v) })
		if r.Cadence != 0xFF {
			s.Cadence, s.Has = load.Cadence(r.Cadence), s.Has|load.HasCadence
			if v := r.GetFractionalCadenceScaled(); !math.IsNaN(v) {
				s.Cadence += load.Cadence(v)
			}
		}
		if r.HeartRate != 0xFF {
			s.Heart, s.Has = load.BPM(r.HeartRate), s.Has|load.HasHeart
		}
		list = append(list, s)
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("no records with a time")
	}
	return list, nil
}

// either returns a unless it is missing.
func either(a, b float64) float64 {
	if math.IsNaN(a) {
		return b
	}
	return a
}
