package main

import (
	"context"
	"math"
	"testing"
)

// phoneDays is how many days a phone shows at once, by the design of the picture.
const phoneDays = 60

// pictureWidths looks how much of the picture is in view: on a phone the last 60
// days of 84, on a desk all.
func pictureWidths(t *testing.T, browser context.Context, club logbook) {
	for _, tt := range []struct {
		width int64
		want  float64 // width of the drawing in that of its frame
	}{{390, float64(pictureDays) / phoneDays}, {1280, 1}} {
		b := openTab(t, browser, club.host)
		b.size(tt.width)
		b.open(club.page(edda, "/load"))
		box := eval[struct{ Left, Right, FrameLeft, FrameRight, Scroll, Client float64 }](b, `(() => {
			const scroll = document.querySelector(".tideline .scroll"), plot = scroll.querySelector(".plot").getBoundingClientRect(), frame = scroll.getBoundingClientRect();
			return { left: plot.left, right: plot.right, frameLeft: frame.left, frameRight: frame.right, scroll: scroll.scrollWidth, client: scroll.clientWidth };
		})()`)
		if got := box.Scroll / box.Client; math.Abs(got-tt.want) > 0.02*tt.want {
			t.Errorf("%d px: the drawing is %.3f times as wide as its frame, want %.3f", tt.width, got, tt.want)
		}
		if math.Abs(box.Right-box.FrameRight) > 1 {
			t.Errorf("%d px: the last day ends at %.1f px, the frame at %.1f", tt.width, box.Right, box.FrameRight)
		}
		first := (box.FrameLeft - box.Left) / (box.Right - box.Left) * pictureDays
		t.Logf("%d px: drawing %.1f px, frame %.1f px, first day in view %.2f", tt.width, box.Right-box.Left, box.Client, first)
		if want := pictureDays - float64(pictureDays)/tt.want; math.Abs(first-want) > 1 {
			t.Errorf("%d px: %.1f days are left of what is in view, want %.1f", tt.width, first, want)
		}
	}
}
