package fit_test

import (
	"bufio"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// root is the project's folder as seen from this package.
const root = "../.."

// corpus returns the folder with real/, synth/ and bad/, and skips the test if
// there is none.
func corpus(tb testing.TB) string {
	tb.Helper()
	if !haveCorpus() {
		tb.Skipf("NO CORPUS in %s; set TIDEMARK_CORPUS to read real files", corpusDir())
	}
	return corpusDir()
}

func haveCorpus() bool {
	_, err := os.Stat(filepath.Join(corpusDir(), "real"))
	return err == nil
}

// corpusDir returns where the corpus is or would be.
func corpusDir() string {
	if dir := os.Getenv("TIDEMARK_CORPUS"); dir != "" {
		return dir
	}
	return filepath.Join(root, "../shared/corpus")
}

// moduleFiles returns the .fit files that a module of go.mod carries in the
// module cache, by their path inside the module.
func moduleFiles(tb testing.TB, module string) map[string][]byte {
	tb.Helper()
	dir := moduleDir(tb, module)
	files := make(map[string][]byte)
	err := filepath.WalkDir(filepath.Join(dir, "testdata"), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || filepath.Ext(path) != ".fit" {
			return err
		}
		name, err := filepath.Rel(dir, path)
		if err == nil {
			files[filepath.ToSlash(name)], err = os.ReadFile(path)
		}
		return err
	})
	if err != nil || len(files) == 0 {
		tb.Fatalf("find the test files of %s: %d found, %v", module, len(files), err)
	}
	return files
}

// moduleDir returns where the version of a module that go.mod names is kept.
func moduleDir(tb testing.TB, module string) string {
	tb.Helper()
	version := moduleVersion(tb, module)
	cache := os.Getenv("GOMODCACHE")
	if cache == "" {
		gopath := os.Getenv("GOPATH")
		if gopath == "" {
			home, err := os.UserHomeDir()
			if err != nil {
				tb.Fatal(err)
			}
			gopath = filepath.Join(home, "go")
		}
		cache = filepath.Join(filepath.SplitList(gopath)[0], "pkg", "mod")
	}
	return filepath.Join(cache, filepath.FromSlash(module)+"@"+version)
}

func moduleVersion(tb testing.TB, module string) string {
	tb.Helper()
	f, err := os.Open(filepath.Join(root, "go.mod"))
	if err != nil {
		tb.Fatal(err)
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if words := strings.Fields(lines.Text()); len(words) >= 2 && words[0] == module {
			return words[1]
		}
	}
	tb.Fatalf("go.mod does not name %s", module)
	return ""
}

// readFile returns a file's content.
func readFile(tb testing.TB, path string) []byte {
	tb.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		tb.Fatal(err)
	}
	return data
}
