//go:build desktop

package tray

import (
	"fmt"
	"image"
	"os"
	"path/filepath"
	"testing"

	"lampblack/agent/tray/desktoptest"
	"lampblack/rules"
)

// TestRealPanel looks at the tray on a real panel with real pointer clicks, and
// keeps pictures in the folder that LAMPBLACK_SCREENS names.
func TestRealPanel(t *testing.T) {
	for _, look := range []string{"light", "dark"} {
		t.Run(look, func(t *testing.T) { onPanelOf(t, look) })
	}
}

var panelArea = image.Rect(0, 0, desktoptest.ScreenWidth, desktoptest.PanelHeight)

// desk is the screen under test: the pictures before and after each step.
type desk struct {
	*desktoptest.Session
	t       *testing.T
	look    string
	folder  string
	empty   *image.RGBA // the screen without the icon
	resting *image.RGBA // with it, and nothing open
	icon    image.Rectangle
}

// showOn shows Tidemark's tray, with no patch hollow, on a panel of that look.
func showOn(t *testing.T, look string) (*desk, *child, *desktoptest.Item) {
	d := &desk{t: t, look: look, folder: os.Getenv("LAMPBLACK_SCREENS"),
		Session: desktoptest.Start(t, desktoptest.Options{Screen: true, Dark: look == "dark"})}
	if d.folder == "" {
		d.folder = t.TempDir()
	}
	if err := os.MkdirAll(d.folder, 0o755); err != nil {
		t.Fatal(err)
	}
	d.empty = d.settled("", "a screen at rest")
	c := startChild(t, d.Session)
	state := tidemark()
	state.Summary.Wedge = rules.Wedge{}
	c.show(state)
	item := c.item(d.Session)
	awaitMenu(t, item)
	awaitRefills(t, item, refillsEach)
	d.findIcon(d.empty)
	return d, c, item
}

// TestLockedScreen: a panel that answers nothing for a while holds nothing up, and
// has the present state and a whole menu once it does again.
func TestLockedScreen(t *testing.T) {
	d, c, item := showOn(t, "light")
	thaw := d.FreezePanel()
	state := tidemark()
	state.Summary.Wedge = rules.Wedge{}
	for i := range 20 {
		state.Summary.Headline = fmt.Sprint("locked ", i)
		c.show(state)
	}
	item.Click("Mark calibrated")
	wantCommand(t, c, Command{Kind: MarkCalibrated})
	desktoptest.Wait(t, "the last state", func() bool { return item.Has("locked 19") })
	thaw()
	d.resting = d.settled("", "an unlocked screen")
	d.logLight(c, "-unlocked")
	c.end()
}

func onPanelOf(t *testing.T, look string) {
	d, c, item := showOn(t, look)
	d.awaitTones("", true)
	c.show(tidemark())
	d.awaitTones(d.file("icon"), false)

	d.logLight(c, "")
	d.tellOutcome(c)
	d.notice(c)
	d.RestartPanel()
	d.Move(desktoptest.ScreenWidth/2, desktoptest.ScreenHeight/2)
	awaitRefills(t, item, 2*refillsEach)
	d.findIcon(d.empty)
	d.logLight(c, "-after-restart")
	c.end()
}

func (d *desk) file(name string) string {
	return filepath.Join(d.folder, "tray-"+name+"-"+d.look+".png")
}

// settled takes pictures until the whole screen is at rest.
func (d *desk) settled(file, what string) *image.RGBA {
	d.t.Helper()
	return d.WaitStill(file, what, desktoptest.Everywhere, func(*image.RGBA) bool { return true })
}

// findIcon finds what has come onto the panel since the empty picture.
func (d *desk) findIcon(empty *image.RGBA) {
	d.t.Helper()
	d.WaitScreen("", "the icon on the panel", func(m *image.RGBA) bool {
		return desktoptest.Changed(empty, m, panelArea).Dx() >= 12
	})
	d.resting = d.settled("", "an icon at rest")
	d.icon = desktoptest.Changed(empty, d.resting, panelArea)
	if d.icon.Dx() > 48 || d.icon.Dy() < 10 {
		d.t.Fatalf("%v changed on the panel, want one icon", d.icon)
	}
}

