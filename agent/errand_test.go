package agent

import (
	"context"
	"errors"
	"io"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"
)

// sendOut sends an errand about "fog" out, and gives it back with what it was given.
func sendOut(ctx context.Context, do func(context.Context, string) (int, error)) (*sync.WaitGroup, chan answer[string, int]) {
	var hands sync.WaitGroup
	answers := make(chan answer[string, int])
	errand(ctx, &hands, "fog", do, answers)
	return &hands, answers
}

// TestErrandAnswers: the answer says what it is about, with what was found or why
// nothing was, and waits until somebody takes it.
func TestErrandAnswers(t *testing.T) {
	for name, want := range map[string]answer[string, int]{
		"found":     {"fog", 7, nil},
		"an error":  {"fog", 0, io.ErrUnexpectedEOF},
		"something": {"fog", 3, io.ErrUnexpectedEOF},
	} {
		synctest.Test(t, func(t *testing.T) {
			hands, answers := sendOut(t.Context(), func(_ context.Context, about string) (int, error) {
				if about != "fog" {
					t.Errorf("%s: it was sent out about %q", name, about)
				}
				return want.found, want.err
			})
			time.Sleep(time.Hour) // the loop has other things to do
			if got := <-answers; got != want {
				t.Errorf("%s: the answer is %+v, want %+v", name, got, want)
			}
			hands.Wait()
		})
	}
}

// TestErrandWhenAllEnds: what was under way when the context ended is not told, and
// nothing of it stays behind.
func TestErrandWhenAllEnds(t *testing.T) {
	for name, do := range map[string]func(context.Context, string) (int, error){
		"it stops with the context": func(ctx context.Context, _ string) (int, error) { <-ctx.Done(); return 0, ctx.Err() },
		"it ends in its own time":   func(context.Context, string) (int, error) { time.Sleep(2 * time.Minute); return 7, nil },
		"it is done, and waits":     func(context.Context, string) (int, error) { return 7, nil },
		"it breaks":                 func(context.Context, string) (int, error) { time.Sleep(2 * time.Minute); panic("late") },
	} {
		synctest.Test(t, func(t *testing.T) {
			ctx, cancel := context.WithCancel(t.Context())
			hands, answers := sendOut(ctx, do)
			time.Sleep(time.Minute)
			cancel()
			hands.Wait()
			select {
			case got := <-answers:
				t.Errorf("%s: it answers %+v", name, got)
			default:
			}
		})
	}
}

// TestErrandToldTooLate: with somebody there to take the answer, it is not told either
// once the context has ended.
func TestErrandToldTooLate(t *testing.T) {
	for range 100 { // of a channel and an end that are both ready, select takes either
		ctx, cancel := context.WithCancel(t.Context())
		var hands sync.WaitGroup
		answers := make(chan answer[string, int], 1)
		errand(ctx, &hands, "fog", func(context.Context, string) (int, error) { cancel(); return 7, nil }, answers)
		hands.Wait()
		if len(answers) != 0 {
			t.Fatalf("it answers %+v", <-answers)
		}
	}
}

// TestErrandBreaks: a panic ends at the errand, and is told with what it was about and
// where it was.
func TestErrandBreaks(t *testing.T) {
	for name, cause := range map[string]any{"a value": "no such tone", "an error": io.ErrNoProgress} {
		hands, answers := sendOut(t.Context(), func(context.Context, string) (int, error) { panic(cause) })
		got := <-answers
		hands.Wait()
		var fault *faultError
		if got.about != "fog" || got.found != 0 || !errors.As(got.err, &fault) || fault.cause != cause {
			t.Fatalf("%s: the answer is %+v", name, got)
		}
		if !strings.Contains(string(fault.stack), "TestErrandBreaks") || strings.Contains(fault.Error(), "\n") {
			t.Errorf("%s: it is told as %q, from %s", name, fault, fault.stack)
		}
	}
}

// TestErrandHoldsNothingUp: it returns before the work has begun to end.
func TestErrandHoldsNothingUp(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		began := time.Now()
		dead := make(chan struct{}) // a drive that hangs for good
		hands, answers := sendOut(t.Context(), func(context.Context, string) (int, error) { <-dead; return 7, nil })
		if time.Since(began) != 0 {
			t.Errorf("it took %v", time.Since(began))
		}
		synctest.Wait()
		select {
		case got := <-answers:
			t.Errorf("it answers %+v", got)
		default:
		}
		close(dead)
		if got := <-answers; got.found != 7 {
			t.Errorf("once the drive is back it answers %+v", got)
		}
		hands.Wait()
	})
}
