package agent

import (
	"testing"
	"testing/synctest"
	"time"

	"lampblack/agent/tray"
)

// logged is what the menu offers to take back.
func (s *studio) logged() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.shown.Logged
}

// TestTakenBackForTenMinutes: a click can be taken back until ten minutes later, and not
// after; nor before it was made, by a clock that was set back by more.
func TestTakenBackForTenMinutes(t *testing.T) {
	for after, want := range map[time.Duration]bool{
		0: true, time.Minute: true, 10 * time.Minute: true, 10*time.Minute + 1: false, time.Hour: false,
		-10 * time.Minute: true, -10*time.Minute - 1: false,
	} {
		l := testLoop(t, "")
		l.onCommand(tray.Command{Kind: tray.LogLight, Lux: 700})
		at := morning.Add(after)
		l.o.Now = func() time.Time { return at }
		if got := l.desk.justLogged(at) != ""; got != want {
			t.Errorf("%v after the click it is offered: %v", after, got)
		}
		l.onCommand(tray.Command{Kind: tray.TakeBack})
		if got := len(l.desk.profile.Readings) == 0; got != want {
			t.Errorf("%v after the click it is taken back: %v", after, got)
		}
	}
}

// TestTakeBack: a click on the wrong row is taken back from the menu, for a while,
// and what held before holds again.
func TestTakeBack(t *testing.T) {
	for _, tt := range []struct {
		click tray.Command
		text  string
		shows string
	}{
		{tray.Command{Kind: tray.LogLight, Lux: 700}, "700 lx at the screen", "700 lx"},
		{tray.Command{Kind: tray.SetSurround, Surround: "white"}, `the surround "white"`, "95 % of white"},
		{tray.Command{Kind: tray.SetWhite, White: 300}, "the white of 300 cd/m² of north bench", "300 cd/m²"},
		{tray.Command{Kind: tray.MarkCalibrated}, "the calibration of north bench", "made today"},
	} {
		t.Run(tt.text, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				s := newStudio(t)
				s.begin()
				time.Sleep(time.Second) // what is said of the desk counts from after the profile was written
				if s.inMenu(tt.shows) || s.logged() != "" {
					t.Fatalf("before the click the menu reads %q, %q", s.menu(), s.logged())
				}
				s.click(tt.click)
				synctest.Wait()
				if !s.inMenu(tt.shows) || s.logged() != tt.text {
					t.Errorf("after the click the menu reads %q, %q", s.menu(), s.logged())
				}
				time.Sleep(9 * time.Minute)
				s.click(tray.Command{Kind: tray.TakeBack})
				synctest.Wait()
				if s.inMenu(tt.shows) || s.logged() != "" {
					t.Errorf("taken back, the menu reads %q, %q", s.menu(), s.logged())
				}
				s.click(tt.click)
				time.Sleep(10*time.Minute + 5*time.Minute + time.Second)
				if s.logged() != "" {
					t.Errorf("%q is still offered", s.logged())
				}
				s.click(tray.Command{Kind: tray.TakeBack}) // from a menu that was open all the time
				synctest.Wait()
				if !s.inMenu(tt.shows) {
					t.Errorf("taken back too late, the menu reads %q", s.menu())
				}
				s.end()
			})
		})
	}
}
