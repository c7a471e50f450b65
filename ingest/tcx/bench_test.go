package tcx_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"tidemark/ingest/tcx"
)

// BenchmarkDecode compares on the same bytes, in one run: this decoder and
// encoding/xml's tokens without any use made of them.
func BenchmarkDecode(b *testing.B) {
	inputs := []struct {
		name string
		data []byte
	}{{"60000points", []byte(run(60_000))}}
	if corpus := os.Getenv("TIDEMARK_CORPUS"); corpus != "" {
		for _, name := range []string{"real/056.tcx", "real/059.tcx", "synth/base_run.tcx"} {
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
			_, err := tcx.Decode(data, tcx.DefaultLimits)
			return err
		}},
		{"rawtoken", rawTokens},
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
