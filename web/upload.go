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
	maxUpload   = 1 << 30
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
			var data []byte
			if err == nil {
				data, err = io.ReadAll(io.LimitReader(part, u.limit+1))
			}
			if err != nil {
				u.err = cut(err)
				return
			}
			if part.FileName() == "" {
				continue
			}
			// One that is larger than the whole may wait alone.
			weight := min(int64(len(data)), maxWaiting)
			if u.free.Acquire(ctx, weight) != nil {
				return
			}
			open := func() (io.ReadCloser, error) {
				return &waiting{bytes.NewReader(data), func() { u.free.Release(weight) }}, nil
			}
			if !yield(intake.File{Path: shortName(part.FileName()), Open: open}) {
				return
			}
		}
	}
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
