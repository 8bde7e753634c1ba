package tray

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"lampblack/rules"
)

func TestMailboxKeepsTheLatest(t *testing.T) {
	b := newMailbox[int]()
	for i := range 1000 {
		b.put(i)
	}
	if got := <-b; got != 999 {
		t.Errorf("got %d, want 999", got)
	}
	b.put(1)
	b.empty()
	select {
	case v := <-b:
		t.Errorf("an emptied box gave %d", v)
	default:
	}
}

func TestMailboxTakesManySenders(t *testing.T) {
	b := newMailbox[int]()
	var all sync.WaitGroup
	for g := range 8 {
		all.Go(func() {
			for i := range 500 {
				b.put(g*1000 + i)
			}
		})
	}
	all.Wait() // would hang if put could block
	if v := <-b; v%1000 == 0 {
		t.Errorf("got %d, the first value of a sender, want a late one", v)
	}
}

// TestFollowShowsAtMostOneStateASecond sends a state each 100 ms for five
// seconds: the first is shown at once, and then the latest each second.
func TestFollowShowsAtMostOneStateASecond(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithCancel(t.Context())
		states := newMailbox[State]()
		start := time.Now()
		var shown []string
		go follow(ctx, states, nil, func(s State) {
			shown = append(shown, fmt.Sprintf("%v %v", time.Since(start), s.Lux))
		}, nil)
		for i := range 50 {
			states.put(State{Lux: float64(i)})
			synctest.Wait()
			time.Sleep(100 * time.Millisecond)
		}
		time.Sleep(time.Hour) // nothing new: nothing shown
		cancel()
		synctest.Wait()
		// At each full second the two timers are due together; either order is right.
		if len(shown) != 6 || shown[0] != "0s 0" {
			t.Fatalf("shown: %q, want six, the first at once", shown)
		}
		for i, s := range shown[1:] {
			at, late := (i+1)*10-1, (i+1)*10
			a, b := fmt.Sprintf("%ds %d", i+1, at), fmt.Sprintf("%ds %d", i+1, late)
			if s != a && s != b {
				t.Errorf("shown %q, want %q or %q", s, a, b)
			}
		}
	})
}

func TestFollowRefillsBetweenStates(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithCancel(t.Context())
		states, refills := newMailbox[State](), make(chan struct{}, 1)
		start := time.Now()
		var done []string
		go follow(ctx, states, refills,
			func(State) { done = append(done, fmt.Sprint("show ", time.Since(start))) },
			func() { done = append(done, fmt.Sprint("refill ", time.Since(start))) })
		states.put(State{})
		synctest.Wait()
		refills <- struct{}{}
		time.Sleep(5 * time.Second)
		cancel()
		synctest.Wait()
		if want := []string{"show 0s", "refill 1s"}; !slices.Equal(done, want) {
			t.Errorf("got %q, want %q", done, want)
		}
	})
}

func TestDeliverShowsTheLatestNoticeOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, cancel := context.WithCancel(t.Context())
		tray := New(Options{})
		var shown []string
		go tray.deliver(ctx, func(_ context.Context, n rules.Notice) error {
			time.Sleep(2 * time.Second) // a server that hangs
			shown = append(shown, n.Title)
			return context.DeadlineExceeded
		})
		for i := range 10 {
			tray.Notify(rules.Notice{Title: fmt.Sprint(i)})
			synctest.Wait()
		}
		time.Sleep(time.Minute)
		cancel()
		synctest.Wait()
		if want := []string{"0", "9"}; !slices.Equal(shown, want) {
			t.Errorf("shown %q, want %q", shown, want)
		}
	})
}

func TestCommandsAreDroppedRatherThanWaitedFor(t *testing.T) {
	tray := New(Options{})
	for range 100 {
		tray.send(Command{Kind: Rest})
	}
	if n := len(tray.Commands()); n != 64 {
		t.Errorf("%d commands wait, want 64", n)
	}
}
