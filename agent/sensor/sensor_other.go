//go:build !linux

package sensor

import (
	"context"

	"lampblack/rules"
)

// Read says that the sensor can't be read on this system.
func (s *Sensor) Read(context.Context) (rules.Lux, error) {
	return 0, &fault{ErrUnsupported, "it can be read on Linux only: log readings yourself, and take sensor out of [room]"}
}
