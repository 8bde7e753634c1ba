//go:build desktop

package desktoptest

import (
	"fmt"
	"image"
	"image/color"
	"image/png"
	"io"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"time"
)

// ScreenWidth and ScreenHeight are the size of the display, in pixels; twice as much
// each way on a double one.
const (
	ScreenWidth  = 1024
	ScreenHeight = 640
)

// PanelHeight is that of the panel at the top of the screen, in pixels.
const PanelHeight = 32

func (s *Session) startDisplay() {
	s.t.Helper()
	r, w, err := os.Pipe()
	if err != nil {
		s.t.Fatal(err)
	}
	defer r.Close()
	cmd := exec.Command("Xvfb", "-displayfd", "3", "-nolisten", "tcp",
		"-screen", "0", fmt.Sprintf("%dx%dx24", s.scale()*ScreenWidth, s.scale()*ScreenHeight))
	cmd.ExtraFiles = []*os.File{w}
	s.RunCmd(cmd)
	w.Close()
	r.SetReadDeadline(time.Now().Add(patience))
	number, err := io.ReadAll(r)
	if text := strings.TrimSpace(string(number)); text != "" {
		s.display = ":" + text
	} else {
		s.t.Fatalf("Xvfb did not start: %v", err)
	}
	theme := "Adwaita"
	if s.o.Dark {
		theme = "Adwaita:dark"
	}
	s.env = append(s.env, "DISPLAY="+s.display, "NO_AT_BRIDGE=1", "GTK_THEME="+theme, "GDK_BACKEND=x11",
		fmt.Sprintf("GDK_SCALE=%d", s.scale()))
}

// scale is how many pixels of the screen stand for one, each way.
func (s *Session) scale() int {
	if s.o.Double {
		return 2
	}
	return 1
}

func (s *Session) startDesktop() {
	s.t.Helper()
	s.Run("openbox")
	s.startPanel()
	s.write(s.Path("dunstrc"), dunstConfig)
	s.Run("dunst", "-config", s.Path("dunstrc"))
	Wait(s.t, "the notification server", func() bool { return s.HasOwner(ServerName) })
	s.Move(ScreenWidth/2, ScreenHeight/2)
}

// RestartPanel kills the panel and starts it again, and waits for its tray.
func (s *Session) RestartPanel() {
	s.t.Helper()
	s.panel.Stop()
	Wait(s.t, "the end of the panel's tray", func() bool { return !s.HasOwner(WatcherName) })
	s.startPanel()
}

// FreezePanel holds the panel still, as a locked screen or a suspended desktop may,
// until thaw is called.
func (s *Session) FreezePanel() (thaw func()) {
	s.t.Helper()
	signal := func(what syscall.Signal) {
		if err := syscall.Kill(-s.panel.Cmd.Process.Pid, what); err != nil {
			s.t.Fatalf("the panel: %v", err)
		}
	}
	signal(syscall.SIGSTOP)
	return func() { signal(syscall.SIGCONT) }
}

func (s *Session) startPanel() {
	s.t.Helper()
	grey := "0.94"
	if s.o.Dark {
		grey = "0.125"
	}
	s.write(s.Path("config", "xfce4", "xfconf", "xfce-perchannel-xml", "xfce4-panel.xml"),
		strings.ReplaceAll(panelConfig, "GREY", grey))
	s.panel = s.Run("xfce4-panel", "--disable-wm-check")
	Wait(s.t, "the panel's tray", func() bool { return s.HasOwner(WatcherName) })
}

const panelConfig = `<?xml version="1.0" encoding="UTF-8"?>
<channel name="xfce4-panel" version="1.0">
  <property name="configver" type="int" value="2"/>
  <property name="panels" type="array">
    <value type="int" value="1"/>
    <property name="panel-1" type="empty">
      <property name="position" type="string" value="p=6;x=0;y=0"/>
      <property name="position-locked" type="bool" value="true"/>
      <property name="length" type="uint" value="100"/>
      <property name="size" type="uint" value="32"/>
      <property name="icon-size" type="uint" value="22"/>
      <property name="background-style" type="uint" value="1"/>
      <property name="background-rgba" type="array">
        <value type="double" value="GREY"/><value type="double" value="GREY"/>
        <value type="double" value="GREY"/><value type="double" value="1"/>
      </property>
      <property name="plugin-ids" type="array">
        <value type="int" value="1"/><value type="int" value="2"/><value type="int" value="3"/>
      </property>
    </property>
  </property>
  <property name="plugins" type="empty">
    <property name="plugin-1" type="string" value="separator">
      <property name="expand" type="bool" value="true"/>
      <property name="style" type="uint" value="0"/>
    </property>
    <property name="plugin-2" type="string" value="systray"/>
    <property name="plugin-3" type="string" value="separator">
      <property name="style" type="uint" value="0"/>
    </property>
  </property>
</channel>
`