// awaitTones waits until the wedge's lightest patch is on the panel, and its darkest
// filled or hollow: the panel draws when it gets to it.
func (d *desk) awaitTones(file string, dark bool) {
	d.t.Helper()
	d.resting = d.WaitScreen(file, fmt.Sprintf("a light patch, the dark one filled: %v", dark), func(m *image.RGBA) bool {
		darkest, lightest := extremes(m, d.icon)
		return lightest >= 0xf4 && (darkest < 0x18) == dark
	})
}

// extremes are the lightness of the darkest and of the lightest pixel of an area.
func extremes(m *image.RGBA, area image.Rectangle) (darkest, lightest uint8) {
	darkest = 255
	for y := area.Min.Y; y < area.Max.Y; y++ {
		for x := area.Min.X; x < area.Max.X; x++ {
			g := desktoptest.Grey(m, x, y)
			darkest, lightest = min(darkest, g), max(lightest, g)
		}
	}
	return darkest, lightest
}

// The places of rows in Tidemark's menu, counted from 0; a separator stands
// before the first of them.
const (
	readRows   = 6 // the lines to read
	lightAt    = readRows
	outcomesAt = readRows + 3
	menuLength = readRows + 9
)

// logLight clicks 64 lx, the fifth of ten.
func (d *desk) logLight(c *child, suffix string) {
	d.t.Helper()
	d.pick(suffix, lightAt, 4, 10)
	wantCommand(d.t, c, Command{Kind: LogLight, Lux: 64})
}

// tellOutcome clicks "a bit darker", the fourth of seven rows: two prints, and
// what becomes of the first.
func (d *desk) tellOutcome(c *child) {
	d.t.Helper()
	d.pick("-outcome", outcomesAt, 3, 7)
	wantCommand(d.t, c, Command{Kind: TellOutcome, Print: "3", Outcome: rules.BitDarker})
}

// pick opens the menu and the submenu at a row of it with the pointer, and clicks
// a row of that, of which so many can be seen.
func (d *desk) pick(suffix string, at, subAt, subRows int) {
	d.t.Helper()
	d.Click((d.icon.Min.X+d.icon.Max.X)/2, (d.icon.Min.Y+d.icon.Max.Y)/2)
	below := image.Rect(0, desktoptest.PanelHeight, desktoptest.ScreenWidth, desktoptest.ScreenHeight)
	d.WaitScreen("", "an open menu", func(m *image.RGBA) bool {
		return !desktoptest.Changed(d.resting, m, below).Empty()
	})
	open := d.settled(d.file("menu"+suffix), "a menu at rest")
	menu := desktoptest.Changed(d.resting, open, below)
	if menu.Dx() < 200 || menu.Dy() < menuLength*15 {
		d.t.Fatalf("the menu covers %v: too small for %d rows", menu, menuLength)
	}
	const separator = 1.0 / 3 // as high as that part of a row
	rowHeight := float64(menu.Dy()) / (menuLength + separator)
	y := menu.Min.Y + int(rowHeight*(float64(at)+separator+0.5))
	d.hover(open, menu.Min.X+60, y)

	beside := image.Rect(0, menu.Min.Y, menu.Min.X-8, desktoptest.ScreenHeight)
	if menu.Min.X < 300 {
		beside = image.Rect(menu.Max.X+8, menu.Min.Y, desktoptest.ScreenWidth, desktoptest.ScreenHeight)
	}
	d.WaitScreen(d.file("opening"+suffix), "a submenu with all its rows", func(m *image.RGBA) bool {
		return desktoptest.Changed(d.resting, m, beside).Dy() >= int(float64(subRows)*rowHeight)
	})
	opened := d.settled(d.file("submenu"+suffix), "a submenu at rest")
	sub := desktoptest.Changed(d.resting, opened, beside)
	y = sub.Min.Y + int(rowHeight*(float64(subAt)+0.5))
	d.hover(opened, sub.Max.X-30, y)
	d.Click(sub.Max.X-32, y)
	d.WaitScreen("", "a closed menu", func(m *image.RGBA) bool {
		return desktoptest.Changed(d.resting, m, below).Empty()
	})
}

// hover moves the pointer onto a row of a menu until the row lights up.
func (d *desk) hover(before *image.RGBA, x, y int) {
	d.t.Helper()
	row := image.Rect(x-20, y-4, x+20, y+4)
	desktoptest.Wait(d.t, "a row under the pointer", func() bool {
		d.Move(x, y)
		return !desktoptest.Changed(before, d.Screenshot(""), row).Empty()
	})
}

