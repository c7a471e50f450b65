package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "tidemark"

// pure are the packages that know no clock, file, network, log, database,
// local zone or chance: data in, data out.
const pure = "load load/assess load/ramp load/rehab"

// pictures are as pure, but nothing under load draws.
const pictures = "web/chart"

// policy says which of our packages each package may import. It is a statement
// of architecture, not a list of what happens to be so: a new arrow is a
// decision, dated in DEVELOPERS.md, and never a way to make a build pass.
var policy = map[string]string{
	"load":                     "",
	"load/rehab":               "load",
	"load/ramp":                "load load/rehab",
	"load/assess":              "load load/rehab load/ramp",
	"load/journal":             pure,
	"load/journal/journaltest": pure + " load/journal",
	"load/journal/sqlite":      pure + " load/journal",

	"ingest/xmlscan":  "load",
	"ingest/fit":      "load",
	"ingest/gpx":      "load ingest/xmlscan",
	"ingest/tcx":      "load ingest/xmlscan",
	"ingest/diary":    "load",
	"ingest/mornings": "load load/rehab",
	"ingest":          "load ingest/fit ingest/gpx ingest/tcx ingest/diary ingest/mornings ingest/xmlscan",

	"web/api/wire":   pure + " load/journal",
	"web/api/intake": pure + " load/journal ingest web/api/wire",
	"web/api":        pure + " load/journal ingest web/api/intake web/api/wire",

	"web/letter": pure + " load/journal web/words",
	"web/words":  pure,
	"web":        pure + " load/journal ingest web/api web/api/intake web/api/wire web/chart web/export web/letter web/words",
	"web/chart":  pure,

	"web/export":       pure + " load/journal web/api/wire web/chart web/export/paper",
	"web/export/paper": "",

	"cmd/tidemark/demo": "load load/ramp load/rehab",
	"cmd/tidemark":      "*",
}

// impure are the imports that no pure package may have, whatever it does with
// them.
var impure = []string{
	"bufio", "context", "crypto", "database", "embed", "io", "log", "math/rand", "net", "os", "path/filepath",
	"runtime", "sync", "syscall", "testing", "unsafe",
}

// zones is the one ambient name that readers may use: a zone by its name is the
// same on every machine, because the database of zones is built in.
const zones = "LoadLocation"

// ambient are the names of otherwise harmless packages that read a clock or the
// machine's own zone.
var ambient = map[string][]string{
	"time": {"Now", "Since", "Until", "Local", zones, "Sleep", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker"},
	"fmt":  {"Print", "Printf", "Println", "Scan", "Scanf", "Scanln", "Fscan", "Fscanf", "Fscanln"},
}

// readers may read what they are handed and nothing else: no files, no network,
// no clock.
const readers = "ingest ingest/xmlscan ingest/fit ingest/gpx ingest/tcx ingest/diary"

var handed = []string{"bufio", "context", "io", "sync", "runtime", "unsafe", "crypto", "embed"}

func TestImports(t *testing.T) {
	found := sources(t)
	for name, allowed := range policy {
		files, ok := found[name]
		if !ok {
			t.Errorf("the policy has a row for %s, which is no package", name)
		}
		for _, f := range files {
			checkImports(t, name, f, strings.Fields(allowed))
		}
	}
	for name := range found {
		if _, ok := policy[name]; !ok {
			t.Errorf("package %s has no row in the policy", name)
		}
	}
}

func TestPurity(t *testing.T) {
	found := sources(t)
	for _, name := range strings.Fields(pure + " " + pictures) {
		for _, f := range found[name] {
			checkPure(t, f, impure, ambient)
		}
	}
	forReaders := maps.Clone(ambient)
	forReaders["time"] = slices.DeleteFunc(slices.Clone(ambient["time"]), func(s string) bool { return s == zones })
	for _, name := range strings.Fields(readers) {
		refused := slices.DeleteFunc(slices.Clone(impure), func(s string) bool { return slices.Contains(handed, s) })
		for _, f := range found[name] {
			checkPure(t, f, refused, forReaders)
		}
	}
}

// TestPackageComments wants one package comment a package, neither none nor
// several.
func TestPackageComments(t *testing.T) {
	for name, files := range sources(t) {
		var in []string
		for _, f := range files {
			if f.tree.Doc != nil {
				in = append(in, f.path)
			}
		}
		if len(in) != 1 {
			t.Errorf("package %s has %d package comments: %v", name, len(in), in)
		}
	}
}

// TestThePolicyCanFail feeds the checks what they must refuse.
func TestThePolicyCanFail(t *testing.T) {
	tests := []struct{ name, source string }{
		{"a clock", `package load; import "time"; var now = time.Now()`},
		{"a clock under another name", `package load; import clock "time"; var now = clock.Now`},
		{"the machine's zone", `package load; import "time"; var zone = time.Local`},
		{"a file", `package load; import "os"; var args = os.Args`},
		{"chance", `package load; import "math/rand/v2"; var n = rand.Int()`},
		{"output", `package load; import "fmt"; func f() { fmt.Println() }`},
		{"a journal", `package load; import "tidemark/load/journal"; var _ journal.Book`},
		{"a dot import", `package load; import . "time"; var now = Now()`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			set := token.NewFileSet()
			tree, err := parser.ParseFile(set, "x.go", tt.source, parser.ParseComments)
			if err != nil {
				t.Fatal(err)
			}
			f := source{"x.go", set, tree}
			if got := append(importFaults("load", f, nil), pureFaults(f, impure, ambient)...); len(got) == 0 {
				t.Error("nothing was found wrong with it")
			}
		})
	}
}

