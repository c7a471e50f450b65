package demo

import "time"

// files returns everything the member exported of a plan.
func (m *member) files(plan []dated) []File {
	var files, archived []File
	for _, d := range plan {
		switch d.as {
		case typed:
		case zippedFIT:
			archived = append(archived, m.export(d)...)
		default:
			files = append(files, m.export(d)...)
		}
	}
	if len(archived) > 0 {
		files = append(files, File{"watch-export.zip", zipBytes(archived)})
	}
	if m.planned != "" {
		files = append(files, File{"planned-route.gpx", plannedRoute(m.planned, head)})
	}
	if diary := m.diaryBytes(plan); diary != nil {
		files = append(files, File{"diary.csv", diary})
	}
	return files
}

// closeFrom is the length in metres from which a watch samples every second
// here: few runs, so that the files stay small.
const closeFrom = 12_000

// kindNames are the words of file names.
var kindNames = [...]string{easy: "run", long: "run", brisk: "run", walkRun: "run", halting: "run", belt: "treadmill", ride: "ride", stroll: "walk", rest: "rest"}

// export returns the file of a recorded outing, or both files where two devices
// were carried.
func (m *member) export(d dated) []File {
	chance := m.stream(d.date, forWatch)
	// A watch counts distance a little off the ground truth, up to 0.4 %.
	watch := device{every: 4, spread: 2.5, scale: 1 + 0.004*(2*chance.Float64()-1), chance: chance}
	if d.km*1000 >= closeFrom || d.kind == halting || d.kind == walkRun && m.number == 0 {
		watch.every = 1
	}
	if d.as == watchGPX || d.as == bareGPX || d.as == phoneGPX {
		// GPX has no count of the device's own, the way is all there is.
		watch.scale = 1
	}
	start := m.start(d)
	moments := m.perform(d, d.km*1000/watch.scale)
	name := stampName(start) + "-" + kindNames[d.kind]
	recorded := record(d, start, moments, watch)
	switch d.as {
	case watchTCX:
		return []File{{name + ".tcx", tcxBytes(&recorded)}}
	case watchGPX, bareGPX:
		return []File{{name + ".gpx", gpxBytes(&recorded, gpxLooks[d.as])}}
	case phoneGPX:
		return []File{{name + ".gpx", m.carried(d, start, moments, 0)}}
	case cutFIT:
		data := fitBytes(&recorded)
		return []File{{name + ".fit", data[:len(data)*7/10]}}
	case gzFIT:
		return []File{{name + ".fit.gz", gzipBytes(fitBytes(&recorded))}}
	case watchAndPhone:
		return []File{{name + ".fit", fitBytes(&recorded)}, {name + "-phone.gpx", m.carried(d, start, moments, phoneLate)}}
	}
	return []File{{name + ".fit", fitBytes(&recorded)}}
}

// phoneLate is for how many seconds the phone starts later than the watch and
// ends earlier, where both are carried.
const phoneLate = 25

// carried returns what a phone in the pocket kept of the same moments.
func (m *member) carried(d dated, start time.Time, moments []moment, late int) []byte {
	phone := device{every: 5, spread: 3.5, scale: 1, skip: late, chance: m.stream(d.date, forPhone)}
	recorded := record(d, start, moments, phone)
	return gpxBytes(&recorded, gpxLooks[phoneGPX])
}
