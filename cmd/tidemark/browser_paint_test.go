package main

import (
	"context"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
)

// A slow phone on a slow line; the figures are common practice for such trials,
// without a source.
const (
	slowdown  = 4
	lineBytes = 1.6e6 / 8 // a second
	lineWait  = 150       // milliseconds
)

// paint is when the largest part of a page was painted, in milliseconds, and how
// much of it was moved about, as Chromium measures both.
type paint struct{ Largest, Shift float64 }

// paintRead reads what the browser measured, once it has measured something.
const paintRead = `new Promise((done) => {
	let shift = 0;
	new PerformanceObserver((list) => { for (const e of list.getEntries()) shift += e.value; }).observe({ type: "layout-shift", buffered: true });
	new PerformanceObserver((list) => {
		const largest = list.getEntries().at(-1).startTime;
		requestAnimationFrame(() => requestAnimationFrame(() => done({ largest, shift })));
	}).observe({ type: "largest-contentful-paint", buffered: true });
})`

// slowPhone tells how soon the load page is painted on a slow phone, and wants
// nothing of it to move. The time hangs on the machine, so it is told and not
// judged; the weight of the page, which decides it, is judged by TestWeight of
// package web.
func slowPhone(t *testing.T, browser context.Context, club logbook) {
	b := openTab(t, browser, club.host)
	b.size(390)
	call(b, network.SetCacheDisabled, network.SetCacheDisabledParams{CacheDisabled: true})
	call(b, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: slowdown})
	call(b, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{MatchedNetworkConditions: []*network.Conditions{
		{Latency: lineWait, DownloadThroughput: lineBytes, UploadThroughput: lineBytes},
	}})
	b.open(club.page(edda, "/load"))
	got := eval[paint](b, paintRead)
	t.Logf("load page on a slow phone: largest paint after %.0f ms, shift %.4f", got.Largest, got.Shift)
	if got.Largest <= 0 {
		t.Error("nothing was measured")
	}
	if got.Shift != 0 {
		t.Errorf("parts of the page moved by %.4f while it was loaded", got.Shift)
	}
}
