package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// tabTime is how long one step in a tab may take before the test gives up: no
// measure of anything, only an end to waiting.
const tabTime = time.Minute

// tab is a tab of the browser with a store of its own.
type tab struct {
	*testing.T
	ctx     context.Context
	traffic *traffic
}

// openTab opens a tab that is closed with the test. What its pages complain of
// and where their requests go is watched until then.
func openTab(t *testing.T, browser context.Context, host string) *tab {
	t.Helper()
	ctx, cancel := chromedp.NewContext(browser, chromedp.WithNewBrowserContext())
	t.Cleanup(cancel)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("open tab: %v", err)
	}
	b := &tab{T: t, ctx: ctx, traffic: newTraffic(host)}
	if err := chromedp.Listen(ctx, b.traffic.hear); err != nil {
		t.Fatalf("listen to tab: %v", err)
	}
	t.Cleanup(func() { b.traffic.check(t) })
	return b
}

// perform runs an action in the tab and returns what it found.
func perform[T any](b *tab, a chromedp.Action[T]) T {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, tabTime)
	defer cancel()
	v, err := chromedp.Run(ctx, a)
	if err != nil {
		b.Fatal(err)
	}
	return v
}

// do runs steps in the tab.
func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	perform(b, chromedp.Steps(steps...))
}

// call runs a command of the DevTools protocol.
func call[P, R any](b *tab, c cdp.Command[P, R], params P) R {
	b.Helper()
	return perform(b, func(ctx context.Context, t *chromedp.Target) (R, error) { return cdp.Call(ctx, t, c, params) })
}

// eval returns the value of an expression in the page.
func eval[T any](b *tab, format string, args ...any) T {
	b.Helper()
	return perform(b, chromedp.Evaluate[T](fmt.Sprintf(format, args...), chromedp.EvalAwaitPromise))
}

// until waits for an expression in the page to be true.
func (b *tab) until(format string, args ...any) {
	b.Helper()
	perform(b, chromedp.Poll[chromedp.Void](fmt.Sprintf(format, args...), chromedp.WithPollingTimeout(tabTime)))
}

// open goes to an address, and returns when the page and all it loads is there.
// The status is that of the page.
func (b *tab) open(address string) (status int64) {
	b.Helper()
	status = perform(b, chromedp.NavigateResponse(address)).Status
	b.settle()
	return status
}

// settle waits for the requests that are under way.
func (b *tab) settle() {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, tabTime)
	defer cancel()
	if err := b.traffic.idle(ctx); err != nil {
		b.Fatal(err)
	}
}

// leave runs an action that leads to another page, and waits for that.
func (b *tab) leave(a chromedp.Action[chromedp.Void]) {
	b.Helper()
	perform(b, chromedp.WaitEvent(page.LoadEventFired, nil, a))
	b.settle()
}

// size gives the tab the screen of a phone (390) or a desk.
func (b *tab) size(width int64) {
	b.Helper()
	if width < 600 {
		b.do(chromedp.EmulateViewport(width, 844, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulatePortrait))
		return
	}
	b.do(chromedp.EmulateViewport(width, 900))
}

// scheme gives the tab a preferred colour scheme and a medium, screen or print.
func (b *tab) scheme(scheme, medium string) {
	b.Helper()
	call(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Media: medium, Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}},
	})
}

// picture keeps a picture of the whole page, if pictures are wanted.
func (b *tab) picture(name string, width int64, scheme string) {
	b.Helper()
	folder := os.Getenv(picturesVariable)
	if folder == "" {
		return
	}
	path := filepath.Join(folder, fmt.Sprintf("%s-%d-%s.png", name, width, scheme))
	if err := os.WriteFile(path, perform(b, chromedp.FullScreenshot(100)), 0o644); err != nil {
		b.Error(err)
	}
}

// text returns the text of the first element that the selector finds, with its
// spaces joined.
func (b *tab) text(selector string) string {
	b.Helper()
	return eval[string](b, `(document.querySelector(%s)?.textContent ?? "(nothing)").replace(/\s+/g, " ").trim()`, quoted(selector))
}

// value returns what is typed in a field.
func (b *tab) value(selector string) string {
	b.Helper()
	return eval[string](b, `document.querySelector(%s).value`, quoted(selector))
}

// count returns how many elements the selector finds.
func (b *tab) count(selector string) int {
	b.Helper()
	return eval[int](b, `document.querySelectorAll(%s).length`, quoted(selector))
}

// fill types into a field in place of what is there.
func (b *tab) fill(selector, text string) {
	b.Helper()
	b.do(chromedp.Clear(chromedp.CSS(selector)), chromedp.SendKeys(chromedp.CSS(selector), text))
}

// quoted writes a text as a script does.
func quoted(text string) string {
	out, err := json.Marshal(text)
	if err != nil {
		panic(err)
	}
	return string(out)
}

// quotedAll writes texts as a script does.
func quotedAll(texts []string) string {
	out, err := json.Marshal(texts)
	if err != nil {
		panic(err)
	}
	return string(out)
}
