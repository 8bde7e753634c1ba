package tray

import (
	"context"
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"time"
	"unicode/utf16"

	"fyne.io/systray"
	"golang.org/x/sys/windows"

	"lampblack/config/private"
	"lampblack/rules"
)

// takeTime is how long the taskbar may take to accept the icon. When it isn't
// up yet, at login, it refuses, and the library doesn't try again.
const takeTime = 10 * time.Second

// run shows the tray until ctx ends, or gives up when the taskbar refuses.
func (t *Tray) run(ctx context.Context) error {
	ready := make(chan struct{})
	refused := make(chan struct{})
	life, end := context.WithCancel(ctx)
	defer end()
	main := windows.GetCurrentThreadId()
	go func() {
		select {
		case <-ready:
			t.shown.Store(true)
			t.deliver(life, showBalloon)
			return
		case <-life.Done():
		case <-time.After(takeTime):
			close(refused)
		}
		// There may be no window to close: end the main thread's message loop.
		const wmQuit = 0x0012
		procPostThreadMessage.Call(uintptr(main), wmQuit, 0, 0)
	}()
	t.runNative(life, nil, ready)
	select {
	case <-refused:
		return ErrNotShown
	default:
		return nil
	}
}

var (
	user32                = windows.NewLazySystemDLL("user32.dll")
	procPostThreadMessage = user32.NewProc("PostThreadMessageW")
)

// iconSetter loads icons from files in our own cache: the library would put
// them into the shared temporary folder and trust whatever lies there.
func iconSetter(id string) func(rules.Wedge) {
	dir, err := iconDir(id)
	return func(w rules.Wedge) {
		if err != nil {
			return // the icon stays the system's plain one; the menu tells the rest
		}
		path, err := iconFile(dir, w)
		if err == nil {
			_ = systray.SetIconFromFilePath(path)
		}
	}
}

func iconDir(id string) (string, error) {
	cache, err := os.UserCacheDir()
	if err != nil {
		return "", err
	}
	dir := filepath.Join(cache, id, "icons")
	return dir, private.Folder(dir)
}

// iconFile writes the icon under a name made from its content. It writes it
// whole or not at all, and anew in each process.
func iconFile(dir string, w rules.Wedge) (string, error) {
	data := iconICO(w)
	path := filepath.Join(dir, fmt.Sprintf("%x.ico", sha256.Sum256(data)))
	return path, private.Replace(path, data)
}

// maxTip is the room that Windows has for a tooltip, in UTF-16 units without
// the closing zero, which the library doesn't add to a longer one.
const maxTip = 127

func tooltip(s string) string {
	for u := utf16.Encode([]rune(s)); len(u) > maxTip; u = utf16.Encode([]rune(s)) {
		s = cut(s, len([]rune(s))-1)
	}
	return s
}
