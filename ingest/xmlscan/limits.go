package xmlscan

// Limits bound what one document may cost. A zero field takes its value from
// DefaultLimits.
type Limits struct {
	Depth      int // elements open at once; a deeper document is refused
	Text       int // bytes kept of one attribute or text; the rest is left out
	Attributes int // attributes read of one element; the rest is left out
	Points     int // timed points kept of one document; the rest is left out
	Laps       int // laps kept of one document; the rest is left out
	Activities int // activities kept of one document; the rest is left out
}

// DefaultLimits are project defaults, far beyond any recording seen: the
// longest real file at hand has 16 laps and 7,275 points.
var DefaultLimits = Limits{
	Depth:      64,
	Text:       64 << 10,
	Attributes: 256,
	Points:     2_000_000,
	Laps:       5_000,
	Activities: 500,
}

// OrDefault returns l with its zero fields filled in.
func (l Limits) OrDefault() Limits {
	pick := func(v, otherwise int) int {
		if v == 0 {
			return otherwise
		}
		return v
	}
	return Limits{
		Depth:      pick(l.Depth, DefaultLimits.Depth),
		Text:       pick(l.Text, DefaultLimits.Text),
		Attributes: pick(l.Attributes, DefaultLimits.Attributes),
		Points:     pick(l.Points, DefaultLimits.Points),
		Laps:       pick(l.Laps, DefaultLimits.Laps),
		Activities: pick(l.Activities, DefaultLimits.Activities),
	}
}
