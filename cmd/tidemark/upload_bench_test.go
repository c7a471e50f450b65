package main

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"tidemark/ingest"
	"tidemark/load/journal"
	"tidemark/web"
)

// uploadRuns is how many files of an hour each are handed in at once.
const uploadRuns = 500

// BenchmarkUpload hands files in through the page in a browser, and imports them
// with the command, in turn, so that both meet the same machine. The time of the
// upload is from the press of the button to the last word on the page. The peak is
// the memory of this process, the server in it and not the browser.
func BenchmarkUpload(b *testing.B) {
	folder := b.TempDir()
	var files []string
	for n := range uploadRuns {
		path := filepath.Join(folder, fmt.Sprintf("%04d.fit", n))
		if err := os.WriteFile(path, watchFIT(n, benchSeconds), 0o600); err != nil {
			b.Fatal(err)
		}
		files = append(files, path)
	}
	browser := startBrowser(b, browserPath(b))
	var page, command time.Duration
	var peak uint64
	rounds := 0
	for b.Loop() {
		stop := watchHeap(&peak)
		page += uploadAll(b, browser, files)
		stop()
		start := time.Now()
		s := &streams{out: io.Discard, err: os.Stderr, now: time.Now, env: func(string) string { return "" }}
		if code := run(b.Context(), []string{"import", "--quiet", "--zone", "UTC", "--db", filepath.Join(b.TempDir(), "a.db"), folder}, s); code != exitDone {
			b.Fatalf("exit %d", code)
		}
		command += time.Since(start)
		rounds++
	}
	b.ReportMetric(page.Seconds()/float64(rounds), "page-s")
	b.ReportMetric(command.Seconds()/float64(rounds), "import-s")
	b.ReportMetric(page.Seconds()/command.Seconds(), "ratio")
	b.ReportMetric(float64(peak)/1e6, "peak-MB")
}

// uploadAll hands the files in at a server on a new journal.
func uploadAll(b *testing.B, browser context.Context, files []string) time.Duration {
	b.Helper()
	a := &app{ctx: b.Context(), streams: &streams{out: io.Discard, err: os.Stderr, now: time.Now}, Common: &Common{DB: filepath.Join(b.TempDir(), "a.db"), Zone: "UTC"}}
	j, err := a.open(true)
	if err != nil {
		b.Fatal(err)
	}
	defer j.Close()
	runner, err := a.runner(j, true)
	if err != nil {
		b.Fatal(err)
	}
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		b.Fatal(err)
	}
	server := http.Server{Handler: web.New(web.Options{Journal: j.Journal, Now: time.Now, Log: slog.New(slog.DiscardHandler), Limits: ingest.DefaultLimits})}
	go func() { _ = server.Serve(listener) }()
	defer server.Close()

	tab, end := chromedp.NewContext(browser, chromedp.WithNewBrowserContext())
	defer end()
	if err := chromedp.Do(tab,
		chromedp.Navigate(fmt.Sprintf("http://%s/r/%s/add", listener.Addr(), runner.ID)),
		chromedp.SetUploadFiles(chromedp.CSS("#files"), files),
	); err != nil {
		b.Fatal(err)
	}
	start := time.Now()
	if err := chromedp.Do(tab, chromedp.Click(chromedp.CSS("[data-upload] button")),
		chromedp.Poll[chromedp.Void](`document.querySelector("[data-results=done]") !== null`, chromedp.WithPollingTimeout(5*time.Minute))); err != nil {
		b.Fatal(err)
	}
	took := time.Since(start)
	book, err := j.Open(b.Context(), journal.Local, runner.ID)
	if err != nil {
		b.Fatal(err)
	}
	if all, err := book.Sessions(b.Context()); err != nil || len(all) != len(files) {
		b.Fatalf("%d sessions, %v", len(all), err)
	}
	return took
}
