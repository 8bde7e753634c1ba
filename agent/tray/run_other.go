//go:build !(linux || freebsd || openbsd || netbsd || windows || (darwin && cgo))

package tray

import (
	"context"

	"lampblack/rules"
)

// run has nothing to show a tray with: it says so and waits.
func (t *Tray) run(ctx context.Context) error {
	t.o.Log("this build has no tray: watching goes on without one")
	t.deliver(ctx, func(context.Context, rules.Notice) error { return nil })
	return nil
}
