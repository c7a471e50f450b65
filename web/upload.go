package web

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"strings"
	"time"

	"golang.org/x/sync/semaphore"

	"tidemark/web/api/intake"
)

// Bounds of one request that hands in files; project defaults. A request may be
// slow, as long as something comes.
const (
	maxUpload   = 4 << 30 // as much as an archive may inflate to
	maxFiles    = 10_000
	maxFileName = 255 // bytes
	uploadPause = 30 * time.Second
	uploadTime  = time.Hour
	maxWaiting  = 8 << 20 // bytes that were read and not decoded yet

	// uploadsAtOnce bounds the memory of all of them; others wait their turn.
	uploadsAtOnce = 2
)

// errCut ends an upload of which the rest did not come, or was too much.
var (
	errCut     = errors.New("the rest was not read")
	errTooMuch = fmt.Errorf("%w: more", errCut)
)

// uploading hands the parts of a form to the intake one after another.
type uploading struct {
	parts *multipart.Reader
	limit int64
	free  *semaphore.Weighted
	err   error // why it ended early; read after the files are done
}

func (u *uploading) files(ctx context.Context) func(func(intake.File) bool) {
	return func(yield func(intake.File) bool) {
		for n := 0; ; n++ {
			part, err := u.parts.NextPart()
			if err == io.EOF {
				return
			}
			if n == maxFiles {
				u.err = fmt.Errorf("%w than %d files at once", errTooMuch, maxFiles)
				return
			}
			var file intake.File
			if err == nil {
				file, err = u.file(ctx, part)
			}
			if err != nil {
				u.err = cut(err)
				return
			}
			if part.FileName() != "" && !yield(file) {
				return
			}
		}
	}
}

// file takes one part in: a zip to a file of its own, anything else to memory.
func (u *uploading) file(ctx context.Context, part *multipart.Part) (file intake.File, err error) {
	file.Path = shortName(part.FileName())
	head := make([]byte, 4)
	n, err := io.ReadFull(part, head)
	if err != nil && err != io.EOF && err != io.ErrUnexpectedEOF {
		return file, err
	}
	whole := io.MultiReader(bytes.NewReader(head[:n]), part)
	if string(head[:n]) == zipMagic {
		kept, err := spool(whole)
		file.Open = func() (intake.Source, error) { return kept, err }
		if _, full := errors.AsType[*noRoom](err); full {
			return file, nil // told as the fate of this file
		}
		return file, err
	}
	data, err := io.ReadAll(io.LimitReader(whole, u.limit+1))
	if err != nil {
		return file, err
	}
	// One that is larger than the whole may wait alone.
	weight := min(int64(len(data)), maxWaiting)
	if err := u.free.Acquire(ctx, weight); err != nil {
		return file, err
	}
	file.Open = func() (intake.Source, error) {
		return &waiting{bytes.NewReader(data), func() { u.free.Release(weight) }}, nil
	}
	return file, nil
}

// zipMagic begins a zip that holds something (APPNOTE.TXT 4.3.7).
const zipMagic = "PK\x03\x04"

// noRoom is why an archive could not be laid down.
type noRoom struct{ error }

func (e *noRoom) Error() string {
	return "the archive does not fit on this machine's disk for the time of reading: make room, or unpack it and add the files"
}

func (e *noRoom) Unwrap() error { return e.error }

// spooled is an archive in a file that goes with it.
type spooled struct {
	*os.File
	size int64
}

func (s *spooled) Size() int64 { return s.size }

func (s *spooled) Close() error {
	_ = os.Remove(s.Name())
	return s.File.Close()
}

// spool lays an archive down in a temporary file. What cannot be written is noRoom;
// other errors are those of r.
func spool(r io.Reader) (*spooled, error) {
	f, err := os.CreateTemp("", "tidemark-upload-*.zip")
	if err != nil {
		return nil, &noRoom{err}
	}
	// Where a file may be removed while it is open, a kill leaves none behind.
	_ = os.Remove(f.Name())
	out := &spooled{File: f}
	in := &reading{Reader: r}
	if out.size, err = io.Copy(f, in); err != nil {
		_ = out.Close()
		if in.err != nil && in.err != io.EOF {
			return nil, in.err
		}
		_, _ = io.Copy(io.Discard, r) // so that the files after it are read
		return nil, &noRoom{err}
	}
	return out, nil
}

// reading remembers why reading ended.
type reading struct {
	io.Reader
	err error
}

func (r *reading) Read(p []byte) (n int, err error) {
	n, err = r.Reader.Read(p)
	r.err = err
	return n, err
}

// shortName is the end of a name that is too long.
func shortName(name string) string {
	if len(name) > maxFileName {
		name = strings.ToValidUTF8(name[len(name)-maxFileName:], "")
	}
	return name
}

// cut keeps what the reader may know of an error while a form was read.
func cut(err error) error {
	if tooLarge, ok := errors.AsType[*http.MaxBytesError](err); ok {
		return fmt.Errorf("%w than %s at once", errTooMuch, size(tooLarge.Limit))
	}
	if errors.Is(err, os.ErrDeadlineExceeded) {
		return fmt.Errorf("%w: nothing came any more", errCut)
	}
	return fmt.Errorf("%w: it broke off", errCut)
}

// waiting is a file in memory that makes room when it is closed.
type waiting struct {
	*bytes.Reader
	close func()
}

func (f *waiting) Close() error {
	f.close()
	return nil
}

// patient is a body that may come slowly but not stop.
type patient struct {
	io.ReadCloser
	control *http.ResponseController
	pause   time.Duration
	end     time.Time
}

func newPatient(w http.ResponseWriter, body io.ReadCloser, pause time.Duration) *patient {
	end := time.Now().Add(uploadTime)
	p := &patient{body, http.NewResponseController(w), pause, end}
	_ = p.control.SetWriteDeadline(end.Add(sendTime)) // recorders in tests have none
	return p
}

func (p *patient) Read(b []byte) (int, error) {
	next := time.Now().Add(p.pause)
	if next.After(p.end) {
		next = p.end
	}
	_ = p.control.SetReadDeadline(next)
	return p.ReadCloser.Read(b)
}