const dunstConfig = `[global]
    monitor = 0
    width = 420
    height = 200
    origin = bottom-right
    offset = 20x20
    font = DejaVu Sans 10
    markup = full
    format = "<b>%s</b>\n%b"
    show_age_threshold = -1
    mouse_middle_click = do_action, close_current
`

// Move puts the pointer at a pixel, in small steps: menus follow a pointer that
// travels, and ignore one that appears.
func (s *Session) Move(x, y int) {
	s.t.Helper()
	s.xdotool("mousemove", fmt.Sprint(x-2), fmt.Sprint(y), "mousemove", fmt.Sprint(x), fmt.Sprint(y))
}

// Click clicks the left button at a pixel.
func (s *Session) Click(x, y int) { s.t.Helper(); s.click(x, y, "1") }

// ClickMiddle clicks the middle button, which runs the default action of a
// notice on the notification server of the test desktop.
func (s *Session) ClickMiddle(x, y int) { s.t.Helper(); s.click(x, y, "2") }

func (s *Session) click(x, y int, button string) {
	s.t.Helper()
	s.Move(x, y)
	s.xdotool("click", button)
}

func (s *Session) xdotool(args ...string) {
	s.t.Helper()
	cmd := exec.Command("xdotool", args...)
	cmd.Env = s.Env()
	if out, err := cmd.CombinedOutput(); err != nil {
		s.t.Fatalf("xdotool %q: %v: %s", args, err, out)
	}
}

// Screenshot takes a picture of the screen and keeps it as a PNG file at path,
// unless path is empty.
func (s *Session) Screenshot(path string) *image.RGBA {
	s.t.Helper()
	if path == "" {
		path = s.Path("screen.png")
	}
	cmd := exec.Command("import", "-silent", "-window", "root", "png24:"+path)
	cmd.Env = s.Env()
	if out, err := cmd.CombinedOutput(); err != nil {
		s.t.Fatalf("import: %v: %s", err, out)
	}
	f, err := os.Open(path)
	if err != nil {
		s.t.Fatal(err)
	}
	defer f.Close()
	m, err := png.Decode(f)
	if err != nil {
		s.t.Fatalf("%s: %v", path, err)
	}
	rgba, ok := m.(*image.RGBA)
	if !ok {
		s.t.Fatalf("%s holds a %T, want 24-bit colour", path, m)
	}
	return rgba
}

// WaitScreen takes pictures until good likes one, and keeps that one at path.
func (s *Session) WaitScreen(path, what string, good func(*image.RGBA) bool) *image.RGBA {
	s.t.Helper()
	var m *image.RGBA
	Wait(s.t, what, func() bool {
		m = s.Screenshot(path)
		return good(m)
	})
	return m
}

// Everywhere is the whole screen, however large it is.
var Everywhere = image.Rect(0, 0, 1<<15, 1<<15)

// WaitStill is WaitScreen that takes pictures until three in a row are equal within an
// area, too: a busy panel draws in pieces.
func (s *Session) WaitStill(path, what string, area image.Rectangle, good func(*image.RGBA) bool) *image.RGBA {
	s.t.Helper()
	last, same := s.Screenshot(path), 0
	return s.WaitScreen(path, what, func(m *image.RGBA) bool {
		time.Sleep(50 * time.Millisecond)
		same++
		if !Changed(last, m, area.Intersect(m.Bounds())).Empty() {
			same = 0
		}
		last = m
		return same >= 2 && good(m)
	})
}

// Changed is the smallest rectangle that holds all differences of two pictures
// of the screen, within an area.
func Changed(before, after *image.RGBA, area image.Rectangle) image.Rectangle {
	var r image.Rectangle
	for y := area.Min.Y; y < area.Max.Y; y++ {
		for x := area.Min.X; x < area.Max.X; x++ {
			if before.RGBAAt(x, y) != after.RGBAAt(x, y) {
				r = r.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	return r
}

// Grey is the lightness of a pixel, 0 to 255.
func Grey(m *image.RGBA, x, y int) uint8 {
	return color.GrayModel.Convert(m.RGBAAt(x, y)).(color.Gray).Y
}