// notice shows a notice with a hostile name on the real server, and clicks it.
func (d *desk) notice(c *child) {
	d.t.Helper()
	c.notify(rules.Notice{
		Title: "Likely darker: about ½ stop in the shadows",
		Body:  "a_b & <b>quay</b>.tif: the room gives 180 lx at the screen.\nLower it to 64 lx, or wait for dusk.",
	})
	corner := image.Rect(desktoptest.ScreenWidth/2, desktoptest.ScreenHeight/2, desktoptest.ScreenWidth, desktoptest.ScreenHeight)
	d.WaitScreen("", "a notice", func(m *image.RGBA) bool {
		return !desktoptest.Changed(d.resting, m, corner).Empty()
	})
	m := d.settled(d.file("notice"), "a notice at rest")
	box := desktoptest.Changed(d.resting, m, corner)
	if box.Dx() < 200 || box.Dy() < 40 {
		d.t.Errorf("the notice covers %v: too small for its text", box)
	}
	d.ClickMiddle(box.Min.X+box.Dx()/2, box.Min.Y+box.Dy()/2)
	wantCommand(d.t, c, Command{Kind: NoticeClicked})
	d.Move(desktoptest.ScreenWidth/2, desktoptest.ScreenHeight/3)
	d.WaitScreen("", "a closed notice", func(m *image.RGBA) bool {
		return desktoptest.Changed(d.resting, m, corner).Empty()
	})
}

// TestPanelOfDoublePixels: on a screen with twice the pixels each way the icon is
// drawn with them, not enlarged, and the menu is all there.
func TestPanelOfDoublePixels(t *testing.T) {
	for _, look := range []string{"light", "dark"} {
		t.Run(look, func(t *testing.T) {
			d := &desk{t: t, look: look + "-double", folder: os.Getenv("LAMPBLACK_SCREENS"),
				Session: desktoptest.Start(t, desktoptest.Options{Screen: true, Dark: look == "dark", Double: true})}
			if d.folder == "" {
				d.folder = t.TempDir()
			}
			panel := image.Rect(0, 0, 2*desktoptest.ScreenWidth, 2*desktoptest.PanelHeight)
			empty := d.settled("", "a screen at rest")
			c := startChild(t, d.Session)
			c.show(tidemark())
			item := c.item(d.Session)
			awaitMenu(t, item)
			awaitRefills(t, item, refillsEach)
			d.WaitScreen("", "the icon on the panel", func(m *image.RGBA) bool {
				return desktoptest.Changed(empty, m, panel).Dx() >= 24
			})
			d.resting = d.settled("", "an icon at rest")
			d.icon = desktoptest.Changed(empty, d.resting, panel)
			if d.icon.Dx() < 32 || d.icon.Dx() > 96 {
				t.Fatalf("the icon covers %v", d.icon)
			}
			d.awaitTones(d.file("icon"), false)
			if fine := finest(d.resting, d.icon); fine > 2 {
				t.Errorf("nothing in the icon is finer than %d pixels: it was enlarged", fine)
			}
			d.Click((d.icon.Min.X+d.icon.Max.X)/2, (d.icon.Min.Y+d.icon.Max.Y)/2)
			below := image.Rect(0, panel.Max.Y, panel.Max.X, 2*desktoptest.ScreenHeight)
			d.WaitScreen("", "an open menu", func(m *image.RGBA) bool {
				return desktoptest.Changed(d.resting, m, below).Dy() >= 2*menuLength*15
			})
			d.settled(d.file("menu"), "a menu at rest")
			c.end()
		})
	}
}

// finest is the length of the shortest run of one grey in the rows of an area.
func finest(m *image.RGBA, area image.Rectangle) int {
	shortest := area.Dx()
	for y := area.Min.Y; y < area.Max.Y; y++ {
		run := 1
		for x := area.Min.X + 1; x < area.Max.X; x++ {
			if desktoptest.Grey(m, x, y) == desktoptest.Grey(m, x-1, y) {
				run++
				continue
			}
			shortest, run = min(shortest, run), 1
		}
	}
	return shortest
}
