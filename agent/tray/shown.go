//go:build linux || freebsd || openbsd || netbsd || windows || (darwin && cgo)

package tray

import (
	"context"
	"runtime"
	"sync/atomic"
	"time"

	"fyne.io/systray"

	"lampblack/rules"
)

// shown is the tray on the screen: the face it has now, and the native items of
// its rows. Only the goroutine that runs follow touches it, but for clicked.
type shown struct {
	o       Options
	send    func(Command)
	face    face
	clicked atomic.Pointer[face] // the same, for those who pass on clicks
	items   []*item
	setIcon func(rules.Wedge)
}

// item is the native side of a row. A separator has no native item to hold, and
// a line to read has no clicks; it is not disabled, because what matters most
// would then be the palest text of the menu.
type item struct {
	native *systray.MenuItem
	clicks chan struct{}
	items  []*item
}

// runNative shows the tray and blocks the main thread until ctx ends. A value
// in refills asks for new submenus. It closes ready when the menu stands.
func (t *Tray) runNative(ctx context.Context, refills <-chan struct{}, ready chan<- struct{}) {
	first := portray(State{}, t.o)
	systray.Run(func() { // must return: hosts get no menu before it has
		s := &shown{o: t.o, send: t.send, face: first, setIcon: iconSetter(t.o.ID)}
		s.build()
		close(ready)
		go func() {
			follow(ctx, t.states, refills, s.show, func() { s.refill(ctx) })
			systray.Quit() // here and nowhere else: nothing is set after it
		}()
	}, nil)
}

// build makes the menu of the first face.
func (s *shown) build() {
	s.setIcon(s.face.icon)
	systray.SetTooltip(tooltip(s.face.tooltip))
	s.items = make([]*item, len(s.face.rows))
	for i, r := range s.face.rows {
		if r.separator {
			systray.AddSeparator()
			s.items[i] = &item{}
			continue
		}
		it := &item{native: systray.AddMenuItem(label(r.text), "")}
		s.listen(it, r)
		if r.hidden {
			it.native.Hide()
		}
		for _, sub := range r.rows {
			child := &item{}
			s.addSub(it, child, sub)
			s.listen(child, sub)
			it.items = append(it.items, child)
		}
		s.items[i] = it
	}
}

// addSub gives child, a row of the submenu of it, its native item.
func (s *shown) addSub(it, child *item, r row) {
	if r.radio {
		child.native = it.native.AddSubMenuItemCheckbox(label(r.text), "", r.checked)
	} else {
		child.native = it.native.AddSubMenuItem(label(r.text), "")
	}
	if child.clicks != nil {
		child.native.ClickedCh = child.clicks
	}
	if r.hidden {
		child.native.Hide()
	}
}

// listen passes on the clicks of it. The library drops a click that nobody
// waits for, hence the buffer in place of its own channel.
func (s *shown) listen(it *item, r row) {
	if r.command == (Command{}) {
		return
	}
	it.clicks = make(chan struct{}, 16)
	it.native.ClickedCh = it.clicks
	go func() {
		for range it.clicks {
			if c, ok := s.clicked.Load().named(r.command); ok {
				s.send(c)
			}
		}
	}()
}

// show changes what differs between the face on the screen and that of st.
func (s *shown) show(st State) {
	next := portray(st, s.o)
	if next.icon != s.face.icon {
		s.setIcon(next.icon)
	}
	if next.tooltip != s.face.tooltip {
		systray.SetTooltip(tooltip(next.tooltip))
	}
	update(s.items, s.face.rows, next.rows)
	s.face = next
	s.clicked.Store(&next)
}

func update(items []*item, old, next []row) {
	for i, it := range items {
		was, is := old[i], next[i]
		switch { // a hidden item keeps its old text: on Windows a new one would show it
		case is.hidden && !was.hidden:
			it.native.Hide()
		case !is.hidden && was.hidden:
			it.native.SetTitle(label(is.text))
			it.native.Show()
		case !is.hidden && is.text != was.text:
			it.native.SetTitle(label(is.text))
		}
		switch {
		case is.checked && !was.checked:
			it.native.Check()
		case !is.checked && was.checked:
			it.native.Uncheck()
		}
		update(it.items, was.rows, is.rows)
	}
}

// refillGap lets the host see the emptied submenus before they are filled.
const refillGap = 250 * time.Millisecond

// refill takes the rows out of the submenus and puts them in again, under new
// numbers, for a panel that shows them blank. Everything else keeps its item. Icon and
// tooltip are told once more: a panel that was still reading them when they changed
// keeps the old ones.
func (s *shown) refill(ctx context.Context) {
	s.setIcon(s.face.icon)
	systray.SetTooltip(tooltip(s.face.tooltip))
	for _, it := range s.items {
		for _, child := range it.items {
			child.native.ClickedCh = nil // ours; Remove would close it
			child.native.Remove()
		}
	}
	pause(ctx, refillGap)
	for i, it := range s.items {
		for j, child := range it.items {
			s.addSub(it, child, s.face.rows[i].rows[j])
		}
		if len(it.items) > 0 {
			// Takes the library's lock, and so hands the click channels
			// over to whoever looks an item up from now on.
			it.native.SetTitle(label(s.face.rows[i].text))
		}
	}
}

func label(s string) string { return escapeLabel(runtime.GOOS, s) }
