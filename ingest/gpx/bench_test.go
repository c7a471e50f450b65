package gpx_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	gpxgo "github.com/tkrajina/gpxgo/gpx"

	"tidemark/ingest/gpx"
)

// BenchmarkDecode compares on the same bytes, in one run: this decoder,
// encoding/xml's tokens without any use made of them, and gpxgo's tree.
func BenchmarkDecode(b *testing.B) {
	inputs := []struct {
		name string
		data []byte
	}{{"80000points", []byte(document(points(80_000)))}}
	if corpus := os.Getenv("TIDEMARK_CORPUS"); corpus != "" {
		for _, name := range []string{"real/024.gpx", "real/055.gpx", "synth/base_run.gpx"} {
			if data, err := os.ReadFile(filepath.Join(corpus, name)); err == nil {
				inputs = append(inputs, struct {
					name string
					data []byte
				}{filepath.Base(name), data})
			}
		}
	}
	readers := []struct {
		name string
		read func([]byte) error
	}{
		{"tidemark", func(data []byte) error {
			_, err := gpx.Decode(data, gpx.DefaultLimits)
			return err
		}},
		{"rawtoken", rawTokens},
		{"gpxgo", func(data []byte) error {
			_, err := gpxgo.ParseBytes(data)
			return err
		}},
	}
	for _, in := range inputs {
		for _, r := range readers {
			b.Run(in.name+"/"+r.name, func(b *testing.B) {
				b.SetBytes(int64(len(in.data)))
				b.ReportAllocs()
				for b.Loop() {
					if err := r.read(in.data); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

func rawTokens(data []byte) error {
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		if _, err := d.RawToken(); err != nil {
			if errors.Is(err, io.EOF) {
				return nil
			}
			return err
		}
	}
}
