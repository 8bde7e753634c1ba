package sensor

import (
	"context"
	"fmt"
	"time"

	"github.com/godbus/dbus/v5"
)

// The desktop's sensor service. Its light is in its property LightLevel, in the
// unit of LightLevelUnit, as long as somebody has claimed the sensor.
const (
	service     = "net.hadess.SensorProxy"
	servicePath = "/net/hadess/SensorProxy"
	properties  = "org.freedesktop.DBus.Properties"
)

// firstValue is how long a service that has been asleep may take for its first
// value: sensors are looked at once in 0.8 s.
const firstValue = 1500 * time.Millisecond

// proxy is the service on a connection of its own: when that closes, however it
// comes about, the service knows that the sensor is released.
type proxy struct {
	conn   *dbus.Conn
	object dbus.BusObject
}

// askService gives the light that the service reads. errNone: there is no bus, no
// service, or no sensor that gives lux.
func (s *Sensor) askService(ctx context.Context) (float64, error) {
	conn, err := s.connect(ctx)
	if err != nil {
		return 0, errNone
	}
	defer conn.Close()
	p := proxy{conn, conn.Object(service, servicePath)}
	var there bool
	if err := p.get(ctx, "HasAmbientLight", &there); err != nil || !there {
		return 0, errNone
	}
	return p.light(ctx, s.patience())
}

func (s *Sensor) patience() time.Duration {
	if s.Patience > 0 {
		return s.Patience
	}
	return firstValue
}

// connect makes a connection to the system bus.
func (s *Sensor) connect(ctx context.Context) (*dbus.Conn, error) {
	dial := func() (*dbus.Conn, error) { return dbus.SystemBusPrivate(dbus.WithContext(ctx)) }
	if s.Bus != "" {
		dial = func() (*dbus.Conn, error) { return dbus.Dial(s.Bus, dbus.WithContext(ctx)) }
	}
	conn, err := dial()
	if err != nil {
		return nil, err
	}
	if err := conn.Auth(nil); err != nil {
		conn.Close()
		return nil, err
	}
	if err := conn.Hello(); err != nil {
		conn.Close()
		return nil, err
	}
	return conn, nil
}

// light claims the sensor, takes one value and releases it. The service tells of
// a value when it has changed; when it tells nothing, the one it has stands.
func (p proxy) light(ctx context.Context, patience time.Duration) (float64, error) {
	signals := make(chan *dbus.Signal, 16)
	p.conn.Signal(signals)
	if err := p.conn.AddMatchSignalContext(ctx, dbus.WithMatchSender(service), dbus.WithMatchObjectPath(servicePath),
		dbus.WithMatchInterface(properties), dbus.WithMatchMember("PropertiesChanged")); err != nil {
		return 0, silent()
	}
	if err := p.call(ctx, service+".ClaimLight").Err; err != nil {
		return 0, &fault{ErrVanished, fmt.Sprintf("the desktop's sensor service doesn't lend it (%v): it is tried again", err)}
	}
	defer p.call(ctx, service+".ReleaseLight")
	waitForLevel(ctx, signals, patience)
	var unit string
	var level float64
	if p.get(ctx, "LightLevelUnit", &unit) != nil || p.get(ctx, "LightLevel", &level) != nil {
		return 0, silent()
	}
	if unit != "lux" {
		return 0, errNone // a share of whatever its maker thinks bright
	}
	return level, nil
}

// waitForLevel returns when the service has told of a value, or after patience.
func waitForLevel(ctx context.Context, signals <-chan *dbus.Signal, patience time.Duration) {
	late := time.NewTimer(patience)
	defer late.Stop()
	for {
		select {
		case sig, ok := <-signals:
			if !ok || tellsLevel(sig) {
				return
			}
		case <-late.C:
			return
		case <-ctx.Done():
			return
		}
	}
}

// tellsLevel tells whether a signal is about a new light level.
func tellsLevel(sig *dbus.Signal) bool {
	if sig.Name != properties+".PropertiesChanged" || len(sig.Body) < 2 {
		return false
	}
	changed, ok := sig.Body[1].(map[string]dbus.Variant)
	_, level := changed["LightLevel"]
	return ok && level
}

func silent() error {
	return &fault{ErrVanished, "the desktop's sensor service doesn't answer: it is tried again"}
}

// get reads a property into what into points to.
func (p proxy) get(ctx context.Context, name string, into any) error {
	var v dbus.Variant
	if err := p.call(ctx, properties+".Get", service, name).Store(&v); err != nil {
		return err
	}
	return v.Store(into)
}

// call calls a service that is running; a service that isn't has no sensor, since
// it is started by the sensor's appearance.
func (p proxy) call(ctx context.Context, method string, args ...any) *dbus.Call {
	return p.object.CallWithContext(ctx, method, dbus.FlagNoAutoStart, args...)
}
