//go:build desktop && linux

package sensor

import (
	"errors"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/godbus/dbus/v5"

	"lampblack/agent/tray/desktoptest"
)

// fakeService is a sensor service on a bus of its own.
type fakeService struct {
	conn *dbus.Conn

	mu       sync.Mutex
	values   map[string]any
	next     float64       // the value that it tells after a claim; NaN-free
	after    time.Duration // how long that takes; below 0: it tells nothing, and isn't waited for long
	refuses  bool
	claims   int
	releases int
	calls    []string
}

func startService(t *testing.T, s *desktoptest.Session, f *fakeService) {
	t.Helper()
	f.conn = s.Connect()
	for _, err := range []error{
		f.conn.Export(claims{f}, servicePath, service),
		f.conn.Export(getters{f}, servicePath, properties),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	reply, err := f.conn.RequestName(service, dbus.NameFlagDoNotQueue)
	if err != nil || reply != dbus.RequestNameReplyPrimaryOwner {
		t.Fatalf("%s is taken: %v, %v", service, reply, err)
	}
}

type claims struct{ f *fakeService }

func (c claims) ClaimLight() *dbus.Error {
	f := c.f
	f.mu.Lock()
	defer f.mu.Unlock()
	f.claims++
	f.calls = append(f.calls, "claim")
	if f.refuses {
		return dbus.MakeFailedError(errors.New("not authorised"))
	}
	if f.after >= 0 {
		time.AfterFunc(f.after, f.tell)
	}
	return nil
}

func (f *fakeService) tell() {
	f.mu.Lock()
	f.values["LightLevel"] = f.next
	f.mu.Unlock()
	changed := map[string]dbus.Variant{"LightLevel": dbus.MakeVariant(f.next)}
	_ = f.conn.Emit(servicePath, properties+".PropertiesChanged", service, changed, []string{})
}

func (c claims) ReleaseLight() *dbus.Error {
	c.f.mu.Lock()
	defer c.f.mu.Unlock()
	c.f.releases++
	c.f.calls = append(c.f.calls, "release")
	return nil
}

type getters struct{ f *fakeService }

func (g getters) Get(_, name string) (dbus.Variant, *dbus.Error) {
	g.f.mu.Lock()
	defer g.f.mu.Unlock()
	g.f.calls = append(g.f.calls, name)
	v, ok := g.f.values[name]
	if !ok {
		return dbus.Variant{}, dbus.MakeFailedError(errors.New("no property " + name))
	}
	return dbus.MakeVariant(v), nil
}

func has(level float64, unit string) map[string]any {
	return map[string]any{"HasAmbientLight": true, "LightLevelUnit": unit, "LightLevel": level}
}

func TestService(t *testing.T) {
	noFiles := filepath.Join(t.TempDir(), "none")
	file := tree(t, map[string]string{"iio:device0/in_illuminance_input": "7\n"})
	for name, c := range map[string]struct {
		f       *fakeService
		devices string
		want    float64
		kind    error
		claims  int
	}{
		"a new value":             {&fakeService{values: has(-1, "lux"), next: 41.5, after: 30 * time.Millisecond}, noFiles, 41.5, nil, 1},
		"the light is unchanged":  {&fakeService{values: has(38, "lux"), after: -1}, noFiles, 38, nil, 1},
		"never a value":           {&fakeService{values: has(-1, "lux"), after: -1}, noFiles, 0, ErrBroken, 1},
		"no lux":                  {&fakeService{values: has(0, "vendor"), next: 80}, noFiles, 0, ErrUnsupported, 1},
		"no lux, but files":       {&fakeService{values: has(0, "vendor"), next: 80}, file, 7, nil, 1},
		"no sensor of light":      {&fakeService{values: map[string]any{"HasAmbientLight": false}}, noFiles, 0, ErrUnsupported, 0},
		"refuses":                 {&fakeService{values: has(0, "lux"), refuses: true}, noFiles, 0, ErrVanished, 1},
		"refuses, but files":      {&fakeService{values: has(0, "lux"), refuses: true}, file, 7, nil, 1},
		"its properties are lost": {&fakeService{values: map[string]any{"HasAmbientLight": true}, after: -1}, noFiles, 0, ErrVanished, 1},
	} {
		t.Run(name, func(t *testing.T) {
			s := desktoptest.Start(t, desktoptest.Options{})
			startService(t, s, c.f)
			patience := time.Minute
			if c.f.after < 0 {
				patience = 300 * time.Millisecond
			}
			got, err := (&Sensor{Devices: c.devices, Bus: s.BusAddress(), Patience: patience}).Read(t.Context())
			if float64(got) != c.want || !errors.Is(err, c.kind) {
				t.Errorf("%v lx, %v", got, err)
			}
			c.f.mu.Lock()
			defer c.f.mu.Unlock()
			released := c.claims
			if c.f.refuses {
				released = 0
			}
			if c.f.claims != c.claims || c.f.releases != released {
				t.Errorf("claimed %d times, released %d times: %s", c.f.claims, c.f.releases, strings.Join(c.f.calls, ", "))
			}
		})
	}
}

func TestNoService(t *testing.T) {
	s := desktoptest.Start(t, desktoptest.Options{})
	file := tree(t, map[string]string{"iio:device0/in_illuminance_raw": "7\n"})
	if got, err := (&Sensor{Devices: file, Bus: s.BusAddress()}).Read(t.Context()); got != 7 || err != nil {
		t.Errorf("%v, %v", got, err)
	}
}
