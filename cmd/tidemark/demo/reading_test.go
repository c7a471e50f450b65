package demo_test

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"encoding/csv"
	"encoding/xml"
	"io"
	"path"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/muktihari/fit/decoder"
	"github.com/muktihari/fit/profile/filedef"
	"github.com/muktihari/fit/profile/mesgdef"
	"github.com/muktihari/fit/profile/typedef"
	"github.com/muktihari/fit/proto"
	"github.com/tkrajina/gpxgo/gpx"

	"tidemark/cmd/tidemark/demo"
	"tidemark/load"
)

// recording is one file as an independent library reads it.
type recording struct {
	name       string
	running    bool
	typed      bool
	start, end time.Time // in the club's zone
	km         float64
}

func (r recording) day() load.Day { return load.DayOf(r.start) }

func home(t testing.TB) *time.Location {
	t.Helper()
	zone, err := time.LoadLocation(demo.Home)
	if err != nil {
		t.Fatal(err)
	}
	return zone
}

// unpacked returns the files with archives opened.
func unpacked(t testing.TB, files []demo.File) []demo.File {
	t.Helper()
	var flat []demo.File
	for _, f := range files {
		switch path.Ext(f.Name) {
		case ".zip":
			flat = append(flat, members(t, f)...)
		case ".gz":
			r, err := gzip.NewReader(bytes.NewReader(f.Data))
			if err != nil {
				t.Fatalf("%s: %v", f.Name, err)
			}
			data, err := io.ReadAll(r)
			if err != nil {
				t.Fatalf("%s: %v", f.Name, err)
			}
			flat = append(flat, demo.File{Name: strings.TrimSuffix(f.Name, ".gz"), Data: data})
		default:
			flat = append(flat, f)
		}
	}
	return flat
}

// members returns what a zip holds.
func members(t testing.TB, f demo.File) []demo.File {
	t.Helper()
	r, err := zip.NewReader(bytes.NewReader(f.Data), int64(len(f.Data)))
	if err != nil {
		t.Fatalf("%s: %v", f.Name, err)
	}
	var files []demo.File
	for _, entry := range r.File {
		in, err := entry.Open()
		if err != nil {
			t.Fatalf("%s: %v", entry.Name, err)
		}
		data, err := io.ReadAll(in)
		if err != nil {
			t.Fatalf("%s: %v", entry.Name, err)
		}
		files = append(files, demo.File{Name: entry.Name, Data: data})
	}
	return files
}

// salvage reads as much of a FIT file as there is, and the error that ended it.
func salvage(data []byte) (*filedef.Activity, error) {
	activity := filedef.NewActivity()
	keep := listener{activity}
	dec := decoder.New(bytes.NewReader(data), decoder.WithMesgListener(keep), decoder.WithBroadcastOnly(), decoder.WithNoComponentExpansion())
	_, err := dec.Decode()
	return activity, err
}

type listener struct{ activity *filedef.Activity }

func (l listener) OnMesg(mesg proto.Message) {
	// The fields are the decoder's and only lent.
	mesg.Fields = slices.Clone(mesg.Fields)
	l.activity.Add(mesg)
}

// readFIT reads a whole FIT file.
func readFIT(t testing.TB, f demo.File) *filedef.Activity {
	t.Helper()
	if n, err := decoder.New(bytes.NewReader(f.Data)).CheckIntegrity(); err != nil || n != 1 {
		t.Fatalf("%s: integrity of %d files: %v", f.Name, n, err)
	}
	activity, err := salvage(f.Data)
	if err != nil {
		t.Fatalf("%s: %v", f.Name, err)
	}
	return activity
}

// tcxFile is as much of a TCX file as the tests look at.
type tcxFile struct {
	Activities []struct {
		Sport string `xml:",attr"`
		Id    time.Time
		Laps  []struct {
			TotalTimeSeconds float64
			DistanceMeters   float64
			Points           []struct {
				Time           time.Time
				Lat            float64 `xml:"Position>LatitudeDegrees"`
				Lon            float64 `xml:"Position>LongitudeDegrees"`
				DistanceMeters float64
				Heart          int `xml:"HeartRateBpm>Value"`
				Cadence        int `xml:"Extensions>TPX>RunCadence"`
			} `xml:"Track>Trackpoint"`
		} `xml:"Lap"`
	} `xml:"Activities>Activity"`
}

