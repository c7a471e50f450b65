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
	// written. Inside archives it is ARCHIVE!MEMBER, or ARCHIVE!ARCHIVE!MEMBER.
	Path string
	Data []byte
	// Notes are what unpacking had to leave out. Decode hands them on.
	Notes load.Notes
}

// IsMornings reports whether the file is one of mornings, which holds no recording.
func (r Recording) IsMornings() bool { return sniff(r.Data) == Mornings }

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

// Member is a part of a file that can be unpacked by itself: one entry of a zip, or
// the whole of any other file.
type Member struct {
	Path   string
	unpack func(yield func(Recording, error) bool)
}

// Recordings yields what the member holds, or why it is refused: one recording,
// or those of a zip in the zip. A refused one has Path only. Members of one file
// may be unpacked at the same time; each holds its own bytes, at most those of one
// recording and of the zip that it is in.
func (m Member) Recordings() iter.Seq2[Recording, error] { return m.unpack }

// Members parts a file of size bytes, which may be plain, a gzip or a zip, in its
// members in order, and says how many there are. Of a zip only the directory is
// read. src has to stay open until the last of them is unpacked.
//
// A zip in a zip is unpacked, one within that is refused; members of both may be
// gzips, but no gzip holds another archive.
func Members(path string, src io.ReaderAt, size int64, lim Limits) (n int, members iter.Seq[Member]) {
	path = Printable(path)
	if zipped(src) {
		return zipMembers(path, src, size, lim)
	}
	whole := Member{path, func(yield func(Recording, error) bool) { yield(unpackPlain(path, src, size, lim)) }}
	return 1, func(yield func(Member) bool) { yield(whole) }
}

// Unpack yields each recording of a file in order, as Members and Recordings do.
func Unpack(path string, src io.ReaderAt, size int64, lim Limits) iter.Seq2[Recording, error] {
	return func(yield func(Recording, error) bool) {
		_, members := Members(path, src, size, lim)
		for m := range members {
			for rec, err := range m.Recordings() {
				if !yield(rec, err) {
					return
				}
			}
		}
	}
}

// unpackPlain reads a file that is no zip. It may have grown since its size was
// looked at.
func unpackPlain(path string, src io.ReaderAt, size int64, lim Limits) (Recording, error) {
	rec := Recording{Path: path}
	data, err := readAtMost(io.NewSectionReader(src, 0, max(size, lim.Raw+1)), lim.Raw)
	switch {
	case errors.Is(err, ErrTooLarge):
		return rec, fmt.Errorf("%w: over %s, which no recording is", ErrTooLarge, sizeOf(lim.Raw))
	case err != nil:
		return rec, fmt.Errorf("read file: %w", err)
	case isGzip(data):
		return unpackGzip(path, data, lim.Inflated)
	}
	rec.Data = data
	return rec, nil
}

// zipped looks at the first bytes of a file.
func zipped(src io.ReaderAt) bool {
	var head [4]byte
	n, _ := src.ReadAt(head[:], 0) // a file that cannot be read says so later
	return isZip(head[:n])
}

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
