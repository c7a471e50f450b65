package gpx_test

import (
	"go/build"
	"os"
	"path/filepath"
	"testing"
)

// module returns the folder of a module in the module cache, or skips. The go
// command has put it there if the test compiles against it.
func module(t testing.TB, path string) string {
	t.Helper()
	cache := os.Getenv("GOMODCACHE")
	if cache == "" {
		cache = filepath.Join(filepath.SplitList(build.Default.GOPATH)[0], "pkg", "mod")
	}
	dir := filepath.Join(cache, filepath.FromSlash(path))
	if _, err := os.Stat(dir); err != nil {
		t.Skipf("SKIPPED, NOTHING WAS TESTED: no module in %s", dir)
	}
	return dir
}
