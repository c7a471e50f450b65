package ingest_test

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"runtime"
	"strings"
	"testing"

	"tidemark/ingest"
)

// fitOf wraps messages in a header; the checksum is left wrong.
func fitOf(messages []byte) []byte {
	head := []byte{14, 0x20, 0x54, 0x08, 0, 0, 0, 0, '.', 'F', 'I', 'T', 0, 0}
	binary.LittleEndian.PutUint32(head[4:], uint32(len(messages)))
	return append(append(head, messages...), 0, 0)
}

// fitMessages is a definition of a message with fields of some size, and as many
// messages as fill a megabyte.
func fitMessages(message uint16, fields, size byte) []byte {
	b := []byte{0x40, 0, 0, byte(message), byte(message >> 8), fields}
	for i := range fields {
		b = append(b, i, size, 0x0D)
	}
	one := make([]byte, 1+int(fields)*int(size))
	for len(b) < 1<<20 {
		b = append(b, one...)
	}
	return fitOf(b)
}

// No file of a megabyte costs more than 64 MB, whatever it claims. In reference to
// what general readers allocate, up to thousands of times the file's size (ingest
// reference 1.1 and 1.2), that is 64 times.
func TestHostileFilesCostLittle(t *testing.T) {
	point := func(i int) string {
		return fmt.Sprintf(`<trkpt lat="1" lon="1"><time>2026-01-01T00:%02d:%02dZ</time></trkpt>`, i/60%60, i%60)
	}
	var points, laps strings.Builder
	for i := 0; points.Len() < 1<<20; i++ {
		points.WriteString(point(i))
	}
	for laps.Len() < 1<<20 {
		laps.WriteString(`<Lap StartTime="2026-01-01T00:00:00Z"><DistanceMeters>1</DistanceMeters></Lap>`)
	}
	const gpx, tcx = `<gpx version="1.1"><trk><trkseg>`, `<TrainingCenterDatabase><Activities><Activity Sport="Running">`
	megabyte := strings.Repeat("x", 1<<20)
	for name, data := range map[string][]byte{
		"fit, records of nothing":        fitMessages(20, 0, 0),
		"fit, sessions of nothing":       fitMessages(18, 0, 0),
		"fit, laps of nothing":           fitMessages(19, 0, 0),
		"fit, sports of nothing":         fitMessages(12, 0, 0),
		"fit, devices of nothing":        fitMessages(23, 0, 0),
		"fit, records of a byte":         fitMessages(20, 1, 1),
		"fit, sessions of a byte":        fitMessages(18, 1, 1),
		"fit, 255 fields of 255 bytes":   fitMessages(20, 255, 255),
		"fit, a definition in each byte": fitOf(bytes.Repeat([]byte{0x40, 0, 0, 20, 0, 0}, 1<<18)),
		"gpx, many points":               []byte(gpx + points.String()),
		"gpx, deep":                      []byte(strings.Repeat("<a>", 1<<18)),
		"gpx, one attribute":             []byte(`<gpx x="` + megabyte + `"><trk>`),
		"gpx, many attributes":           []byte("<gpx" + strings.Repeat(` a="1"`, 1<<17) + ">"),
		"gpx, one text":                  []byte(gpx + "<trkpt><name>" + megabyte),
		"gpx, many tracks":               []byte("<gpx>" + strings.Repeat("<trk><trkseg/></trk>", 1<<15)),
		"gpx, many segments":             []byte("<gpx><trk>" + strings.Repeat("<trkseg></trkseg>", 1<<16)),
		"tcx, many laps":                 []byte(tcx + laps.String()),
		"tcx, many activities":           []byte(`<TrainingCenterDatabase><Activities>` + strings.Repeat(`<Activity Sport="Running"></Activity>`, 1<<14)),
		"diary, one line":                []byte("date," + megabyte),
		"diary, many columns":            []byte("date" + strings.Repeat(",distance_km", 1<<16)),
		"diary, many rows":               []byte("date,kind\n" + strings.Repeat("2026-01-01,rest\n", 1<<16)),
		"diary, one cell":                []byte("date,distance_km,note\n2026-01-01,5,\"" + megabyte),
	} {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			_, err := ingest.Decode(data, ingest.Options{Now: now})
			runtime.ReadMemStats(&after)
			if grown := after.TotalAlloc - before.TotalAlloc; grown > 64<<20 {
				t.Errorf("%d MB were allocated for %d kB (%v)", grown>>20, len(data)>>10, err)
			}
		})
	}
}
