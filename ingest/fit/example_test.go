package fit_test

import (
	"fmt"

	"tidemark/ingest/fit"
)

// A minute of running as a watch wrote it, and a file that is no recording.
func ExampleDecode() {
	data := newWriter().whole(moments(60), runSums()).file(header{})
	activities, err := fit.Decode(data, fit.DefaultLimits)
	if err != nil {
		fmt.Println(err)
		return
	}
	a := activities[0]
	fmt.Println(a.Sport, a.Start.In(a.Offset).Format("2006-01-02 15:04:05 -0700"))
	fmt.Printf("%d samples, %.0f m in %v, %d steps\n", len(a.Samples), a.Totals.Distance, a.Totals.Timer, a.Totals.Steps)

	_, err = fit.Decode(newWriter().fileID(6).file(header{}), fit.DefaultLimits)
	fmt.Println(err)
	// Output:
	// running 2024-11-08 12:33:20 +0100
	// 60 samples, 177 m in 59s, 166 steps
	// a course, not a recording (fit)
}
