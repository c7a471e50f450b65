package ingest

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"tidemark/ingest/diary"
	"tidemark/load"
)

// mostEntries is how long an archive's directory may be to be read at all. It
// bounds the memory that the directory takes. Project default.
const mostEntries = 10_000

// entryMagic begins each entry of a zip's directory (APPNOTE.TXT 4.3.12).
var entryMagic = []byte("PK\x01\x02")

// unpackZip yields the members of a zip in the order of its directory.
func unpackZip(name string, data []byte, lim Limits, yield func(Recording, error) bool) {
	whole := Recording{Path: name}
	archive, err := openZip(data)
	if err != nil {
		yield(whole, err)
		return
	}
	files, left := 0, lim.Inflated
	for _, f := range archive.File {
		member := Recording{Path: name + "!" + printable(f.Name)}
		switch {
		case isFolder(f):
			continue
		case isAside(f.Name):
			if !yield(member, ErrAside) {
				return
			}
			continue
		case files == lim.Members:
			yield(whole, fmt.Errorf("%w: the %d after the first %d were left out; unpack it and import the folder",
				ErrMembers, countFiles(archive)-lim.Members, lim.Members))
			return
		case left <= 0:
			yield(whole, fmt.Errorf("%w: inflates to more than %s, the rest was left out; unpack it and import the folder",
				ErrTooLarge, size(lim.Inflated)))
			return
		}
		files++
		limit := min(left, lim.Raw)
		rec, err := unpackMember(f, limit)
		rec.Path = member.Path
		if errors.Is(err, ErrTooLarge) {
			left -= limit
		}
		left -= int64(len(rec.Data))
		if !yield(rec, err) {
			return
		}
	}
	if files == 0 {
		yield(whole, fmt.Errorf("%w: no file in the archive", ErrNoActivity))
	}
}

func openZip(data []byte) (*zip.Reader, error) {
	if n := bytes.Count(data, entryMagic); n > mostEntries {
		return nil, fmt.Errorf("%w: about %d; unpack it and import the folder", ErrMembers, n)
	}
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil && !errors.Is(err, zip.ErrInsecurePath) {
		return nil, &load.DecodeError{
			Format: "zip", Offset: -1,
			Err: fmt.Errorf("%w: cut short or damaged, no directory at its end", ErrArchive),
		}
	}
	for _, f := range archive.File {
		if f.Name == "[Content_Types].xml" {
			return nil, fmt.Errorf("%w: looks like an office document; save a spreadsheet as CSV", ErrUnknownFormat)
		}
	}
	return archive, nil
}

// unpackMember inflates one member of at most limit bytes.
func unpackMember(f *zip.File, limit int64) (Recording, error) {
	if f.Flags&1 != 0 {
		return Recording{}, fmt.Errorf("%w: unpack it with its password first", ErrEncrypted)
	}
	r, err := f.Open()
	if errors.Is(err, zip.ErrAlgorithm) {
		return Recording{}, fmt.Errorf("%w: packed by method %d, which is not read", ErrArchive, f.Method)
	}
	if err != nil {
		return Recording{}, fmt.Errorf("%w: %w", ErrArchive, err)
	}
	defer r.Close()

	data, err := readAtMost(r, limit)
	switch {
	case errors.Is(err, ErrTooLarge):
		return Recording{}, fmt.Errorf("%w: inflates to more than %s; %s", err, size(limit), hintFolder)
	case err != nil && (len(data) == 0 || diary.Sniff(data)):
		return Recording{}, &load.DecodeError{Format: "zip", Offset: -1, Err: reason(err)}
	case isGzip(data):
		// It has a checksum of its own, which tells of damage as well.
		return unpackGzip("", data, limit)
	case isZip(data):
		return Recording{}, errNestedHint
	}
	rec := Recording{Data: data}
	noteMember(&rec.Notes, err, len(data))
	return rec, nil
}

func noteMember(notes *load.Notes, err error, kept int) {
	switch {
	case err == nil:
	case errors.Is(err, zip.ErrChecksum):
		notes.Add(load.NoteChecksum, "the checksum in the archive does not match")
	case errors.Is(err, io.ErrUnexpectedEOF):
		notes.Add(load.NoteTruncated, "the archive is cut short: the first %s could be read", size(int64(kept)))
	default:
		notes.Add(load.NoteTruncated, "the archive is damaged: the first %s could be read", size(int64(kept)))
	}
}

func isFolder(f *zip.File) bool { return strings.HasSuffix(f.Name, "/") || f.FileInfo().IsDir() }

func countFiles(archive *zip.Reader) (n int) {
	for _, f := range archive.File {
		if !isFolder(f) && !isAside(f.Name) {
			n++
		}
	}
	return n
}

// isAside reports whether a member is one that a system adds to archives: the
// other half of a Macintosh file, or the look of a folder.
func isAside(name string) bool {
	base := path.Base(name)
	return strings.HasPrefix(name, "__MACOSX/") || strings.HasPrefix(base, "._") ||
		base == ".DS_Store" || strings.EqualFold(base, "thumbs.db") || strings.EqualFold(base, "desktop.ini")
}
