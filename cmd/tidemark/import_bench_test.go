package main

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"github.com/muktihari/fit/decoder"
	"github.com/muktihari/fit/kit/hash/crc16"
	"github.com/muktihari/fit/proto"
)

// The benchmark's season: a thousand runs of an hour, one sample a second.
const (
	benchRuns    = 1000
	benchSeconds = 3600
)

// watchFIT writes a run as watches do, 47 bytes each with
// position, distance, altitude, speed, heart rate, cadence, running dynamics,
// temperature and some fields of a maker's own, and noise in them, so that it
// packs no better than real ones (to 54 % and 47 % in two that were tried).
func watchFIT(n, seconds int) []byte {
	rng := rand.New(rand.NewPCG(7, uint64(n)))
	start := uint32(1_000_000_000 + n*86400) // seconds since 1989-12-31
	body := define(0, 0, [3]byte{0, 1, 0x00}, [3]byte{1, 2, 0x84}, [3]byte{4, 4, 0x86})
	body = append(body, 0, 4)
	body = binary.LittleEndian.AppendUint16(body, 255) // manufacturer: development
	body = binary.LittleEndian.AppendUint32(body, start)
	body = append(body, define(1, 20,
		[3]byte{253, 4, 0x86}, [3]byte{0, 4, 0x85}, [3]byte{1, 4, 0x85}, [3]byte{5, 4, 0x86}, [3]byte{78, 4, 0x86}, [3]byte{73, 4, 0x86},
		[3]byte{39, 2, 0x84}, [3]byte{41, 2, 0x84}, [3]byte{85, 2, 0x84}, [3]byte{40, 2, 0x84}, [3]byte{83, 2, 0x84}, [3]byte{84, 2, 0x84}, [3]byte{7, 2, 0x84}, [3]byte{87, 2, 0x84}, [3]byte{88, 2, 0x84}, [3]byte{3, 1, 0x02}, [3]byte{4, 1, 0x02}, [3]byte{53, 1, 0x02}, [3]byte{13, 1, 0x01}, [3]byte{90, 1, 0x01})...)
	lat, lon, distance, altitude, speed := 60.35, -1.9, 0.0, 20.0, 2.8
	for i := range uint32(seconds) {
		speed += 0.05 * (2.8 - speed + rng.NormFloat64())
		heading := float64(i) / 300
		lat += speed * math.Cos(heading) / 111_400
		lon += speed * math.Sin(heading) / 55_000
		distance += speed
		altitude += 0.1 * rng.NormFloat64()
		body = append(body, 1)
		for _, v := range []uint32{start + i, semicircles(lat), semicircles(lon), uint32(100 * distance), uint32(5 * (altitude + 500)), uint32(1000 * speed)} {
			body = binary.LittleEndian.AppendUint32(body, v)
		}
		for _, v := range []uint16{uint16(850 + rng.IntN(60)), uint16(2500 + rng.IntN(200)), uint16(1000 * speed * 0.36), 3400, uint16(760 + i/60%8), 5010, uint16(240 + rng.IntN(40)), 0, 300} {
			body = binary.LittleEndian.AppendUint16(body, v)
		}
		body = append(body, byte(140+rng.IntN(8)), byte(82+rng.IntN(4)), byte(64*rng.IntN(2)), 14, byte(i/600))
	}
	body = append(body, define(2, 18, [3]byte{253, 4, 0x86}, [3]byte{2, 4, 0x86}, [3]byte{7, 4, 0x86}, [3]byte{8, 4, 0x86}, [3]byte{9, 4, 0x86}, [3]byte{5, 1, 0x00})...)
	body = append(body, 2)
	for _, v := range []uint32{start + uint32(seconds), start, uint32(1000 * seconds), uint32(1000 * seconds), uint32(100 * distance)} {
		body = binary.LittleEndian.AppendUint32(body, v)
	}
	body = append(body, 1) // running
	return seal(body)
}

func semicircles(degrees float64) uint32 { return uint32(int32(degrees / 180 * (1 << 31))) }

// define writes a definition message: field number, size and base type each.
func define(local byte, message uint16, fields ...[3]byte) []byte {
	b := []byte{0x40 | local, 0, 0, byte(message), byte(message >> 8), byte(len(fields))}
	for _, f := range fields {
		b = append(b, f[:]...)
	}
	return b
}

// seal puts the header before and the checksum behind the messages.
func seal(body []byte) []byte {
	b := []byte{14, 0x20, 0x54, 0x08}
	b = binary.LittleEndian.AppendUint32(b, uint32(len(body)))
	b = append(b, ".FIT\x00\x00"...)
	b = append(b, body...)
	sum := crc16.New()
	sum.Write(b)
	return binary.LittleEndian.AppendUint16(b, sum.Sum16())
}

// season writes the runs to a folder.
func season(b *testing.B) string {
	b.Helper()
	folder := b.TempDir()
	for n := range benchRuns {
		if err := os.WriteFile(filepath.Join(folder, fmt.Sprintf("%04d.fit", n)), watchFIT(n, benchSeconds), 0o600); err != nil {
			b.Fatal(err)
		}
	}
	return folder
}

