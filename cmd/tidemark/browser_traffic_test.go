package main

import (
	"context"
	"fmt"
	"maps"
	"net/url"
	"slices"
	"sync"
	"testing"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
)

// traffic is what a tab requested, and what its pages complained of.
type traffic struct {
	host string

	mu       sync.Mutex
	waiting  map[network.RequestID]string // addresses
	requests []string                     // addresses
	bytes    float64                      // as they came, headers included
	faults   []string
	changed  chan struct{}
}

func newTraffic(host string) *traffic {
	return &traffic{host: host, waiting: make(map[network.RequestID]string), changed: make(chan struct{}, 1)}
}

// hear takes in one event of the tab.
func (f *traffic) hear(event any) {
	f.mu.Lock()
	defer f.mu.Unlock()
	switch e := event.(type) {
	case *network.EventRequestWillBeSent:
		f.sent(e)
	case *network.EventResponseReceived:
		if e.Response.Status >= 400 && e.Type != network.ResourceTypeDocument {
			f.faults = append(f.faults, fmt.Sprintf("%s was answered with %d", e.Response.URL, e.Response.Status))
		}
	case *network.EventLoadingFinished:
		f.bytes += e.EncodedDataLength
		f.ended(e.RequestID)
	case *network.EventLoadingFailed:
		f.ended(e.RequestID)
		if !e.Canceled {
			f.faults = append(f.faults, "a request failed: "+e.ErrorText)
		}
	case *log.EventEntryAdded:
		f.logged(e.Entry)
	case *runtime.EventExceptionThrown:
		f.faults = append(f.faults, fmt.Sprintf("an exception was thrown: %s %v", e.ExceptionDetails.Text, e.ExceptionDetails.Exception))
	case *runtime.EventConsoleAPICalled:
		f.faults = append(f.faults, fmt.Sprintf("a script wrote to the console: %s", e.Type))
	case *page.EventJavascriptDialogOpening:
		f.faults = append(f.faults, "a dialog was opened: "+e.Message)
	}
}

func (f *traffic) sent(e *network.EventRequestWillBeSent) {
	if e.Type != network.ResourceTypeOther { // an icon: if the tab goes on meanwhile, no end is told
		f.waiting[e.RequestID] = e.Request.URL
	}
	f.requests = append(f.requests, e.Request.URL)
	// The icons of the browser's own date fields are no requests of the page.
	if to, err := url.Parse(e.Request.URL); err != nil || to.Host != f.host && to.Scheme != "data" {
		f.faults = append(f.faults, "a request went elsewhere: "+e.Request.URL)
	}
}

func (f *traffic) ended(id network.RequestID) {
	delete(f.waiting, id)
	select {
	case f.changed <- struct{}{}:
	default:
	}
}

// logged keeps warnings and errors of the browser. That a page came with an
// error status is no fault of its own: tests look at the status.
func (f *traffic) logged(e *log.Entry) {
	if e.Level != log.EntryLevelError && e.Level != log.EntryLevelWarning || e.Source == log.EntrySourceNetwork {
		return
	}
	f.faults = append(f.faults, fmt.Sprintf("the browser logged, of %s: %s", e.Source, e.Text))
}

// idle waits until no request is under way.
func (f *traffic) idle(ctx context.Context) error {
	for {
		f.mu.Lock()
		waiting := slices.Collect(maps.Values(f.waiting))
		f.mu.Unlock()
		if len(waiting) == 0 {
			return nil
		}
		select {
		case <-f.changed:
		case <-ctx.Done():
			return fmt.Errorf("wait for %q: %w", waiting, ctx.Err())
		}
	}
}

// take returns how many requests there were since the last call, and their bytes.
func (f *traffic) take() (requests int, bytes float64) {
	f.mu.Lock()
	defer f.mu.Unlock()
	requests, bytes = len(f.requests), f.bytes
	f.requests, f.bytes = nil, 0
	return requests, bytes
}

// check reports what was wrong since the last call.
func (f *traffic) check(t *testing.T) {
	t.Helper()
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, fault := range f.faults {
		t.Error(fault)
	}
	f.faults = nil
}
