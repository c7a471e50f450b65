package gpx_test

import (
	"fmt"
	"log"

	"tidemark/ingest/gpx"
)

// A watch that was stopped once writes two segments, and the stop between them
// becomes a pause.
func ExampleDecode() {
	const file = `<gpx version="1.1" creator="a watch">
	<trk><name>Along the dyke</name><type>running</type>
	<trkseg>
		<trkpt lat="10.0001" lon="-30.0"><ele>4</ele><time>2024-11-08T11:33:20Z</time></trkpt>
		<trkpt lat="10.0004" lon="-30.0"><ele>4</ele><time>2024-11-08T11:33:30Z</time></trkpt>
	</trkseg>
	<trkseg>
		<trkpt lat="10.0004" lon="-30.0"><ele>4</ele><time>2024-11-08T11:35:30Z</time></trkpt>
		<trkpt lat="10.0007" lon="-30.0"><ele>5</ele><time>2024-11-08T11:35:40Z</time></trkpt>
	</trkseg></trk></gpx>`
	activities, err := gpx.Decode([]byte(file), gpx.DefaultLimits)
	if err != nil {
		log.Fatal(err)
	}
	for _, a := range activities {
		fmt.Println(a.Name, a.Sport, len(a.Samples), a.Pauses[0].Duration())
	}

	_, err = gpx.Decode([]byte("<gpx><rte><rtept lat='10' lon='-30'/></rte></gpx>"), gpx.DefaultLimits)
	fmt.Println(err)
	// Output:
	// Along the dyke running 4 2m0s
	// a planned route, not a recording (gpx, byte 5)
}
