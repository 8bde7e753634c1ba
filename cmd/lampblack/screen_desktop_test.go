//go:build desktop

package main

import (
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/godbus/dbus/v5"

	"lampblack/agent/tray/desktoptest"
)

// Parts of the screen: where the panel is, where menus open, where notices appear.
var (
	panelArea  = image.Rect(0, 0, desktoptest.ScreenWidth, desktoptest.PanelHeight)
	menuArea   = image.Rect(0, desktoptest.PanelHeight, desktoptest.ScreenWidth, desktoptest.ScreenHeight)
	noticeArea = image.Rect(desktoptest.ScreenWidth/2, desktoptest.ScreenHeight/2,
		desktoptest.ScreenWidth, desktoptest.ScreenHeight)
)

// screen is what a person sees of a studio.
type screen struct {
	*studio
	empty *image.RGBA // before the agent came
	icon  image.Rectangle
}

// look looks at a desktop on which nothing happens yet.
func look(s *studio) *screen {
	s.t.Helper()
	empty := s.WaitStill("", "an empty desktop", desktoptest.Everywhere, func(*image.RGBA) bool { return true })
	return &screen{studio: s, empty: empty}
}

// await takes pictures until an area differs from the empty desktop by at least
// a size, and is at rest. It gives the last, and what differs.
func (d *screen) await(what string, area image.Rectangle, least image.Point) (*image.RGBA, image.Rectangle) {
	d.t.Helper()
	box := image.Rectangle{}
	m := d.WaitStill("", what, area, func(m *image.RGBA) bool {
		box = desktoptest.Changed(d.empty, m, area)
		return box.Dx() >= least.X && box.Dy() >= least.Y
	})
	return m, box
}

// findIcon waits for the icon on the panel.
func (d *screen) findIcon() {
	d.t.Helper()
	d.Move(desktoptest.ScreenWidth/2, desktoptest.ScreenHeight/2)
	_, d.icon = d.await("the icon on the panel", panelArea, image.Pt(12, 6))
	if d.icon.Dx() > 48 {
		d.t.Fatalf("%v changed on the panel, want one icon", d.icon)
	}
}

// openMenu clicks the icon and gives the picture and the area of the menu.
func (d *screen) openMenu() (*image.RGBA, image.Rectangle) {
	d.t.Helper()
	d.Click((d.icon.Min.X+d.icon.Max.X)/2, (d.icon.Min.Y+d.icon.Max.Y)/2)
	const rows, rowHeight = 12, 15
	return d.await("an open menu", menuArea, image.Pt(300, rows*rowHeight))
}

// awaitNotice waits for a notice and gives the picture and its area. It stays
// for ten seconds, so wait for it first.
func (d *screen) awaitNotice() (*image.RGBA, image.Rectangle) {
	d.t.Helper()
	return d.await("a notice", noticeArea, image.Pt(200, 40))
}

// keep writes part of a picture, with a margin, into the folder that
// LAMPBLACK_SCREENS names, if any.
func (d *screen) keep(name string, m *image.RGBA, part image.Rectangle) {
	d.t.Helper()
	folder := os.Getenv("LAMPBLACK_SCREENS")
	if folder == "" {
		return
	}
	d.must(os.MkdirAll(folder, 0o755))
	const margin = 12
	f, err := os.Create(filepath.Join(folder, name))
	d.must(err)
	d.must((&png.Encoder{CompressionLevel: png.BestCompression}).Encode(f, m.SubImage(part.Inset(-margin))))
	d.must(f.Close())
}

// overhear gives every notice that anyone on the bus sends from now on.
func overhear(s *studio) <-chan desktoptest.Shown {
	s.t.Helper()
	conn := s.Connect()
	rules := []string{"type='method_call',interface='" + desktoptest.ServerName + "',member='Notify'"}
	s.must(conn.BusObject().Call("org.freedesktop.DBus.Monitoring.BecomeMonitor", 0, rules, uint32(0)).Err)
	messages := make(chan *dbus.Message, 64)
	conn.Eavesdrop(messages)
	notices := make(chan desktoptest.Shown, 64)
	go func() {
		for m := range messages {
			var n desktoptest.Shown
			if dbus.Store(m.Body, &n.App, &n.Replaces, &n.Icon, &n.Summary, &n.Body, &n.Actions, &n.Hints, &n.Expire) == nil {
				notices <- n
			}
		}
	}()
	return notices
}

// closeNotice takes the notice off the screen.
func (d *screen) closeNotice() {
	d.t.Helper()
	server := d.Connect().Object(desktoptest.ServerName, "/org/freedesktop/Notifications")
	d.must(server.Call("org.dunstproject.cmd0.NotificationCloseAll", 0).Err)
	d.WaitScreen("", "a closed notice", func(m *image.RGBA) bool {
		return desktoptest.Changed(d.empty, m, noticeArea).Empty()
	})
}

// takeMenu takes the pictures of README at a desk that is not as it should be.
func takeMenu(t *testing.T, program string, dark bool) {
	s := tidemark(t, program, desktoptest.Options{Screen: true, Dark: dark})
	s.save(s.profile("160.0", "black", "100.0"))
	d := look(s)
	a := s.show()
	d.findIcon()
	s.export("quay-at-dusk.tif", "quay-at-dusk.tif")
	m, box := d.awaitNotice()
	if dark {
		d.keep("notice.png", m, box)
	}
	d.closeNotice()
	a.awaitLine("quay-at-dusk.tif", "likely dark")
	m, box = d.openMenu()
	d.keep(map[bool]string{true: "menu-dark.png", false: "menu-light.png"}[dark], m, box.Union(d.icon))
}

// takeRehearsal plays the rehearsal on a real desktop and takes a picture of its
// first notice.
func takeRehearsal(t *testing.T, program string) {
	s := tidemark(t, program, desktoptest.Options{Screen: true, Dark: true})
	d := look(s)
	notices := overhear(s)
	said := new(words)
	cmd := exec.Command(program, "rehearse")
	cmd.Stdout = said
	p := s.RunCmd(cmd)
	m, box := d.awaitNotice()
	d.keep("rehearsal.png", m, box)
	desktoptest.Receive(t, "the end of the rehearsal", after(p.Ended()))
	if code := p.Cmd.ProcessState.ExitCode(); code != ok {
		t.Errorf("the rehearsal ends with exit code %d", code)
	}
	for printed := range strings.Lines(said.String()) {
		if title, isNotice := strings.CutPrefix(printed, "  notice: "); isNotice {
			n := desktoptest.Receive(t, "the notice that the terminal shows", notices)
			wantQuiet(t, n)
			if n.Summary != strings.TrimSpace(title) {
				t.Errorf("the notice is %q, and on the terminal %q", n.Summary, title)
			}
		}
	}
	wantNoMore(t, notices)
}
