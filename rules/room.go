package rules

import (
	"math"
	"slices"
	"strings"
	"time"
)

// How far the light may have gone from where the newest reading saw it. One
// reading alone grows uncertain by sigmaRoomAged in each of its lives. What was
// read at this hour on the days before says more about this room: the mean
// square of ln(their light / its light) replaces that rate, weighed by the days
// that tell against weekPrior days for the rate,
//
//	rate² = (weekPrior·sigmaRoomAged² + Σ w·ln²(E/E₀)) / (weekPrior + Σ w).
//
// A room that is always the same at this hour keeps an old reading good for
// longer; in one that swings, or that is usually unlike the reading at this hour,
// it is good for less. The reading itself is never replaced by them: nothing is
// interpolated. The pooling is that of a variance with a prior worth so many
// observations; its numbers are common practice, no source.
const (
	weekDays  = 7
	weekPrior = 2.0
	hourWidth = time.Hour // a reading this far from the hour says nothing about it
)

// hour is what the days before say about the light at one hour of the day.
type hour struct {
	days   float64 // that tell, each with the weight of its reading nearest to the hour: 0..weekDays
	square float64 // the mean square of ln(light/newest light); 0 when no day tells
}

// rate is the growth of a reading's relative uncertainty in one of its lives.
func (h hour) rate() float64 {
	return math.Sqrt((weekPrior*sigmaRoomAged*sigmaRoomAged + h.days*h.square) / (weekPrior + h.days))
}

// word says what is worth saying about the hour: enough days, and a rate that is
// clearly another than that of any room.
func (h hour) word() string {
	const enough = 2
	switch rate := h.rate(); {
	case h.days < enough:
		return ""
	case rate < 0.75*sigmaRoomAged:
		return "steady at this hour"
	case rate > 1.5*sigmaRoomAged:
		return "changing at this hour"
	}
	return ""
}

// hourOf looks at the days before now at this hour of the day, by the clock of
// now's own place. readings are in order of time; the light of the one numbered
// newest is what the others are held against. A reading counts fully at the hour
// and less the further it is from it, so that nothing jumps as time goes by.
func hourOf(readings []Reading, newest int, now time.Time) hour {
	type day struct{ nearest, weight, sum float64 }
	var days [weekDays + 1]day
	at := atFace(readings[newest])
	for i := newest - 1; i >= 0; i-- {
		r := readings[i]
		before := onClock(now) - onClock(r.At.In(now.Location()))
		n := int(math.Round(before.Hours() / 24))
		if n > weekDays {
			break
		}
		weight := 1 - float64((before-time.Duration(n)*24*time.Hour).Abs())/float64(hourWidth)
		if n < 1 || weight <= 0 || r.Place == AtPrint {
			continue // the last hour of today is no evidence about other days
		}
		change := math.Log(atFace(r) / at)
		d := &days[n]
		d.nearest = math.Max(d.nearest, weight)
		d.weight += weight
		d.sum += weight * change * change
	}
	var h hour
	for _, d := range days {
		if d.weight > 0 {
			h.days += d.nearest
			h.square += d.nearest * d.sum / d.weight
		}
	}
	if h.days > 0 {
		h.square /= h.days
	}
	return h
}

// newestReading is the number of the newest reading of the room at or before
// now, −1 when there is none. A reading at a print says nothing about the screen.
func newestReading(readings []Reading, now time.Time) int {
	for i := len(readings) - 1; i >= 0; i-- {
		if r := readings[i]; r.Place != AtPrint && !r.At.After(now) {
			return i
		}
	}
	return -1
}

// onClock is the time that the clock on the wall shows, as if there were no
// zones and no summer time: the difference of two is a difference of wall clocks.
func onClock(t time.Time) time.Duration {
	_, offset := t.Zone()
	const epoch = 1577836800 // 2020: differences of a century fit into a Duration
	return time.Duration(t.Unix()-epoch+int64(offset))*time.Second + time.Duration(t.Nanosecond())
}

// atFace is a reading's light at the screen's face, never 0, in lux.
func atFace(r Reading) float64 {
	v := float64(r.Light)
	if r.Place == OnDesk {
		v *= fromDesk
	}
	return math.Max(v, leastLight)
}

// aged is the relative uncertainty that a reading of that age has besides its
// meter's.
func (r Room) aged(age time.Duration, h hour) float64 {
	return math.Min(sigmaAgedLimit, h.rate()*float64(age)/float64(r.ReadingLife))
}

// meter is the relative standard uncertainty of what took a reading.
func (r Room) meter(of Reading) float64 {
	if of.Sigma > 0 {
		return of.Sigma
	}
	return r.MeterUncertainty
}

// lampsAt is the colour temperature of the room's light: as last read, or what the
// profile says. read is how much of the reading is in it: all for a reading's life,
// and over another life less and less, in mired, so that nothing jumps when it ends.
func (p *Profile) lampsAt(now time.Time) (k Kelvin, read float64) {
	usual := p.Room.Lamps.Value
	for _, r := range slices.Backward(p.Readings) {
		if r.At.After(now) || r.Place == AtPrint || r.Kelvin == 0 {
			continue
		}
		lives := float64(now.Sub(r.At)) / float64(p.Room.ReadingLife)
		switch read = 2 - lives; {
		case read >= 1:
			return r.Kelvin, 1
		case read <= 0:
			return usual, 0
		}
		return 1 / (Kelvin(read)/r.Kelvin + Kelvin(1-read)/usual), read // mired add up
	}
	return usual, 0
}

// roomSource says where the room's light comes from: who took the reading, and
// in brackets what else is known about it.
func roomSource(p *Profile, r Reading, h hour, now time.Time) (Code, string) {
	code, source := SourceScreen, "read at the screen"
	if r.Place == OnDesk {
		code, source = SourceDesk, "estimated: half of what was read on the desk"
	}
	var more []string
	switch k, read := p.lampsAt(now); {
	case read == 1:
		more = append(more, fillIn("light of {kelvin} K as read", "kelvin", short(float64(k))))
	case read > 0:
		more = append(more, fillIn("light of about {kelvin} K by an old reading", "kelvin", about(float64(k))))
	}
	if r.Note != "" {
		more = append(more, r.Note)
	}
	if w := h.word(); w != "" {
		more = append(more, w)
	}
	if len(more) == 0 {
		return code, source
	}
	return code, fillIn("{source} ({more})", "source", source, "more", strings.Join(more, "; "))
}
