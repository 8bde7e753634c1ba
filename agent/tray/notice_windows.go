package tray

import (
	"context"
	"errors"
	"os"
	"sync"
	"unsafe"

	"golang.org/x/sys/windows"

	"lampblack/config/legible"
	"lampblack/rules"
)

var procShellNotifyIcon = windows.NewLazySystemDLL("shell32.dll").NewProc("Shell_NotifyIconW")

// notifyIcon is NOTIFYICONDATAW, as Windows documents it.
type notifyIcon struct {
	Size                uint32
	Window              windows.Handle
	ID, Flags, Callback uint32
	Icon                windows.Handle
	Tip                 [128]uint16
	State, StateMask    uint32
	Info                [256]uint16
	Version             uint32
	InfoTitle           [64]uint16
	InfoFlags           uint32
	GUID                windows.GUID
	BalloonIcon         windows.Handle
}

const (
	nimModify = 1
	nifInfo   = 0x10

	niifInfo             = 0x01
	niifNoSound          = 0x10
	niifRespectQuietTime = 0x80

	trayClass = "SystrayClass" // the tray library's window, and the
	trayIcon  = 100            // number it gave its icon
)

// showBalloon shows n at our icon, without sound, unless the user wants quiet.
// A new one takes the place of the one before. The text is shown as it is.
func showBalloon(_ context.Context, n rules.Notice) error {
	window := ownWindow()
	if window == 0 {
		return errors.New("no tray window of our own")
	}
	data := notifyIcon{
		Window: windows.Handle(window), ID: trayIcon, Flags: nifInfo,
		InfoFlags: niifInfo | niifNoSound | niifRespectQuietTime,
	}
	data.Size = uint32(unsafe.Sizeof(data))
	fillUTF16(data.InfoTitle[:], cut(legible.Plain(n.Title), maxLine))
	fillUTF16(data.Info[:], cut(legible.PlainLines(n.Body), maxBody))
	if ok, _, err := procShellNotifyIcon.Call(nimModify, uintptr(unsafe.Pointer(&data))); ok == 0 {
		return err
	}
	return nil
}

// ownWindow looks once: a callback, once made, is never given back.
var ownWindow = sync.OnceValue(trayWindow)

// trayWindow finds the tray library's window in this process; 0: there is none.
func trayWindow() windows.HWND {
	var found windows.HWND
	own := uint32(os.Getpid())
	visit := windows.NewCallback(func(w windows.HWND, _ uintptr) uintptr {
		var pid uint32
		if _, err := windows.GetWindowThreadProcessId(w, &pid); err != nil || pid != own {
			return 1
		}
		var class [len(trayClass) + 2]uint16
		if _, err := windows.GetClassName(w, &class[0], int32(len(class))); err != nil {
			return 1
		}
		if windows.UTF16ToString(class[:]) != trayClass {
			return 1
		}
		found = w
		return 0
	})
	_ = windows.EnumWindows(visit, nil) // an early end is reported as an error
	return found
}

// fillUTF16 writes s and a closing zero into dst, without halving a character.
func fillUTF16(dst []uint16, s string) {
	for {
		u, err := windows.UTF16FromString(s)
		if err != nil { // a zero inside: cleaned text has none
			return
		}
		if len(u) <= len(dst) {
			copy(dst, u)
			return
		}
		s = cut(s, len([]rune(s))-1)
	}
}
