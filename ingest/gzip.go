package ingest

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"

	"tidemark/ingest/diary"
	"tidemark/load"
)

// unpackGzip inflates a gzip of at most limit bytes. One that is cut short or
// damaged gives what inflates, with a note; a watch's file can be salvaged, but
// a diary would end in the middle of a number, so that is refused.
func unpackGzip(path string, data []byte, limit int64) (Recording, error) {
	rec := Recording{Path: path}
	out, err := inflate(data, limit)
	if errors.Is(err, ErrTooLarge) {
		return rec, fmt.Errorf("%w: inflates to more than %s", err, sizeOf(limit))
	}
	damaged := err != nil && !errors.Is(err, errTrailing)
	if damaged && (len(out) == 0 || diary.Sniff(out)) {
		return rec, &load.DecodeError{Format: "gzip", Offset: -1, Err: reason(err)}
	}
	if isGzip(out) || isZip(out) {
		return rec, errNestedHint
	}
	noteDamage(&rec.Notes, err, len(out))
	rec.Data = out
	return rec, nil
}

// errTrailing is what follows a complete gzip and is none.
var errTrailing = errors.New("bytes after its end")

// inflate returns the inflated bytes, also beside an error, except for
// ErrTooLarge.
func inflate(data []byte, limit int64) ([]byte, error) {
	src := bytes.NewReader(data)
	z, err := gzip.NewReader(src)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	for {
		z.Multistream(false)
		_, err := io.Copy(&out, io.LimitReader(z, limit+1-int64(out.Len())))
		if int64(out.Len()) > limit {
			return nil, ErrTooLarge
		}
		if err != nil {
			return out.Bytes(), err
		}
		switch err := z.Reset(src); {
		case errors.Is(err, io.EOF):
			return out.Bytes(), nil
		case err != nil:
			return out.Bytes(), errTrailing
		}
	}
}

func noteDamage(notes *load.Notes, err error, kept int) {
	switch {
	case err == nil:
	case errors.Is(err, errTrailing):
		notes.Add(load.NoteTrailing, "what follows the end of the gzip was left out")
	case errors.Is(err, gzip.ErrChecksum):
		notes.Add(load.NoteChecksum, "the checksum of the gzip does not match, so something in the file was changed; it was read all the same")
	default:
		notes.Add(load.NoteTruncated, "the archive is cut short or damaged: the first %s could be read", sizeOf(int64(kept)))
	}
}

// reason returns an error of compress/gzip or archive/zip in words of this package.
func reason(err error) error {
	switch {
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return ErrCut
	case errors.Is(err, gzip.ErrChecksum), errors.Is(err, zip.ErrChecksum):
		return fmt.Errorf("%w: the checksum does not match", ErrArchive)
	}
	return fmt.Errorf("%w: %w", ErrArchive, err)
}
