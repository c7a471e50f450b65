package journal

import (
	"fmt"
	"sync"

	"github.com/klauspost/compress/zstd"
)

// The checksum of an original is its SHA-256, so zstd's own is left out.
var encoder = sync.OnceValue(func() *zstd.Encoder {
	e, err := zstd.NewWriter(nil, zstd.WithEncoderLevel(zstd.SpeedFastest), zstd.WithEncoderCRC(false))
	if err != nil {
		panic(err) // only wrong options fail
	}
	return e
})

var decoder = sync.OnceValue(func() *zstd.Decoder {
	d, err := zstd.NewReader(nil, zstd.WithDecoderConcurrency(0), zstd.WithDecoderMaxMemory(maxOriginal))
	if err != nil {
		panic(err)
	}
	return d
})

// maxOriginal is the most that one original may unpack to, in bytes. A day of
// one-second samples in the wordiest of the formats stays below 100 MB.
// Project default.
const maxOriginal = 1 << 30

// Pack compresses the inflated bytes of a recording for keeping. It may be
// called from many goroutines at the same time.
func Pack(b []byte) []byte { return encoder().EncodeAll(b, nil) }

// Unpack is the inverse of Pack. Bytes that Pack did not make are ErrDamaged.
func Unpack(packed []byte) ([]byte, error) {
	b, err := decoder().DecodeAll(packed, nil)
	if err != nil {
		return nil, fmt.Errorf("unpack original: %w: %w", ErrDamaged, err)
	}
	return b, nil
}
