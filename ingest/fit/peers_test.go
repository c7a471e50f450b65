package fit_test

import (
	"bytes"

	"github.com/muktihari/fit/decoder"
	"github.com/muktihari/fit/profile/basetype"
	"github.com/muktihari/fit/profile/untyped/fieldnum"
	"github.com/muktihari/fit/profile/untyped/mesgnum"
	"github.com/muktihari/fit/proto"
	"github.com/tormoder/fit"

	"tidemark/load"
)

const fitEpoch = 631065600 // 1989-12-31T00:00:00Z in Unix time

// collector listens to github.com/muktihari/fit and makes a sample of each
// record, by a switch of its own over the fields: its fastest use.
type collector struct {
	samples []load.Sample
	records int
	untimed int
	counter uint32 // 12-bit distance, last and sum
	sum     uint32
}

// muktihari decodes with the fastest options that give every value. The samples
// are appended to room.
func muktihari(data []byte, room []load.Sample) (*collector, error) {
	c := &collector{samples: room}
	d := decoder.New(bytes.NewReader(data), decoder.WithMesgListener(c), decoder.WithBroadcastOnly(),
		decoder.WithIgnoreChecksum(), decoder.WithNoComponentExpansion())
	for d.Next() {
		if _, err := d.Decode(); err != nil {
			return c, err
		}
	}
	return c, nil
}

func (c *collector) OnMesg(m proto.Message) {
	if m.Num != mesgnum.Record {
		return
	}
	c.records++
	s, timed, fraction := load.Sample{}, false, 0.0
	var enhancedSpeed, enhancedAltitude bool
	lat, lon := int32(basetype.Sint32Invalid), int32(basetype.Sint32Invalid)
	for i := range m.Fields {
		f := &m.Fields[i]
		switch f.Num {
		case fieldnum.RecordTimestamp:
			if v := f.Value.Uint32(); v != basetype.Uint32Invalid {
				s.At, timed = load.Unix(int64(v)+fitEpoch), true
			}
		case fieldnum.RecordPositionLat:
			lat = f.Value.Int32()
		case fieldnum.RecordPositionLong:
			lon = f.Value.Int32()
		case fieldnum.RecordDistance:
			if v := f.Value.Uint32(); v != basetype.Uint32Invalid {
				s.Distance, s.Has = load.Metres(float64(v)/100), s.Has|load.HasDistance
			}
		case fieldnum.RecordEnhancedSpeed:
			if v := f.Value.Uint32(); v != basetype.Uint32Invalid {
				s.Speed, s.Has, enhancedSpeed = load.Speed(float64(v)/1000), s.Has|load.HasSpeed, true
			}
		case fieldnum.RecordEnhancedAltitude:
			if v := f.Value.Uint32(); v != basetype.Uint32Invalid {
				s.Altitude, s.Has, enhancedAltitude = load.Metres(float64(v)/5-500), s.Has|load.HasAltitude, true
			}
		case fieldnum.RecordSpeed:
			if v := f.Value.Uint16(); v != basetype.Uint16Invalid && !enhancedSpeed {
				s.Speed, s.Has = load.Speed(float64(v)/1000), s.Has|load.HasSpeed
			}
		case fieldnum.RecordAltitude:
			if v := f.Value.Uint16(); v != basetype.Uint16Invalid && !enhancedAltitude {
				s.Altitude, s.Has = load.Metres(float64(v)/5-500), s.Has|load.HasAltitude
			}
		case fieldnum.RecordHeartRate:
			if v := f.Value.Uint8(); v != basetype.Uint8Invalid {
				s.Heart, s.Has = load.BPM(v), s.Has|load.HasHeart
			}
		case fieldnum.RecordCadence:
			if v := f.Value.Uint8(); v != basetype.Uint8Invalid {
				s.Cadence, s.Has = load.Cadence(v), s.Has|load.HasCadence
			}
		case fieldnum.RecordGrade:
			if v := f.Value.Int16(); v != basetype.Sint16Invalid {
				s.Grade, s.Has = load.Grade(float64(v)/10_000), s.Has|load.HasGrade
			}
		case fieldnum.RecordFractionalCadence:
			if v := f.Value.Uint8(); v != basetype.Uint8Invalid {
				fraction = float64(v) / 128
			}
		case fieldnum.RecordCompressedSpeedDistance:
			c.compressed(&s, f.Value.SliceUint8())
		}
	}
	if lat != basetype.Sint32Invalid && lon != basetype.Sint32Invalid {
		const degree = 180.0 / (1 << 31)
		s.Position = load.Position{Lat: load.Degrees(float64(lat) * degree), Lon: load.Degrees(float64(lon) * degree)}
		s.Has |= load.HasPosition
	}
	if s.Got(load.HasCadence) {
		s.Cadence += load.Cadence(fraction)
	}
	if !timed {
		c.untimed++
		return
	}
	c.samples = append(c.samples, s)
}

// compressed expands compressed_speed_distance, which NoComponentExpansion
// leaves to the listener.
func (c *collector) compressed(s *load.Sample, b []byte) {
	if len(b) != 3 || b[0] == 0xFF && b[1] == 0xFF && b[2] == 0xFF {
		return
	}
	raw := uint32(b[1]>>4) | uint32(b[2])<<4
	c.sum += (raw - c.counter) & 0xFFF
	c.counter = raw
	s.Distance = load.Metres(float64(c.sum) / 16)
	s.Speed = load.Speed(float64(uint32(b[0])|uint32(b[1]&0xF)<<8) / 100)
	s.Has |= load.HasDistance | load.HasSpeed
}

// tormoder decodes with github.com/tormoder/fit, typed, the first file alone as
// Decode does.
func tormoder(data []byte) (*fit.ActivityFile, error) {
	f, err := fit.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, err
	}
	return f.Activity()
}
