package tray

import (
	"context"
	"time"
)

// mailbox holds the latest value only. Any goroutine may put.
type mailbox[T any] chan T

func newMailbox[T any]() mailbox[T] { return make(chan T, 1) }

// put replaces what lies in the box. It never blocks.
func (b mailbox[T]) put(v T) {
	for {
		select {
		case b <- v:
			return
		default:
		}
		b.empty()
	}
}

// empty throws away what lies in the box.
func (b mailbox[T]) empty() {
	select {
	case <-b:
	default:
	}
}

// updateGap is the shortest time between two updates of the tray. Some hosts
// rebuild the menu at each update, and close it under the user's pointer.
const updateGap = time.Second

// follow calls show with the latest state and refill when asked to, with at
// least updateGap after each call, until ctx ends. Between calls it sleeps.
func follow(ctx context.Context, states mailbox[State], refills <-chan struct{}, show func(State), refill func()) {
	for {
		select {
		case <-ctx.Done():
			return
		case s := <-states:
			show(s)
		case <-refills:
			refill()
		}
		pause(ctx, updateGap)
	}
}

// pause waits for d or for the end of ctx.
func pause(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}
