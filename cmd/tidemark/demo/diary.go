package demo

import "tidemark/load"

// eddaWeeks is the main story up to the run that is far too long. Each long run
// adds 5 to 8 %, every fourth week is easier. In week -8 a cold begins: ten days
// without a run, then a careful return that overtakes nothing.
var eddaWeeks = []week{
	{-15, []outing{
		{day: 2, km: 5.5, rpe: 3},
		{day: 4, km: 5.0, as: watchTCX},
		{day: 5, km: 4.5},
		{day: 7, km: 8.3, kind: long, rpe: 4},
	}},
	{-14, []outing{
		{day: 2, km: 5.0},
		{day: 4, km: 6.0, kind: brisk, rpe: 5},
		{day: 6, km: 22, kind: ride},
		{day: 7, km: 8.9, kind: long},
	}},
	{-13, []outing{
		{day: 2, km: 5.5, as: cutFIT},
		{day: 4, km: 6.0, as: zippedFIT},
		{day: 5, km: 4.5, as: zippedFIT},
		{day: 7, km: 9.5, kind: long, rpe: 4},
	}},
	{-12, []outing{
		{day: 2, km: 4.5, as: watchGPX},
		{day: 4, km: 5.0, as: typed, rpe: 3, note: "watch left at home"},
		{day: 7, km: 7.2, kind: long},
	}},
	{-11, []outing{
		{day: 2, km: 5.5, as: watchTCX},
		{day: 4, km: 6.0, as: watchAndPhone},
		{day: 5, km: 4.5, rpe: 2},
		{day: 7, km: 10.1, kind: long},
	}},
	{-10, []outing{
		{day: 2, km: 5.5},
		{day: 3, km: 4.5, as: bareGPX},
		{day: 4, km: 5.0, as: typed, at: "19:00", rpe: 9, race: true, note: "harbour five"},
		{day: 7, km: 10.7, kind: long, rpe: 5},
	}},
	{-9, []outing{
		{day: 2, km: 5.5},
		{day: 4, km: 6.5, kind: halting},
		{day: 5, km: 5.0, as: watchTCX},
		{day: 7, km: 11.3, kind: long, rpe: 5},
	}},
	{-8, []outing{
		{day: 2, km: 5.0, rpe: 6},
	}},
	{-7, []outing{
		{day: 6, km: 3.5, kind: walkRun, rpe: 3},
	}},
	{-6, []outing{
		{day: 2, km: 4.5, kind: belt},
		{day: 4, km: 4.5, as: typed, rpe: 3, note: "battery flat"},
		{day: 7, km: 6.5, kind: long, rpe: 4},
	}},
	{-5, []outing{
		{day: 2, km: 5.0},
		{day: 4, km: 5.0, as: watchGPX},
		{day: 7, km: 7.6, kind: long},
	}},
	{-4, []outing{
		{day: 2, km: 5.0, as: watchTCX},
		{day: 4, km: 5.0, rpe: 3},
		{day: 5, km: 4.0},
		{day: 7, km: 8.2, kind: long},
	}},
	{-3, []outing{
		{day: 2, km: 5.0},
		{day: 4, km: 5.5, kind: brisk, rpe: 5},
		{day: 5, km: 4.5},
		{day: 7, km: 8.8, kind: long, rpe: 4},
	}},
	{-2, []outing{
		{day: 2, km: 4.5, as: gzFIT},
		{day: 4, km: 4.5, rpe: 2},
		{day: 7, km: 7.0, kind: long},
	}},
	{-1, []outing{
		{day: 2, km: 4.5},
		{day: 4, km: 5.5, rpe: 4},
		{day: 6, km: 4.5},
		{day: 7, km: 9.4, kind: long, rpe: 4},
	}},
	{0, []outing{
		{day: 2, km: 6.0, rpe: 4},
		{day: 3, km: 4.5},
		{day: 5, km: 5.5, rpe: 5},
		{day: 6, km: 3.5},
	}},
}

// eddaLeap is the run itself: 13.4 km where 9.4 km was the longest of 30 days.
var eddaLeap = outing{km: 13.4, kind: long, rpe: 8}

