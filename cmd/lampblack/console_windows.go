package main

import (
	"os"

	"golang.org/x/sys/windows"
)

// attachConsole gives the program the terminal that it was typed in. It is built
// without a console of its own, so that none opens beside the tray; whatever its
// output was led to stays as it is.
func attachConsole() {
	if led(windows.STD_OUTPUT_HANDLE) {
		return
	}
	const parent = ^uint32(0) // ATTACH_PARENT_PROCESS
	attach := windows.NewLazySystemDLL("kernel32.dll").NewProc("AttachConsole")
	if ok, _, _ := attach.Call(uintptr(parent)); ok == 0 {
		return // started from the desktop: nobody is reading
	}
	if out, err := os.OpenFile("CONOUT$", os.O_RDWR, 0); err == nil {
		os.Stdout = out
		if !led(windows.STD_ERROR_HANDLE) {
			os.Stderr = out
		}
	}
	if in, err := os.OpenFile("CONIN$", os.O_RDWR, 0); err == nil && !led(windows.STD_INPUT_HANDLE) {
		os.Stdin = in
	}
}

// led tells whether a standard handle leads anywhere.
func led(standard uint32) bool {
	h, err := windows.GetStdHandle(standard)
	if err != nil || h == 0 || h == windows.InvalidHandle {
		return false
	}
	kind, err := windows.GetFileType(h)
	return err == nil && kind != windows.FILE_TYPE_UNKNOWN
}
