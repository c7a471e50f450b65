package ingest

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"iter"
	"path"
	"strings"
	"sync/atomic"

	"tidemark/ingest/diary"
	"tidemark/load"
)

// mostEntries is how long an archive's directory may be to be read at all, folders
// and what systems add included. It bounds the memory that the directory takes,
// about half a kilobyte for each. Project default.
const mostEntries = 50_000

// entryMagic begins each entry of a zip's directory (APPNOTE.TXT 4.3.12).
var entryMagic = []byte("PK\x01\x02")

// deepest is how many zips may lie within each other.
const deepest = 2

// purse is what is left to a zip and to those in it.
type purse struct {
	lim   Limits
	files atomic.Int64 // read so far
	bytes atomic.Int64 // inflated so far
	told  atomic.Bool  // that there is no more
}

// zipMembers lists the members of a zip in the order of its directory.
func zipMembers(name string, src io.ReaderAt, size int64, lim Limits) (n int, members iter.Seq[Member]) {
	p := &purse{lim: lim}
	archive, err := OpenZip(src, size)
	if err != nil {
		refused := Member{name, func(yield func(Recording, error) bool) { yield(Recording{Path: name}, err) }}
		return 1, func(yield func(Member) bool) { yield(refused) }
	}
	n = countFiles(archive)
	return max(1, n), func(yield func(Member) bool) {
		for m := range p.members(name, archive, 1) {
			if !yield(m) {
				return
			}
		}
	}
}

// members lists what a zip at some depth holds.
func (p *purse) members(name string, archive *zip.Reader, depth int) iter.Seq[Member] {
	return func(yield func(Member) bool) {
		files := 0
		for _, f := range archive.File {
			if isFolder(f) {
				continue
			}
			files++
			m := Member{name + "!" + Printable(f.Name), nil}
			m.unpack = func(yield func(Recording, error) bool) { p.unpack(name, m.Path, f, depth, yield) }
			if !yield(m) {
				return
			}
		}
		if files == 0 {
			err := fmt.Errorf("%w: no file in the archive", ErrNoActivity)
			yield(Member{name, func(yield func(Recording, error) bool) { yield(Recording{Path: name}, err) }})
		}
	}
}

// unpack yields what one member holds. Once the purse is empty, the first that
// finds it so says it for the whole archive, and the others are silent.
func (p *purse) unpack(name, path string, f *zip.File, depth int, yield func(Recording, error) bool) {
	whole := Recording{Path: name}
	left := p.lim.Archive - p.bytes.Load()
	switch {
	case IsAside(f.Name):
		yield(Recording{Path: path}, ErrAside)
		return
	case p.files.Add(1) > int64(p.lim.Members):
		if !p.told.Swap(true) {
			yield(whole, fmt.Errorf("%w: those after the first %d were left out; unpack it and import the folder", ErrMembers, p.lim.Members))
		}
		return
	case left <= 0:
		if !p.told.Swap(true) {
			yield(whole, fmt.Errorf("%w: it inflates to more than %s, and the rest was left out; unpack it and import the folder", ErrTooLarge, sizeOf(p.lim.Archive)))
		}
		return
	}
	limit := min(left, p.lim.Inflated)
	data, notes, err := inflateMember(f, limit)
	if errors.Is(err, ErrTooLarge) {
		p.bytes.Add(limit)
	}
	p.bytes.Add(int64(len(data)))
	switch {
	case err != nil:
		yield(Recording{Path: path}, err)
	case isZip(data):
		p.unpackNested(path, data, depth+1, yield)
	case isGzip(data):
		// It has a checksum of its own, which tells of damage as well.
		rec, err := unpackGzip(path, data, min(p.lim.Inflated, max(0, p.lim.Archive-p.bytes.Load())))
		p.bytes.Add(int64(len(rec.Data)))
		yield(rec, err)
	default:
		yield(Recording{Path: path, Data: data, Notes: notes}, nil)
	}
}

// unpackNested yields what a zip in a zip holds, one member after another.
func (p *purse) unpackNested(path string, data []byte, depth int, yield func(Recording, error) bool) {
	refused := Recording{Path: path}
	if depth > deepest {
		yield(refused, errNestedHint)
		return
	}
	archive, err := OpenZip(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		yield(refused, err)
		return
	}
	for m := range p.members(path, archive, depth) {
		for rec, err := range m.Recordings() {
			if !yield(rec, err) {
				return
			}
		}
	}
}

