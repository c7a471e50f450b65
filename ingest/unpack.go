package ingest

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"iter"

	"tidemark/load"
)

// Recording is one file's worth of bytes, inflated.
type Recording struct {
	// Path is what the file was called, for people only: it is never opened or
	// written. Inside archives it is ARCHIVE!MEMBER.
	Path string
	Data []byte
	// Notes are what unpacking had to leave out. Decode hands them on.
	Notes load.Notes
}

// Sum returns the SHA-256 of the inflated bytes, by which a recording is known
// again however it was packed.
func (r Recording) Sum() [32]byte { return sha256.Sum256(r.Data) }

// Decode decodes the recording as the function Decode does, and puts its notes
// on the first activity.
func (r Recording) Decode(opt Options) (Decoded, error) {
	d, err := Decode(r.Data, opt)
	if err == nil && len(d.Activities) > 0 {
		first := &d.Activities[0]
		first.Notes = append(first.Notes, r.Notes...)
	}
	return d, err
}

// Unpack reads r, which may be a plain file, a gzip or a zip, and yields each
// recording in it in order, or why that one is refused. A refused one has Path
// only. Members of a zip may be gzips themselves; nothing is unpacked deeper.
//
// At any moment it holds the file as it was handed over and one recording, each
// at most lim.Raw bytes.
func Unpack(path string, r io.Reader, lim Limits) iter.Seq2[Recording, error] {
	return func(yield func(Recording, error) bool) {
		whole := Recording{Path: printable(path)}
		data, err := readAtMost(r, lim.Raw)
		switch {
		case errors.Is(err, ErrTooLarge):
			yield(whole, fmt.Errorf("%w: over %s; %s", ErrTooLarge, size(lim.Raw), hintFolder))
		case err != nil:
			yield(whole, fmt.Errorf("read file: %w", err))
		case isZip(data):
			unpackZip(whole.Path, data, lim, yield)
		case isGzip(data):
			yield(unpackGzip(whole.Path, data, min(lim.Raw, lim.Inflated)))
		default:
			whole.Data = data
			yield(whole, nil)
		}
	}
}

const hintFolder = "if it is an archive, unpack it and import the folder"

// readAtMost reads r to its end. With more than limit bytes in it, it returns
// ErrTooLarge; with an error, what came before.
func readAtMost(r io.Reader, limit int64) ([]byte, error) {
	var b bytes.Buffer
	n, err := io.Copy(&b, io.LimitReader(r, limit+1))
	if n > limit {
		return nil, ErrTooLarge
	}
	return b.Bytes(), err
}

// errNestedHint refuses a recording that is packed once more.
var errNestedHint = fmt.Errorf("%w: unpack it first", ErrNested)
