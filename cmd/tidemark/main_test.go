package main

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"context"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"
)

// The scripts run the test binary itself as tidemark.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"tidemark": main})
}

// TestScripts runs testdata/*.txtar: each is a list of commands and of what
// they must say. Besides testscript's own commands there are
//
//	run FILE N     writes the N-th one-hour FIT run, of N days after 2021-09-08
//	cut FILE N     leaves the first N bytes
//	gzip FILE      writes FILE.gz
//	zip FILE NAME... packs files into an archive
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata",
		Setup: func(env *testscript.Env) error {
			env.Setenv("TIDEMARK_DB", env.WorkDir+"/tidemark.db")
			env.Setenv("TZ", "Europe/London")
			env.Vars = append(env.Vars, noSleep)
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"run":  writeRun,
			"cut":  cutFile,
			"gzip": packGzip,
			"zip":  packZip,
		},
	})
}

func writeRun(ts *testscript.TestScript, _ bool, args []string) {
	n, err := strconv.Atoi(args[1])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), watchFIT(n, 3600), 0o600))
}

func cutFile(ts *testscript.TestScript, _ bool, args []string) {
	n, err := strconv.Atoi(args[1])
	ts.Check(err)
	ts.Check(os.Truncate(ts.MkAbs(args[0]), int64(n)))
}

func packGzip(ts *testscript.TestScript, _ bool, args []string) {
	var packed bytes.Buffer
	w := gzip.NewWriter(&packed)
	_, err := w.Write([]byte(ts.ReadFile(args[0])))
	ts.Check(err)
	ts.Check(w.Close())
	ts.Check(os.WriteFile(ts.MkAbs(args[0])+".gz", packed.Bytes(), 0o600))
}

func packZip(ts *testscript.TestScript, _ bool, args []string) {
	var packed bytes.Buffer
	w := zip.NewWriter(&packed)
	for _, name := range args[1:] {
		member, err := w.Create(name)
		ts.Check(err)
		_, err = member.Write([]byte(ts.ReadFile(name)))
		ts.Check(err)
	}
	ts.Check(w.Close())
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), packed.Bytes(), 0o600))
}

// command runs tidemark in this process and returns what it wrote and its exit
// code.
func command(ctx context.Context, args ...string) (out, errs string, code int) {
	var o, e bytes.Buffer
	s := &streams{out: &o, err: &e, now: time.Now, env: func(string) string { return "" }}
	code = run(ctx, args, s)
	return o.String(), e.String(), code
}