// BenchmarkImport imports the season whole (hash, keep, decode, clean, measure,
// commit) and has github.com/muktihari/fit decode it at its fastest setting, in
// turn, so that both meet the same machine. Its figures are the wall times and
// their ratio; the import's peak of live heap is that of the whole process
// between collections.
func BenchmarkImport(b *testing.B) {
	folder := season(b)
	var ours, theirs time.Duration
	rounds := 0
	var peak uint64
	for b.Loop() {
		stop := watchHeap(&peak)
		start := time.Now()
		s := &streams{out: io.Discard, err: os.Stderr, now: time.Now, env: func(string) string { return "" }}
		db := filepath.Join(b.TempDir(), "tidemark.db")
		if code := run(context.Background(), []string{"import", "--quiet", "--zone", "UTC", "--db", db, folder}, s); code != exitDone {
			b.Fatalf("exit %d", code)
		}
		ours += time.Since(start)
		stop()

		start = time.Now()
		records := 0
		for n := range benchRuns {
			data, err := os.ReadFile(filepath.Join(folder, fmt.Sprintf("%04d.fit", n)))
			if err != nil {
				b.Fatal(err)
			}
			records += decodePeer(b, data)
		}
		if records != benchRuns*benchSeconds {
			b.Fatalf("the peer read %d records", records)
		}
		theirs += time.Since(start)
		rounds++
	}
	b.ReportMetric(ours.Seconds()/float64(rounds), "import-s")
	b.ReportMetric(theirs.Seconds()/float64(rounds), "peer-s")
	b.ReportMetric(ours.Seconds()/theirs.Seconds(), "ratio")
	b.ReportMetric(float64(peak)/1e6, "peak-MB")
}

// historyRuns is a history of ten years.
const historyRuns = 5000

// BenchmarkHistory imports ten years of one-hour runs from one archive, and has the
// peer decode the same files; see BenchmarkImport. The ratio is the one that the
// import of a folder has, and the memory that of a fifth as many files.
func BenchmarkHistory(b *testing.B) {
	path := filepath.Join(b.TempDir(), "history.zip")
	writeHistory(b, path)
	var ours, theirs time.Duration
	var peak uint64
	rounds := 0
	for b.Loop() {
		stop := watchHeap(&peak)
		start := time.Now()
		s := &streams{out: io.Discard, err: os.Stderr, now: func() time.Time { return time.Date(2040, 1, 1, 0, 0, 0, 0, time.UTC) }, env: func(string) string { return "" }}
		db := filepath.Join(b.TempDir(), "tidemark.db")
		if code := run(context.Background(), []string{"import", "--quiet", "--zone", "UTC", "--db", db, path}, s); code != exitDone {
			b.Fatalf("exit %d", code)
		}
		ours += time.Since(start)
		stop()
		start = time.Now()
		records := 0
		archive, err := zip.OpenReader(path)
		if err != nil {
			b.Fatal(err)
		}
		for _, f := range archive.File {
			r, err := f.Open()
			if err != nil {
				b.Fatal(err)
			}
			data, err := io.ReadAll(r)
			if err != nil {
				b.Fatal(err)
			}
			records += decodePeer(b, data)
		}
		if records != historyRuns*benchSeconds {
			b.Fatalf("the peer read %d records", records)
		}
		theirs += time.Since(start)
		archive.Close()
		rounds++
	}
	b.ReportMetric(ours.Seconds()/float64(rounds), "import-s")
	b.ReportMetric(theirs.Seconds()/float64(rounds), "peer-s")
	b.ReportMetric(ours.Seconds()/theirs.Seconds(), "ratio")
	b.ReportMetric(float64(peak)/1e6, "peak-MB")
}

func writeHistory(b *testing.B, path string) {
	b.Helper()
	f, err := os.Create(path)
	if err != nil {
		b.Fatal(err)
	}
	w := zip.NewWriter(f)
	for n := range historyRuns {
		// Stored, as the peer and the import would both inflate it.
		member, err := w.CreateHeader(&zip.FileHeader{Name: fmt.Sprintf("%d/%04d.fit", n/500, n), Method: zip.Store})
		if err == nil {
			_, err = member.Write(watchFIT(n, benchSeconds))
		}
		if err != nil {
			b.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		b.Fatal(err)
	}
	if err := f.Close(); err != nil {
		b.Fatal(err)
	}
}

// watchHeap samples the memory that the process took from the system until it is
// stopped.
func watchHeap(peak *uint64) (stop func()) {
	done, ended := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(ended)
		for {
			var m runtime.MemStats
			runtime.ReadMemStats(&m)
			*peak = max(*peak, m.Sys-m.HeapReleased)
			select {
			case <-done:
				return
			case <-time.After(20 * time.Millisecond):
			}
		}
	}()
	return func() { close(done); <-ended }
}

// records counts and sums what the peer reads, field by field.
type records struct {
	n   int
	sum uint64
}

func (r *records) OnMesg(m proto.Message) {
	if m.Num != 20 {
		return
	}
	r.n++
	for i := range m.Fields {
		switch f := &m.Fields[i]; f.Num {
		case 253, 5, 73, 78:
			r.sum += uint64(f.Value.Uint32())
		case 0, 1:
			r.sum += uint64(f.Value.Int32())
		case 3, 4:
			r.sum += uint64(f.Value.Uint8())
		}
	}
}

func decodePeer(b *testing.B, data []byte) int {
	var r records
	d := decoder.New(bytes.NewReader(data), decoder.WithMesgListener(&r), decoder.WithBroadcastOnly(),
		decoder.WithIgnoreChecksum(), decoder.WithNoComponentExpansion())
	for d.Next() {
		if _, err := d.Decode(); err != nil {
			b.Fatal(err)
		}
	}
	return r.n
}
