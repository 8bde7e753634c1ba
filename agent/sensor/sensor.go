// Package sensor reads the ambient light sensor that some machines have in the
// bezel of their screen, facing whoever sits before it. What it reads is the
// light at the screen's face, through dark glass, with a calibration that was
// made for setting the screen's brightness: good to about a third.
//
// On Linux it is read through the desktop's sensor service on the system bus, or
// else from the kernel's files. Elsewhere it is not read, and the error says so.
// Nothing here keeps the sensor awake: it is claimed, read once and released.
//
// It was tested with a simulated device tree and a simulated service, on no real one.
package sensor

import (
	"errors"
	"sync/atomic"
	"time"
)

// The kinds of errors.
var (
	ErrUnsupported = errors.New("unsupported") // there is none, or none that gives lux
	ErrBroken      = errors.New("broken")      // what it says makes no sense
	ErrVanished    = errors.New("vanished")    // it is there and doesn't answer
)

// Sensor is the sensor of this machine. The zero value is the real one; the
// fields are there to be replaced in tests.
type Sensor struct {
	Devices  string        // the folder of the kernel's iio devices
	Bus      string        // the address of the bus with the sensor service
	Patience time.Duration // how long the service may take for a first value; 0: 1.5 s, as it looks once in 0.8 s

	reading atomic.Bool // a read is under way, or hangs
}

// fault is an error of one of the kinds: a plain sentence.
type fault struct {
	kind error
	text string
}

func (f *fault) Error() string { return f.text }
func (f *fault) Unwrap() error { return f.kind }
