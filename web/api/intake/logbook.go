package intake

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"path"
	"regexp"
	"strings"

	"tidemark/ingest"
	"tidemark/load/journal"
	"tidemark/web/api/wire"
)

// mostLogbook is how large the JSON of a logbook may be, in bytes: ten years of everything,
// daily, are some 10 MB. Project default.
const mostLogbook = 64 << 20

// Logbook is a whole logbook in a zip, read but for its originals.
type Logbook struct {
	Kept *journal.Kept
	Sum  journal.Sum // of its JSON

	name   string // of the JSON in the zip
	limits ingest.Limits
	files  map[journal.Sum]*zip.File
	names  map[journal.Sum]string
}

// FindLogbook returns the JSON of the zip that a file is, if that is a logbook's zip: it
// holds a logbook.json, at its root or in the one folder that somebody packed, which
// begins as one. Nothing more is read; ok is false for anything else.
func FindLogbook(src io.ReaderAt, size int64) (f *zip.File, archive *zip.Reader, ok bool) {
	var magic [4]byte
	if n, _ := src.ReadAt(magic[:], 0); string(magic[:n]) != "PK\x03\x04" {
		return nil, nil, false // as of a zip that holds something (APPNOTE.TXT 4.3.7)
	}
	archive, err := ingest.OpenZip(src, size)
	if err != nil {
		return nil, nil, false // it is told by whoever reads the file as recordings
	}
	for _, f := range archive.File {
		if path.Base(f.Name) != wire.LogbookFile || strings.Count(f.Name, "/") > 1 || ingest.IsAside(f.Name) {
			continue
		}
		r, err := f.Open()
		if err != nil {
			continue
		}
		head := make([]byte, 512)
		n, _ := io.ReadFull(r, head)
		_ = r.Close()
		if wire.IsLogbook(head[:n]) {
			return f, archive, true
		}
	}
	return nil, nil, false
}

// OpenLogbook reads the JSON of a logbook's zip and looks whether every original that it
// names is there. The error says what is wrong and where.
func OpenLogbook(f *zip.File, archive *zip.Reader, lim ingest.Limits) (*Logbook, error) {
	data, err := inflate(f, mostLogbook)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", wire.LogbookFile, err)
	}
	book, err := wire.ReadLogbook(data)
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", wire.LogbookFile, err)
	}
	l := &Logbook{Sum: sha256.Sum256(data), name: f.Name, limits: lim, files: make(map[journal.Sum]*zip.File), names: make(map[journal.Sum]string)}
	if l.Kept, err = book.Kept(); err != nil {
		return nil, fmt.Errorf("read %s: %w", wire.LogbookFile, err)
	}
	if err := l.find(book, archive, strings.TrimSuffix(f.Name, wire.LogbookFile)); err != nil {
		return nil, fmt.Errorf("read %s: %w", wire.LogbookFile, err)
	}
	return l, nil
}

// find looks up the originals, each in a member of its own.
func (l *Logbook) find(book *wire.Logbook, archive *zip.Reader, folder string) error {
	if n := len(book.Originals); n > l.limits.Members {
		return fmt.Errorf("%w: %d originals, at most %d", ingest.ErrMembers, n, l.limits.Members)
	}
	members := make(map[string]*zip.File, len(archive.File))
	for _, f := range archive.File {
		members[f.Name] = f
	}
	var total int64
	for i, o := range book.Originals {
		switch total += o.Size; {
		case !memberName.MatchString(o.File):
			return fmt.Errorf("originals[%d].file: %.60q: want a plain name in %s", i, o.File, wire.OriginalsFolder)
		case o.Size < 0 || o.Size > l.limits.Inflated || total > l.limits.Archive:
			return fmt.Errorf("originals[%d].size_bytes: %w", i, ingest.ErrTooLarge)
		}
		if f := members[folder+o.File]; f != nil {
			delete(members, f.Name) // so that no other original is the same bytes once more
			l.files[journal.Sum(o.SHA256)] = f
		}
		l.names[journal.Sum(o.SHA256)] = o.File
		l.Kept.Originals[i].Path = printable(o.Path)
	}
	return nil
}

// printable is a path of which each part is fit to be shown.
func printable(path string) string {
	parts := strings.Split(path, "!")
	for i := range parts {
		parts[i] = ingest.Printable(parts[i])
	}
	return strings.Join(parts, "!")
}

// memberName is how an original may be called in the zip, as in the schema.
var memberName = regexp.MustCompile(`^` + wire.OriginalsFolder + `[A-Za-z0-9][A-Za-z0-9._-]*$`)

var (
	errNoMember = errors.New("it is not in the zip")
	errSum      = errors.New("its SHA-256 is not the one in " + wire.LogbookFile + ", so it is not the file that was kept; copy or download the zip again")
)

// original returns the bytes of an original, which are those that were kept elsewhere.
func (l *Logbook) original(o *journal.Original) ([]byte, error) {
	f := l.files[o.Sum]
	if f == nil {
		return nil, errNoMember
	}
	data, err := inflate(f, o.Size)
	switch {
	case errors.Is(err, zip.ErrChecksum), err == nil && journal.Sum(sha256.Sum256(data)) != o.Sum, errors.Is(err, ingest.ErrTooLarge):
		return nil, errSum
	case err != nil:
		return nil, err
	}
	return data, nil
}

// inflate returns the whole of a member of at most limit bytes.
func inflate(f *zip.File, limit int64) ([]byte, error) {
	if f.Flags&1 != 0 {
		return nil, ingest.ErrEncrypted
	}
	r, err := f.Open()
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ingest.ErrArchive, err)
	}
	defer r.Close()
	var out bytes.Buffer
	out.Grow(int(min(f.UncompressedSize64, 1<<20))) // what it claims of itself may be forged
	n, err := io.Copy(&out, io.LimitReader(r, limit+1))
	switch {
	case n > limit:
		return nil, fmt.Errorf("%w: more than %d bytes", ingest.ErrTooLarge, limit)
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return nil, fmt.Errorf("%w: the archive is damaged; copy or download it again", ingest.ErrCut)
	case err != nil:
		return nil, fmt.Errorf("%w: %w; copy or download it again", ingest.ErrArchive, err)
	}
	return out.Bytes(), nil
}
