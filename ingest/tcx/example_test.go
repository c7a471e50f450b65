package tcx_test

import (
	"fmt"
	"log"

	"tidemark/ingest/tcx"
)

// A run typed in by hand has laps without tracks: its sums are all there is.
func ExampleDecode() {
	const file = `<TrainingCenterDatabase><Activities>
	<Activity Sport="Running"><Id>2024-11-08T12:33:20+01:00</Id>
		<Lap StartTime="2024-11-08T12:33:20+01:00">
			<TotalTimeSeconds>900</TotalTimeSeconds><DistanceMeters>2600</DistanceMeters>
		</Lap>
	</Activity></Activities></TrainingCenterDatabase>`
	activities, err := tcx.Decode([]byte(file), tcx.DefaultLimits)
	if err != nil {
		log.Fatal(err)
	}
	for _, a := range activities {
		fmt.Println(a.Sport, a.Start.In(a.Offset).Format("2006-01-02 15:04"))
		fmt.Println(a.Totals.Timer, a.Totals.Distance, len(a.Samples))
		fmt.Println(a.Notes[0].Text)
	}

	_, err = tcx.Decode([]byte("<TrainingCenterDatabase><Courses/></TrainingCenterDatabase>"), tcx.DefaultLimits)
	fmt.Println(err)
	// Output:
	// running 2024-11-08 12:33
	// 15m0s 2600 0
	// no point has a usable time: the sums of the laps were taken
	// a course, not a recording (tcx, byte 24)
}
