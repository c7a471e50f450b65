package main

import (
	"context"
	"os"
	"os/exec"
	"testing"

	"github.com/chromedp/chromedp"

	"tidemark/load"
)

// browserVariable names the environment variable that makes what is missing for
// TestBrowser a fault instead of a reason to skip it: "required".
const browserVariable = "TIDEMARK_BROWSER"

// picturesVariable names the one that says where pictures of the pages go.
const picturesVariable = "TIDEMARK_PICTURES"

// TestBrowser drives the pages in a real browser. It needs Chromium in PATH and,
// for the part on accessibility, the path of axe.min.js in AXE_JS. Pictures of
// all pages go to the folder that TIDEMARK_PICTURES names.
func TestBrowser(t *testing.T) {
	path := browserPath(t)
	day, err := load.ParseDay("2026-06-01")
	if err != nil {
		t.Fatal(err)
	}
	if folder := os.Getenv(picturesVariable); folder != "" {
		if err := os.MkdirAll(folder, 0o755); err != nil {
			t.Fatal(err)
		}
	}
	club := serveClub(t, day)
	fresh := serveFresh(t, day)
	b := startBrowser(t, path)

	t.Run("every page", func(t *testing.T) { everyPage(t, b, club, fresh, serveShared(t, day)) })
	t.Run("lists", func(t *testing.T) { lists(t, b, day) })
	t.Run("widths", func(t *testing.T) { pictureWidths(t, b, club) })
	t.Run("read-out", func(t *testing.T) { readOuts(t, b, club) })
	t.Run("bars", func(t *testing.T) { barsAreTheTable(t, b, club) })
	t.Run("what if", func(t *testing.T) { whatIf(t, b, club) })
	t.Run("edit", func(t *testing.T) { editRun(t, b, club) })
	t.Run("gap", func(t *testing.T) { answerGap(t, b, club) })
	t.Run("morning", func(t *testing.T) { tapMorning(t, b, club) })
	t.Run("set up", func(t *testing.T) { setUpAtTheBench(t, b, day) })
	t.Run("queue", func(t *testing.T) { answerQueue(t, b, day) })
	t.Run("double", func(t *testing.T) { switchDouble(t, b, club) })
	t.Run("upload", func(t *testing.T) { upload(t, b, day) })
	t.Run("without scripts", func(t *testing.T) { withoutScripts(t, b, club, day) })
	t.Run("print", func(t *testing.T) { printed(t, b, club) })
	t.Run("slow phone", func(t *testing.T) { slowPhone(t, b, club) })
}

// missing skips the test for want of something, or fails it where that is not
// allowed.
func missing(t testing.TB, what string) {
	t.Helper()
	if os.Getenv(browserVariable) == "required" {
		t.Fatalf("%s=required, but %s", browserVariable, what)
	}
	t.Skipf("SKIPPED: %s", what)
}

func browserPath(t testing.TB) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	missing(t, "there is no Chromium in PATH, so no page was opened in a browser")
	return ""
}

// startBrowser returns the context of a browser that ends with the test.
func startBrowser(t testing.TB, path string) context.Context {
	t.Helper()
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.UserDataDir(t.TempDir()),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
	)
	allocator, end := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(end)
	ctx, cancel := chromedp.NewContext(allocator)
	t.Cleanup(cancel)
	// Without a limit: the first call's context is the browser's life.
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("start %s: %v", path, err)
	}
	return ctx
}
