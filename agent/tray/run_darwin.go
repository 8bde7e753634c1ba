//go:build cgo

package tray

import (
	"context"
	"os/exec"
	"time"

	"fyne.io/systray"

	"lampblack/config/legible"
	"lampblack/rules"
)

// run shows the tray until ctx ends. Nothing is set before the native run:
// a title would stand in the menu bar, and the rest would be lost.
func (t *Tray) run(ctx context.Context) error {
	ready := make(chan struct{})
	go func() {
		select {
		case <-ready:
			t.shown.Store(true)
			t.deliver(ctx, showByScript)
		case <-ctx.Done():
		}
	}()
	t.runNative(ctx, nil, ready)
	return nil
}

const iconSize = 44 // 22 points on a fine display

// iconSetter doesn't use a template icon: the system would repaint its tones.
func iconSetter(string) func(rules.Wedge) {
	return func(w rules.Wedge) { systray.SetIcon(iconPNG(w, iconSize)) }
}

func tooltip(s string) string { return s }

// showByScript shows n by the system's own script runner. The texts are its
// arguments and no part of the script, so nothing in them can be run.
func showByScript(ctx context.Context, n rules.Notice) error {
	ctx, cancel := context.WithTimeout(ctx, 5*time.Second)
	defer cancel()
	return exec.CommandContext(ctx, "/usr/bin/osascript",
		"-e", "on run argv",
		"-e", "display notification (item 2 of argv) with title (item 1 of argv)",
		"-e", "end run",
		"--", cut(legible.Plain(n.Title), maxLine), cut(legible.PlainLines(n.Body), maxBody)).Run()
}