// OpenZip reads the directory of a zip of size bytes, if it is one of recordings or of a
// logbook. Names in it are only to be looked up and shown.
func OpenZip(src io.ReaderAt, size int64) (*zip.Reader, error) {
	n, err := countEntries(io.NewSectionReader(src, 0, size))
	switch {
	case err != nil:
		return nil, fmt.Errorf("read file: %w", err)
	case n > mostEntries:
		return nil, fmt.Errorf("%w: about %d; unpack it and import the folder", ErrMembers, n)
	}
	archive, err := zip.NewReader(src, size)
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return nil, &load.DecodeError{
			Format: "zip", Offset: -1,
			Err: fmt.Errorf("%w: cut short or damaged, no directory at its end; copy or download it again", ErrArchive),
		}
	}
	for _, f := range archive.File {
		if f.Name == "[Content_Types].xml" {
			return nil, fmt.Errorf("%w: looks like an office document; save a spreadsheet as CSV", ErrUnknownFormat)
		}
	}
	return archive, nil
}

// countEntries counts what looks like entries of a directory, whatever the archive
// claims, in a small buffer.
func countEntries(r io.Reader) (n int, err error) {
	const keep = 3 // bytes of a magic that the end of a piece may have cut
	buf := make([]byte, 1<<20)
	have := 0
	for {
		read, err := io.ReadFull(r, buf[have:])
		piece := buf[:have+read]
		n += bytes.Count(piece, entryMagic)
		if err == io.EOF || err == io.ErrUnexpectedEOF {
			return n, nil
		}
		if err != nil {
			return n, err
		}
		have = copy(buf, piece[len(piece)-keep:])
	}
}

// inflateMember returns the bytes of one member, at most limit of them.
func inflateMember(f *zip.File, limit int64) (data []byte, notes load.Notes, err error) {
	if f.Flags&1 != 0 {
		return nil, nil, fmt.Errorf("%w: unpack it with its password first", ErrEncrypted)
	}
	r, err := f.Open()
	if errors.Is(err, zip.ErrAlgorithm) {
		return nil, nil, fmt.Errorf("%w: packed by method %d, which is not read; unpack it and import the folder", ErrArchive, f.Method)
	}
	if err != nil {
		return nil, nil, fmt.Errorf("%w: %w", ErrArchive, err)
	}
	defer r.Close()

	data, err = readAtMost(r, limit)
	switch {
	case errors.Is(err, ErrTooLarge):
		return nil, nil, fmt.Errorf("%w: inflates to more than %s, which no recording does", err, sizeOf(limit))
	case err != nil && (len(data) == 0 || isZip(data) || diary.Sniff(data)):
		return nil, nil, &load.DecodeError{Format: "zip", Offset: -1, Err: reason(err)}
	case !isGzip(data):
		noteMember(&notes, err, len(data))
	}
	return data, notes, nil
}

func noteMember(notes *load.Notes, err error, kept int) {
	switch {
	case err == nil:
	case errors.Is(err, zip.ErrChecksum):
		notes.Add(load.NoteChecksum, "the checksum in the archive does not match, so something in the file was changed; it was read all the same")
	case errors.Is(err, io.ErrUnexpectedEOF):
		notes.Add(load.NoteTruncated, "the archive is cut short: the first %s could be read", sizeOf(int64(kept)))
	default:
		notes.Add(load.NoteTruncated, "the archive is damaged: the first %s could be read", sizeOf(int64(kept)))
	}
}

func isFolder(f *zip.File) bool { return strings.HasSuffix(f.Name, "/") || f.FileInfo().IsDir() }

func countFiles(archive *zip.Reader) (n int) {
	for _, f := range archive.File {
		if !isFolder(f) {
			n++
		}
	}
	return n
}

// IsAside reports whether a file, by its name, is one that a system adds to folders
// and archives: the other half of a Macintosh file, or the look of a folder.
func IsAside(name string) bool {
	base := path.Base(name)
	return strings.HasPrefix(name, "__MACOSX/") || strings.HasPrefix(base, "._") ||
		base == ".DS_Store" || strings.EqualFold(base, "thumbs.db") || strings.EqualFold(base, "desktop.ini")
}
