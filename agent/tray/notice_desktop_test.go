//go:build desktop

package tray

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"lampblack/agent/tray/desktoptest"
	"lampblack/rules"
)

func TestNoticeIsQuietAndReplacesTheOneBefore(t *testing.T) {
	s, _, c, _ := onBus(t)
	server := s.StartServer(7, "body", "actions")
	c.notify(rules.Notice{Title: "Likely darker", Body: "Room light 180 lx & <rising>"})
	first := desktoptest.Receive(t, "a notice", server.Shown)
	if first.App != "Lampblack" || first.Summary != "Likely darker" || first.Replaces != 0 || first.Expire != 10000 {
		t.Errorf("notice %+v", first)
	}
	if first.Body != "Room light 180 lx & <rising>" {
		t.Errorf("body %q is escaped for a server that shows plain text", first.Body)
	}
	if u := first.Hints["urgency"].Value(); u != byte(0) {
		t.Errorf("urgency %v, want 0 (low)", u)
	}
	if q := first.Hints["suppress-sound"].Value(); q != true {
		t.Errorf("suppress-sound %v, want true", q)
	}
	if !slices.Equal(first.Actions, []string{"default", "Open profile"}) {
		t.Errorf("actions %q", first.Actions)
	}
	c.notify(rules.Notice{Title: "Holds"})
	if second := desktoptest.Receive(t, "the next notice", server.Shown); second.Replaces != first.ID {
		t.Errorf("the next notice replaces %d, want %d", second.Replaces, first.ID)
	}
	c.end()
}

func TestOnlyAClickOnOurNoticeCounts(t *testing.T) {
	s, _, c, _ := onBus(t)
	server := s.StartServer(3, "actions")
	c.notify(rules.Notice{Title: "Likely darker"})
	id := desktoptest.Receive(t, "a notice", server.Shown).ID
	c.notify(rules.Notice{Title: "Likely darker"}) // shows that the tray knows id by now
	if again := desktoptest.Receive(t, "a notice", server.Shown); again.Replaces != id {
		t.Fatalf("the second notice replaces %d, want %d", again.Replaces, id)
	}
	for _, sig := range [][]any{
		{"ActionInvoked", id + 1, "default"},
		{"ActionInvoked", id, "snooze"},
		{"ActionInvoked", "default"},
		{"ActionInvoked", "default", id},
		{"ActionInvoked"},
		{"ActionInvoked", id, "default"}, // the only right one
		{"NotificationClosed", id, uint32(2)},
		{"ActionInvoked", id, "default"}, // closed by now
		{"NotificationClosed"},
	} {
		if err := server.Emit(sig[0].(string), sig[1:]...); err != nil {
			t.Fatal(err)
		}
	}
	wantCommand(t, c, Command{Kind: NoticeClicked})
	// The tray may hear of the closing while it shows the next notice, not later.
	desktoptest.Wait(t, "a notice that replaces none, for ours is closed", func() bool {
		c.notify(rules.Notice{Title: "Holds"})
		return desktoptest.Receive(t, "a notice after all that", server.Shown).Replaces == 0
	})
	if n := len(c.commands); n != 0 {
		t.Errorf("%d more clicks: %+v", n, <-c.commands)
	}
	c.end()
}

// TestServerMayBeMissingSlowOrDead: nothing of it holds up the tray.
func TestServerMayBeMissingSlowOrDead(t *testing.T) {
	s, w, c, item := onBus(t)
	working := func(what string) {
		t.Helper()
		c.answer()
		item.Click("Mark calibrated")
		wantCommand(t, c, Command{Kind: MarkCalibrated})
		state := tidemark()
		state.Summary.Headline = what
		c.show(state)
		desktoptest.Wait(t, what, func() bool { return item.Has(what) })
	}

	c.notify(rules.Notice{Title: "nobody there"})
	working("no server")

	server := s.StartServer(100, "body")
	server.Slow(time.Hour)
	for i := range 50 {
		c.notify(rules.Notice{Title: fmt.Sprint("too slow ", i)})
	}
	working("a server that hangs")
	server.Close()
	working("a server that died")

	server = s.StartServer(200, "body", "body-markup")
	title := "back again"
	c.notify(rules.Notice{Title: title, Body: "a & b"})
	shown := desktoptest.Receive(t, "a notice on the new server", server.Shown)
	for shown.Summary != title { // the last of the fifty may still have waited
		shown = desktoptest.Receive(t, "a notice on the new server", server.Shown)
	}
	if shown.Body != "a &amp; b" {
		t.Errorf("body %q: the new server was not asked what it can do", shown.Body)
	}
	server.Close()
	server = s.StartServer(300, "body")
	desktoptest.Wait(t, "a notice that replaces nothing", func() bool {
		c.notify(rules.Notice{Title: "third server"})
		return desktoptest.Receive(t, "a notice on the third server", server.Shown).Replaces == 0
	})
	w.Close()
	working("without panel and server")
	c.end()
}
