package sensor

import (
	"context"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"testing/synctest"

	"lampblack/rules"
)

// tree makes a simulated device tree; a file's path is below the folder of devices.
func tree(t *testing.T, files map[string]string) string {
	t.Helper()
	folder := t.TempDir()
	for name, text := range files {
		path := filepath.Join(folder, name)
		if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o700), os.WriteFile(path, []byte(text), 0o600)); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

// nowhere is a bus that isn't there.
const nowhere = "unix:path=/nowhere/bus"

func TestDevices(t *testing.T) {
	accelerometer := "iio:device0/in_accel_x_raw"
	for name, c := range map[string]struct {
		files map[string]string
		want  rules.Lux
		kind  error
		says  string
	}{
		"in lux":        {map[string]string{accelerometer: "12\n", "iio:device1/in_illuminance_input": "41.5\n"}, 41.5, nil, ""},
		"raw and scale": {map[string]string{"iio:device0/in_illuminance_raw": "410\n", "iio:device0/in_illuminance_scale": "0.100000\n"}, 41, nil, ""},
		"raw, offset and scale": {map[string]string{
			"iio:device0/in_illuminance_raw": "400\n", "iio:device0/in_illuminance_offset": "10\n", "iio:device0/in_illuminance_scale": "0.1\n"}, 41, nil, ""},
		"raw alone":             {map[string]string{"iio:device0/in_illuminance_raw": "41\n"}, 41, nil, ""},
		"lux before raw":        {map[string]string{"iio:device0/in_illuminance_raw": "900\n", "iio:device0/in_illuminance_input": "41\n"}, 41, nil, ""},
		"a numbered channel":    {map[string]string{"iio:device0/in_illuminance0_raw": "41", "iio:device0/in_illuminance0_scale": "2"}, 82, nil, ""},
		"a shared scale":        {map[string]string{"iio:device0/in_illuminance0_raw": "41", "iio:device0/in_illuminance_scale": "2"}, 82, nil, ""},
		"its own scale first":   {map[string]string{"iio:device0/in_illuminance0_raw": "41", "iio:device0/in_illuminance0_scale": "3", "iio:device0/in_illuminance_scale": "2"}, 123, nil, ""},
		"dark":                  {map[string]string{"iio:device0/in_illuminance_input": "0\n"}, 0, nil, ""},
		"the one that works":    {map[string]string{"iio:device0/in_illuminance_raw": "\n", "iio:device1/in_illuminance_raw": "7"}, 7, nil, ""},
		"none":                  {map[string]string{accelerometer: "12\n"}, 0, ErrUnsupported, "this machine has none that gives lux"},
		"intensity has no unit": {map[string]string{"iio:device0/in_intensity_both_raw": "12\n", "iio:device0/in_illuminance_scale": "1"}, 0, ErrUnsupported, "none that gives lux"},
		"no number":             {map[string]string{"iio:device0/in_illuminance_raw": "bright\n"}, 0, ErrBroken, "holds no number"},
		"a broken scale":        {map[string]string{"iio:device0/in_illuminance_raw": "4\n", "iio:device0/in_illuminance_scale": "x"}, 0, ErrBroken, "in_illuminance_scale holds no number"},
		"brighter than the sun": {map[string]string{"iio:device0/in_illuminance_input": "1e9\n"}, 0, ErrBroken, "makes no sense"},
		"below nothing":         {map[string]string{"iio:device0/in_illuminance_input": "-3\n"}, 0, ErrBroken, "makes no sense"},
	} {
		got, err := (&Sensor{Devices: tree(t, c.files), Bus: nowhere}).Read(t.Context())
		if math.Abs(float64(got-c.want)) > 1e-9 || !errors.Is(err, c.kind) || err != nil && !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v lx, %v", name, got, err)
		}
	}
}

func TestNoDevicesAtAll(t *testing.T) {
	_, err := (&Sensor{Devices: filepath.Join(t.TempDir(), "none"), Bus: nowhere}).Read(t.Context())
	if !errors.Is(err, ErrUnsupported) {
		t.Errorf("%v", err)
	}
}

// A device that never answers is a pipe into which nobody writes.
func TestDeadDevice(t *testing.T) {
	folder := tree(t, map[string]string{"iio:device0/name": "als"})
	pipe := filepath.Join(folder, "iio:device0/in_illuminance_input")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { // lets the reader go
		if f, err := os.OpenFile(pipe, os.O_WRONLY|syscall.O_NONBLOCK, 0); err == nil {
			f.Close()
		}
	})
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := (&Sensor{Devices: folder, Bus: nowhere}).Read(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
	synctest.Test(t, func(t *testing.T) { hangs(t) })
}

// hangs: a reading that doesn't end in time is an error, whatever hangs; until it
// has ended, no other is begun.
func hangs(t *testing.T) {
	var s Sensor
	never := make(chan struct{})
	var begun atomic.Int64
	for range 3 {
		_, err := s.within(t.Context(), func(context.Context) (rules.Lux, error) { begun.Add(1); <-never; return 0, nil })
		if !errors.Is(err, ErrVanished) || !strings.Contains(err.Error(), "doesn't answer") {
			t.Errorf("%v", err)
		}
	}
	if n := begun.Load(); n != 1 {
		t.Errorf("%d readings hang", n)
	}
	close(never)
	synctest.Wait()
	if got, err := s.within(t.Context(), func(context.Context) (rules.Lux, error) { return 48, nil }); got != 48 || err != nil {
		t.Errorf("after it woke up: %v, %v", got, err)
	}
}

func FuzzNumber(f *testing.F) {
	for _, seed := range []string{"41\n", "0.100000\n", "-3", "1e400", "NaN", "Inf", "", "0x1p-2", "4 1"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if v, ok := parseNumber(text); ok && (math.IsNaN(v) || math.IsInf(v, 0)) {
			t.Errorf("%q is %v", text, v)
		}
	})
}
