package agent

import (
	"context"
	"fmt"
	"runtime/debug"
	"sync"
)

// answer is what came of an errand.
type answer[A, B any] struct {
	about A
	found B
	err   error // the errand's own, or a *faultError when it panicked
}

// errand has something done beside the loop, since it may take long, or hang for good
// on a drive that is dead. It returns at once; what comes of it is sent to answers,
// unless ctx has ended by then, when nobody wants it any more. A panic goes no further
// than here: it is the answer's error.
func errand[A, B any](ctx context.Context, hands *sync.WaitGroup, about A, do func(context.Context, A) (B, error), answers chan<- answer[A, B]) {
	hands.Go(func() {
		a := attempt(ctx, about, do)
		if ctx.Err() != nil {
			return
		}
		select {
		case answers <- a:
		case <-ctx.Done():
		}
	})
}

// attempt is what comes of doing something, be it a panic.
func attempt[A, B any](ctx context.Context, about A, do func(context.Context, A) (B, error)) (a answer[A, B]) {
	a.about = about
	defer func() {
		if cause := recover(); cause != nil {
			a.err = &faultError{cause, debug.Stack()}
		}
	}()
	a.found, a.err = do(ctx, about)
	return a
}

// faultError is a panic as an error: what went wrong is this program's own fault.
type faultError struct {
	cause any
	stack []byte // of the goroutine that panicked
}

func (e *faultError) Error() string { return fmt.Sprintf("a fault of Lampblack's own (%v)", e.cause) }
