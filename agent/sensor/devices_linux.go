package sensor

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
)

// devicesFolder is where the kernel shows its iio devices.
const devicesFolder = "/sys/bus/iio/devices"

func (s *Sensor) devices() string {
	if s.Devices != "" {
		return s.Devices
	}
	return devicesFolder
}

// illuminance are the kernel's channels of illuminance (its document
// ABI/testing/sysfs-bus-iio): in lux as _input, or else (_raw + _offset)·_scale.
// Channels of intensity have no unit, and are left alone.
var illuminance = regexp.MustCompile(`^(in_illuminance\d*)_(input|raw)$`)

// readDevices reads the first sensor that gives a number. errNone: there is none.
func readDevices(folder string) (float64, error) {
	found, err := filepath.Glob(filepath.Join(folder, "*", "in_illuminance*"))
	if err != nil || len(found) == 0 {
		return 0, errNone
	}
	var first error
	for _, path := range found { // in order: a channel's _input comes before its _raw
		channel := illuminance.FindStringSubmatch(filepath.Base(path))
		if channel == nil {
			continue
		}
		light, err := readChannel(filepath.Join(filepath.Dir(path), channel[1]), channel[2])
		if err == nil {
			return light, nil
		}
		if first == nil {
			first = err
		}
	}
	if first == nil {
		return 0, errNone
	}
	return 0, first
}

// readChannel reads the channel whose files begin like prefix.
func readChannel(prefix, kind string) (float64, error) {
	v, err := readNumber(prefix + "_" + kind)
	if err != nil || kind == "input" {
		return v, err
	}
	offset, err := readNumberOr(prefix, "_offset", 0)
	if err != nil {
		return 0, err
	}
	scale, err := readNumberOr(prefix, "_scale", 1)
	return (v + offset) * scale, err
}

// readNumberOr reads a file of a channel, or else the one that all channels of its
// kind share, which lacks their number.
func readNumberOr(prefix, end string, otherwise float64) (float64, error) {
	for _, path := range []string{prefix + end, strings.TrimRight(prefix, "0123456789") + end} {
		if _, err := os.Stat(path); err == nil {
			return readNumber(path)
		}
	}
	return otherwise, nil
}

// readNumber reads the number that is all of a file.
func readNumber(path string) (float64, error) {
	f, err := os.Open(path)
	if err != nil {
		return 0, &fault{ErrVanished, fmt.Sprintf("%s can't be read: it is tried again", path)}
	}
	defer f.Close()
	const longest = 64
	text, err := io.ReadAll(io.LimitReader(f, longest))
	if err != nil {
		return 0, &fault{ErrVanished, fmt.Sprintf("%s can't be read: it is tried again", path)}
	}
	v, ok := parseNumber(string(text))
	if !ok {
		return 0, &fault{ErrBroken, fmt.Sprintf("%s holds no number: it is tried again", path)}
	}
	return v, nil
}

// parseNumber reads a finite number on a line of its own.
func parseNumber(text string) (float64, bool) {
	v, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	return v, err == nil && v-v == 0
}