type source struct {
	path string
	set  *token.FileSet
	tree *ast.File
}

// sources parses every non-test file of the module in this process, so that the
// test is run again whenever one of them changes.
func sources(t *testing.T) map[string][]source {
	t.Helper()
	root := filepath.Join("..", "..")
	found := make(map[string][]source)
	err := filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := entry.Name()
		if entry.IsDir() && path != root && (strings.HasPrefix(name, ".") || name == "testdata") {
			return filepath.SkipDir
		}
		if entry.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return nil
		}
		set := token.NewFileSet()
		tree, err := parser.ParseFile(set, path, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		folder, err := filepath.Rel(root, filepath.Dir(path))
		found[filepath.ToSlash(folder)] = append(found[filepath.ToSlash(folder)], source{path, set, tree})
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func checkImports(t *testing.T, name string, f source, allowed []string) {
	t.Helper()
	for _, fault := range importFaults(name, f, allowed) {
		t.Error(fault)
	}
}

func importFaults(name string, f source, allowed []string) (faults []string) {
	for _, spec := range f.tree.Imports {
		path, _ := strconv.Unquote(spec.Path.Value)
		ours, ok := strings.CutPrefix(path, module+"/")
		if ok && !slices.Contains(allowed, ours) && !slices.Contains(allowed, "*") {
			faults = append(faults, f.path+": "+name+" may not import "+ours)
		}
	}
	return faults
}

func checkPure(t *testing.T, f source, refused []string, ambient map[string][]string) {
	t.Helper()
	for _, fault := range pureFaults(f, refused, ambient) {
		t.Error(fault)
	}
}

// pureFaults lists refused imports and ambient names that the file uses.
func pureFaults(f source, refused []string, ambient map[string][]string) (faults []string) {
	watched := make(map[string][]string) // local name of a package to its ambient names
	for _, spec := range f.tree.Imports {
		path, _ := strconv.Unquote(spec.Path.Value)
		for _, r := range refused {
			if path == r || strings.HasPrefix(path, r+"/") {
				faults = append(faults, f.path+": pure packages do not import "+path)
			}
		}
		local := path[strings.LastIndexByte(path, '/')+1:]
		if spec.Name != nil {
			local = spec.Name.Name
		}
		if names, ok := ambient[path]; ok {
			if local == "." {
				faults = append(faults, f.path+": "+path+" is imported with a dot")
			}
			watched[local] = names
		}
	}
	ast.Inspect(f.tree, func(n ast.Node) bool {
		selector, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		if from, ok := selector.X.(*ast.Ident); ok && slices.Contains(watched[from.Name], selector.Sel.Name) {
			faults = append(faults, f.set.Position(n.Pos()).String()+": "+from.Name+"."+selector.Sel.Name+" is not pure")
		}
		return true
	})
	return faults
}