func readTCX(t testing.TB, f demo.File) tcxFile {
	t.Helper()
	var doc tcxFile
	if err := xml.Unmarshal(f.Data, &doc); err != nil {
		t.Fatalf("%s: %v", f.Name, err)
	}
	if len(doc.Activities) != 1 || len(doc.Activities[0].Laps) == 0 {
		t.Fatalf("%s: want one activity with laps", f.Name)
	}
	return doc
}

func readGPX(t testing.TB, f demo.File) *gpx.GPX {
	t.Helper()
	doc, err := gpx.ParseBytes(f.Data)
	if err != nil {
		t.Fatalf("%s: %v", f.Name, err)
	}
	return doc
}

// recordings reads every recording and every typed line of running among the
// files, in order of time. The phone's copy of a doubled run is left out.
func recordings(t testing.TB, files []demo.File) []recording {
	t.Helper()
	var all []recording
	for _, f := range unpacked(t, files) {
		switch {
		case path.Ext(f.Name) == ".csv":
			all = append(all, typedRuns(t, f)...)
		case strings.HasPrefix(f.Name, "planned"), strings.HasSuffix(f.Name, "-phone.gpx"):
		default:
			all = append(all, read(t, f))
		}
	}
	slices.SortFunc(all, func(a, b recording) int { return a.start.Compare(b.start) })
	return all
}

// read reads one recording.
func read(t testing.TB, f demo.File) recording {
	t.Helper()
	zone := home(t)
	switch path.Ext(f.Name) {
	case ".fit":
		activity, _ := salvage(f.Data)
		first, last := activity.Records[0], activity.Records[len(activity.Records)-1]
		// A cut file has no session to ask.
		sport := typedef.SportRunning
		if len(activity.Sessions) > 0 {
			sport = activity.Sessions[0].Sport
		}
		return recording{f.Name, sport == typedef.SportRunning, false, first.Timestamp.In(zone), last.Timestamp.In(zone), last.DistanceScaled() / 1000}
	case ".tcx":
		a := readTCX(t, f).Activities[0]
		last := a.Laps[len(a.Laps)-1].Points
		end := last[len(last)-1]
		return recording{f.Name, a.Sport == "Running", false, a.Id.In(zone), end.Time.In(zone), end.DistanceMeters / 1000}
	}
	doc := readGPX(t, f)
	bounds := doc.TimeBounds()
	return recording{f.Name, true, false, bounds.StartTime.In(zone), bounds.EndTime.In(zone), doc.Length2D() / 1000}
}

// diaryRows returns the lines of a diary under their header.
func diaryRows(t testing.TB, f demo.File) []map[string]string {
	t.Helper()
	lines, err := csv.NewReader(bytes.NewReader(f.Data)).ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", f.Name, err)
	}
	var rows []map[string]string
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, name := range lines[0] {
			row[name] = line[i]
		}
		rows = append(rows, row)
	}
	return rows
}

// typedRuns returns the runs of a diary.
func typedRuns(t testing.TB, f demo.File) []recording {
	t.Helper()
	var runs []recording
	for _, row := range diaryRows(t, f) {
		if row["kind"] != "run" {
			continue
		}
		start, err := time.ParseInLocation("2006-01-02 15:04", row["date"]+" "+row["start"], home(t))
		if err != nil {
			t.Fatalf("%s: %v", f.Name, err)
		}
		km, minutes := decimal(t, row["distance_km"]), decimal(t, row["duration_min"])
		end := start.Add(time.Duration(minutes * float64(time.Minute)))
		runs = append(runs, recording{f.Name, true, true, start, end, km})
	}
	return runs
}

func decimal(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// timerEvents returns how often the timer of a FIT file stopped and started.
func timerEvents(events []*mesgdef.Event) (stops, starts int) {
	for _, e := range events {
		switch {
		case e.Event != typedef.EventTimer:
		case e.EventType == typedef.EventTypeStopAll:
			stops++
		case e.EventType == typedef.EventTypeStart:
			starts++
		}
	}
	return stops, starts
}
