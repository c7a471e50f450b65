package main

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"tidemark/ingest"
	"tidemark/web/api/intake"
)

// list returns the files under paths in the order of a walk, and those that cannot
// be looked at. A link to a file is that file; a link to a folder is followed only
// where it was given by name, so that no walk goes in circles. What systems leave
// in folders is not listed.
func list(paths []string) (files []string, unreadable []intake.Result) {
	for _, root := range paths {
		if to, err := filepath.EvalSymlinks(root); err == nil && isDir(to) {
			root = to
		}
		_ = filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
			switch {
			case err != nil:
				unreadable = append(unreadable, intake.Result{Path: path, Err: intake.Plain(err)})
			case path == root && !entry.IsDir(), isFile(path, entry) && !ingest.IsAside(entry.Name()):
				files = append(files, path)
			}
			return nil
		})
	}
	return files, unreadable
}

func isDir(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// isFile reports whether an entry is a file, or a link to one or to nothing.
func isFile(path string, entry fs.DirEntry) bool {
	if entry.Type()&fs.ModeSymlink == 0 {
		return entry.Type().IsRegular()
	}
	info, err := os.Stat(path)
	return err != nil || info.Mode().IsRegular()
}

// openFile opens a file to be read anywhere. A pipe is read to its end first, as
// far as a recording may be long.
func openFile(path string) (intake.Source, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	info, err := f.Stat()
	switch {
	case err != nil:
	case info.Mode().IsRegular():
		return &openedFile{f, info.Size()}, nil
	case info.IsDir():
		err = &fs.PathError{Op: "read", Path: path, Err: errFolder}
	default:
		var data []byte
		if data, err = io.ReadAll(io.LimitReader(f, ingest.DefaultLimits.Raw+1)); err == nil {
			return &piped{bytes.NewReader(data), f}, nil
		}
	}
	_ = f.Close()
	return nil, err
}

var errFolder = errors.New("it is a folder")

// openedFile is a file as long as it was when it was opened.
type openedFile struct {
	*os.File
	size int64
}

func (f *openedFile) Size() int64 { return f.size }

// piped is what came through a pipe.
type piped struct {
	*bytes.Reader
	io.Closer
}