// eddaAfter is what follows; here day counts from the leap.
var eddaAfter = []outing{
	{day: 1, kind: rest, as: typed, note: "left heel stiff getting up"},
	{day: 2, km: 5.0, rpe: 4},
	{day: 3, km: 3.0, kind: stroll, as: typed},
	{day: 4, km: 5.5, rpe: 4},
	{day: 6, km: 6.5, kind: long},
	{day: 8, km: 4.5},
}

// eddaPlan joins the three parts around the leap.
func eddaPlan(today load.Day) []dated {
	leap := leapDay(today)
	var plan []dated
	for _, d := range calendar(eddaWeeks, longRunDay(leap)) {
		if d.date < leap {
			plan = append(plan, d)
		}
	}
	plan = append(plan, dated{eddaLeap, leap})
	for _, o := range eddaAfter {
		plan = append(plan, dated{o, leap + load.Day(o.day)})
	}
	return plan
}

// joryWeeks is a beginner's: walking and running in turn, with a phone.
var joryWeeks = []week{
	{-4, []outing{
		{day: 2, km: 2.4, kind: walkRun, as: phoneGPX},
		{day: 4, km: 2.4, kind: walkRun, as: phoneGPX},
		{day: 6, km: 2.6, kind: walkRun, as: phoneGPX},
	}},
	{-3, []outing{
		{day: 2, km: 2.5, kind: walkRun, as: phoneGPX},
		{day: 4, km: 2.5, as: typed, kind: walkRun, rpe: 5, note: "phone at home"},
		{day: 6, km: 2.8, kind: walkRun, as: phoneGPX},
	}},
	{-2, []outing{
		{day: 2, km: 2.7, kind: walkRun, as: phoneGPX},
		{day: 4, km: 2.7, kind: walkRun, as: phoneGPX},
		{day: 6, km: 3.0, kind: walkRun, as: phoneGPX},
	}},
	{-1, []outing{
		{day: 2, km: 2.8, kind: walkRun, as: phoneGPX},
		{day: 4, km: 2.8, kind: walkRun, as: phoneGPX},
		{day: 6, km: 3.2, kind: walkRun, as: phoneGPX},
	}},
	{0, []outing{
		{day: 2, km: 3.0, kind: walkRun, as: watchTCX, note: "first watch"},
		{day: 4, km: 3.0, kind: walkRun, as: watchTCX},
		{day: 6, km: 3.4, kind: walkRun, as: watchTCX},
	}},
	{1, []outing{
		{day: 2, km: 3.0, kind: walkRun, as: watchTCX},
		{day: 4, km: 3.0, kind: walkRun, as: watchTCX},
	}},
}

// joryPlan ends his weeks on Sundays.
func joryPlan(today load.Day) []dated { return calendar(joryWeeks, lastSunday(today)) }

// heddaWeek is every week of hers.
var heddaWeek = []outing{
	{day: 2, km: 6.0},
	{day: 4, km: 7.0},
	{day: 7, km: 10.0, kind: long},
}

// heddaPlan repeats her week for ten weeks and the one under way.
func heddaPlan(today load.Day) []dated {
	return calendar(repeat(heddaWeek, -9, 1), lastSunday(today))
}

// repeat makes every week from first to last of the same lines. The long run of
// the week before comes first, so that the history begins with the longest run
// and nothing in it is new.
func repeat(lines []outing, first, last int) []week {
	weeks := []week{{first - 1, lines[len(lines)-1:]}}
	for n := first; n <= last; n++ {
		weeks = append(weeks, week{n, lines})
	}
	return weeks
}

// oskWeek is every week of his, until the watch goes silent.
var oskWeek = []outing{
	{day: 2, km: 6.5},
	{day: 5, km: 5.5},
	{day: 7, km: 9.0, kind: long},
}

// silence is for how many days Osk's watch has sent nothing.
const silence = 20

// oskPlan repeats his week for seven weeks and ends it silence days ago.
func oskPlan(today load.Day) []dated {
	return calendar(repeat(oskWeek, -6, 0), today-silence)
}
