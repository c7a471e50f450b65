package demo

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"fmt"
)

// gzipBytes returns data compressed, without a time of its own.
func gzipBytes(data []byte) []byte {
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	_, err := w.Write(data)
	if err == nil {
		err = w.Close()
	}
	if err != nil {
		panic(fmt.Sprintf("demo: write gzip: %v", err))
	}
	return out.Bytes()
}

// zipBytes returns the files in one archive.
func zipBytes(files []File) []byte {
	var out bytes.Buffer
	archive := zip.NewWriter(&out)
	err := error(nil)
	for _, f := range files {
		entry, createErr := archive.Create(f.Name)
		if createErr == nil {
			_, createErr = entry.Write(f.Data)
		}
		if err == nil {
			err = createErr
		}
	}
	if err == nil {
		err = archive.Close()
	}
	if err != nil {
		panic(fmt.Sprintf("demo: write zip: %v", err))
	}
	return out.Bytes()
}
