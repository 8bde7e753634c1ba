package sensor

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"lampblack/rules"
)

// readTime is how long one reading may take, whatever hangs.
const readTime = 4 * time.Second

// Read gives the light at the screen's face in lux. It asks the desktop's sensor
// service first and the kernel's files next, and returns within a few seconds.
// Its errors are ErrUnsupported, ErrBroken and ErrVanished; when ctx is cancelled
// the error is ctx's.
func (s *Sensor) Read(ctx context.Context) (rules.Lux, error) { return s.within(ctx, s.read) }

// within gives what read gives, or an error after readTime. While an earlier read
// hangs none is begun: each would hold a thread of the system for good.
func (s *Sensor) within(ctx context.Context, read func(context.Context) (rules.Lux, error)) (rules.Lux, error) {
	silent := &fault{ErrVanished, "it doesn't answer: it is tried again"}
	if !s.reading.CompareAndSwap(false, true) {
		return 0, silent
	}
	limited, cancel := context.WithTimeout(ctx, readTime)
	defer cancel()
	type answer struct {
		light rules.Lux
		err   error
	}
	answers := make(chan answer, 1) // a file of a dead device may never be read to its end
	go func() {
		defer s.reading.Store(false)
		light, err := read(limited)
		answers <- answer{light, err}
	}()
	a := answer{err: silent}
	select {
	case a = <-answers:
	case <-limited.Done():
	}
	if ctx.Err() != nil {
		return 0, ctx.Err()
	}
	return a.light, a.err
}

// errNone means that there is no sensor on that way.
var errNone = errors.New("no sensor")

func (s *Sensor) read(ctx context.Context) (rules.Lux, error) {
	light, asked := s.askService(ctx)
	if asked == nil {
		return sensible(light)
	}
	light, read := readDevices(s.devices())
	if read == nil {
		return sensible(light)
	}
	for _, err := range []error{asked, read} {
		if !errors.Is(err, errNone) {
			return 0, err
		}
	}
	return 0, &fault{ErrUnsupported, "this machine has none that gives lux: take sensor out of [room], and log readings yourself"}
}

// sensible bounds what a sensor says.
func sensible(light float64) (rules.Lux, error) {
	if math.IsNaN(light) || light < 0 || light > rules.MostLux {
		return 0, &fault{ErrBroken, fmt.Sprintf("it says %g lx, which makes no sense: it is tried again", light)}
	}
	return rules.Lux(light), nil
}
