package load

const projectDefault = "project default"

// baselineKeys begin the keys of what a newcomer answers.
const baselineKeys = "baseline-"

// SettingTable is the one list of settings; pages, checks and the journal read
// it.
var SettingTable = []Setting{
	{Group: GroupRunner, Key: "novice", Unit: "switch", Max: 1, What: "running for less than six months", Source: projectDefault, whole: true, field: func(s *Settings) *float64 { return &s.Novice }},
	{Group: GroupRunner, Key: "baseline-longest-km", Unit: "km", Min: 0.5, Max: 300, Optional: true, What: "longest run of the 30 days before", Source: said, field: func(s *Settings) *float64 { return &s.BaselineLongestKM }},
	{Group: GroupRunner, Key: "baseline-longest-min", Unit: "min", Min: 3, Max: 2000, Optional: true, What: "longest run of the 30 days before", Source: said, field: func(s *Settings) *float64 { return &s.BaselineLongestMin }},
	{Group: GroupRunner, Key: "baseline-week-km", Unit: "km", Min: 0.5, Max: 400, Optional: true, What: "a usual week", Source: said, field: func(s *Settings) *float64 { return &s.BaselineWeekKM }},
	{Group: GroupRunner, Key: "baseline-week-min", Unit: "min", Min: 3, Max: 3000, Optional: true, What: "a usual week", Source: said, field: func(s *Settings) *float64 { return &s.BaselineWeekMin }},
	{Group: GroupRunner, Key: "baseline-runs", Unit: "runs", Min: 1, Max: 21, Optional: true, What: "runs in a usual week", Source: said, whole: true, field: func(s *Settings) *float64 { return &s.BaselineRuns }},

	{Group: GroupHeart, Key: "heart-max", Unit: "bpm", Min: 100, Max: 240, Optional: true, What: "highest heart rate, measured", Source: said, field: func(s *Settings) *float64 { return &s.HeartMaxBPM }},
	{Group: GroupHeart, Key: "heart-rest", Unit: "bpm", Min: 25, Max: 120, Optional: true, What: "heart rate at rest", Source: said, field: func(s *Settings) *float64 { return &s.HeartRest }},
	{Group: GroupHeart, Key: "birth-year", Unit: "year", Min: 1900, Max: 2100, Optional: true, What: "year of birth, to estimate the highest heart rate where it was not measured", Source: said, whole: true, field: func(s *Settings) *float64 { return &s.BirthYear }},
	{Group: GroupHeart, Key: "heart-formula", Unit: "choice", Max: float64(len(MaxFormulas) - 1), Options: formulaNames(), What: "estimate of the highest heart rate", Source: "Tanaka 2001, Gulati 2010 (women), Zhu 2010 (18 to 50 years); each some 10 bpm wrong in one person", whole: true, field: func(s *Settings) *float64 { return &s.HeartFormula }},
	{Group: GroupHeart, Key: "heart-method", Unit: "choice", Max: 1, Options: []string{"impulse by the sample (Banister)", "five zones (Edwards)"}, What: "how heart rates are weighed", Source: "Banister 1991 and Edwards 1993, as cited", whole: true, field: func(s *Settings) *float64 { return &s.HeartMethod }},
	{Group: GroupHeart, Key: "heart-constants", Unit: "choice", Max: 1, Options: []string{"0.64 and 1.92, found in men", "0.86 and 1.67, found in women"}, What: "constants of the impulse", Source: "Banister 1991, as cited; small samples", whole: true, field: func(s *Settings) *float64 { return &s.HeartConstants }},

	{Group: GroupTendon, Key: "strike", Unit: "choice", Max: 3, Options: []string{"not said", "on the heel", "on the middle", "on the forefoot"}, What: "how the foot lands", Source: "force up to 5 % more on the middle, 10 % on the forefoot: Almonroeder 2013", whole: true, field: func(s *Settings) *float64 { return &s.Strike }},
	{Group: GroupTendon, Key: "minimal-shoes", Unit: "switch", Max: 1, What: "minimal shoes, or none", Source: "force 10 % more: value from memory, direction only", whole: true, field: func(s *Settings) *float64 { return &s.MinimalShoes }},

	{Group: GroupLimits, Key: "session-share", Unit: "share", Default: 0.10, Max: 0.30, What: "growth of the longest session and day", Source: "Frandsen 2025: the reference class ends at 10 %", field: func(s *Settings) *float64 { return &s.SessionShare }},
	{Group: GroupLimits, Key: "session-km", Unit: "km", Default: 0.5, Max: 2, What: "least growth of a session or day", Source: projectDefault, field: func(s *Settings) *float64 { return &s.SessionKM }},
	{Group: GroupLimits, Key: "session-min", Unit: "min", Default: 3, Max: 15, What: "least growth of a session or day", Source: projectDefault, field: func(s *Settings) *float64 { return &s.SessionMin }},
	{Group: GroupLimits, Key: "week-share", Unit: "share", Default: 0.30, Max: 0.60, What: "growth of the week", Source: "Nielsen 2014: weak", field: func(s *Settings) *float64 { return &s.WeekShare }},
	{Group: GroupLimits, Key: "week-most-km", Unit: "km", Default: 12, Min: 1, Max: 40, What: "most that a week may grow by share", Source: projectDefault, field: func(s *Settings) *float64 { return &s.WeekMostKM }},
	{Group: GroupLimits, Key: "week-most-min", Unit: "min", Default: 60, Min: 5, Max: 240, What: "most that a week may grow by share", Source: projectDefault, field: func(s *Settings) *float64 { return &s.WeekMostMin }},
	{Group: GroupLimits, Key: "week-km", Unit: "km", Default: 2, Max: 10, What: "least growth of a week", Source: projectDefault, field: func(s *Settings) *float64 { return &s.WeekKM }},
	{Group: GroupLimits, Key: "week-min", Unit: "min", Default: 10, Max: 60, What: "least growth of a week", Source: projectDefault, field: func(s *Settings) *float64 { return &s.WeekMin }},
	{Group: GroupLimits, Key: "break-week-share", Unit: "share", Default: 0.75, Min: 0.25, Max: 1, What: "of the week before a break of 8 to 14 days", Source: projectDefault, field: func(s *Settings) *float64 { return &s.BreakWeekShare }},
	{Group: GroupLimits, Key: "long-break-share", Unit: "share", Default: 0.5, Min: 0.1, Max: 1, What: "of sessions, days and week before a break of 15 to 28 days", Source: projectDefault, field: func(s *Settings) *float64 { return &s.LongBreakShare }},
	{Group: GroupLimits, Key: "step-in-min", Unit: "min", Default: 20, Min: 1, Max: 60, What: "a first run with nothing to go by", Source: projectDefault, field: func(s *Settings) *float64 { return &s.StepInMin }},
	{Group: GroupLimits, Key: "step-in-speed", Unit: "m/s", Default: 2.4, Min: 1.4, Max: 4, What: "easy speed by which a first run in minutes becomes a distance", Source: "slowest preferred speed measured by van Oeveren 2017", field: func(s *Settings) *float64 { return &s.StepInMPS }},

	{Group: GroupWarnings, Key: "jump-share", Unit: "share", Default: 0.30, Min: 0.10, Max: 1, What: "a week over the best held week by more is a jump", Source: "Nielsen 2014, Damsted 2019: weak", field: func(s *Settings) *float64 { return &s.JumpShare }},
	{Group: GroupWarnings, Key: "jump-km", Unit: "km", Default: 5, Min: 1, Max: 30, What: "least that a jump of the week is", Source: projectDefault, field: func(s *Settings) *float64 { return &s.JumpKM }},
	{Group: GroupWarnings, Key: "jump-min", Unit: "min", Default: 30, Min: 5, Max: 180, What: "least that a jump of the week is", Source: projectDefault, field: func(s *Settings) *float64 { return &s.JumpMin }},
	{Group: GroupWarnings, Key: "fast-factor", Unit: "times", Default: 1.15, Min: 1.05, Max: 1.5, What: "fast is above so many times the median speed of 28 days", Source: projectDefault, field: func(s *Settings) *float64 { return &s.FastFactor }},
	{Group: GroupWarnings, Key: "demand-share", Unit: "share", Default: 0.30, Min: 0.10, Max: 1, What: "fast minutes, ascent or tendon load over the best of 30 days by more is a new demand", Source: projectDefault, field: func(s *Settings) *float64 { return &s.DemandShare }},
	{Group: GroupWarnings, Key: "demand-min", Unit: "min", Default: 5, Min: 1, Max: 60, What: "least that fast minutes are over that best", Source: projectDefault, field: func(s *Settings) *float64 { return &s.FastMin }},
	{Group: GroupWarnings, Key: "demand-ascent", Unit: "m", Default: 100, Min: 20, Max: 1000, What: "least that an ascent is over that best", Source: projectDefault, field: func(s *Settings) *float64 { return &s.AscentM }},
	{Group: GroupWarnings, Key: "demand-tendon", Unit: "km", Default: 2, Min: 0.5, Max: 20, What: "least that a tendon load is over that best", Source: projectDefault, field: func(s *Settings) *float64 { return &s.TendonLeast }},
	{Group: GroupWarnings, Key: "ratio-rule", Unit: "switch", Max: 1, What: "warn of a high ratio of the week to the weeks before", Source: "off: in runners it has not predicted injury", whole: true, field: func(s *Settings) *float64 { return &s.RatioRule }},
	{Group: GroupWarnings, Key: "ratio-limit", Unit: "times", Default: 1.5, Min: 1.1, Max: 4, What: "from which ratio on", Source: "team sports (Gabbett 2016, value from memory)", field: func(s *Settings) *float64 { return &s.RatioLimit }},
	{Group: GroupWarnings, Key: "monotone-rule", Unit: "switch", Max: 1, What: "warn of seven days that are much alike", Source: "off: no study of runners was seen", whole: true, field: func(s *Settings) *float64 { return &s.MonotoneRule }},
	{Group: GroupWarnings, Key: "monotone-limit", Unit: "times", Default: 2, Min: 1, Max: 5, What: "above which monotony", Source: "Foster 1998, value from memory", field: func(s *Settings) *float64 { return &s.MonotoneLimit }},

	{Group: GroupWindows, Key: "assumed-rest-days", Unit: "days", Default: 10, Max: 60, What: "days without a record that count as rest", Source: projectDefault, whole: true, field: func(s *Settings) *float64 { return &s.AssumedRestDays }},
	{Group: GroupWindows, Key: "population-sd", Unit: "switch", Max: 1, What: "monotony with the population form of the standard deviation", Source: "Foster 2001 does not say which", whole: true, field: func(s *Settings) *float64 { return &s.PopulationSD }},
}

const said = "what the runner says"

func formulaNames() (names []string) {
	for _, f := range MaxFormulas {
		names = append(names, f.Name)
	}
	return names
}
