//go:build desktop

package tray

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/godbus/dbus/v5"

	"lampblack/agent/tray/desktoptest"
	"lampblack/rules"
)

// onBus is a session with stand-ins for panel and server, and a tray in it.
func onBus(t *testing.T) (*desktoptest.Session, *desktoptest.Watcher, *child, *desktoptest.Item) {
	t.Helper()
	s := desktoptest.Start(t, desktoptest.Options{})
	w := s.StartWatcher()
	c := startChild(t, s)
	c.show(tidemark())
	desktoptest.Receive(t, "the registration of the item", w.Registered)
	item := c.item(s)
	awaitMenu(t, item)
	return s, w, c, item
}

// awaitMenu waits until the menu is complete and shows Tidemark's desk.
func awaitMenu(t *testing.T, item *desktoptest.Item) {
	t.Helper()
	desktoptest.Wait(t, "Tidemark's menu", func() bool {
		return item.Has(tidemark().Summary.Headline) && len(item.Labels("Surround now")) == 5
	})
}

// awaitRefills waits until the submenus, the last of them too, have been made anew n
// times since the start. Every new row gets the next number.
func awaitRefills(t *testing.T, item *desktoptest.Item, n int) {
	t.Helper()
	built, each := 0, 0 // rows at first, and rows made anew
	for _, r := range portray(State{}, childOptions.withDefaults()).rows {
		built += 1 + len(r.rows)
		each += len(r.rows)
	}
	desktoptest.Wait(t, fmt.Sprintf("submenus made anew %d times", n), func() bool {
		return int(newest(item.Menu())) >= built+n*each
	})
}

// newest is the highest of the rows' numbers.
func newest(rows []desktoptest.Row) (id int32) {
	for _, r := range rows {
		id = max(id, r.ID, newest(r.Rows))
	}
	return id
}

// each panel that comes gets so many new submenus.
var refillsEach = len(childOptions.settle)

func TestItemShowsTheState(t *testing.T) {
	_, _, c, item := onBus(t)
	awaitRefills(t, item, refillsEach)
	if id := item.Property("Id"); id != "lampblack" {
		t.Errorf("Id is %q: panels would forget the icon", id)
	}
	desktoptest.Wait(t, "Tidemark's tooltip", func() bool {
		return strings.Contains(fmt.Sprint(item.Property("ToolTip")), tidemark().Summary.Headline)
	})
	if isMenu := item.Property("ItemIsMenu"); isMenu != true {
		t.Errorf("ItemIsMenu is %v: a click would not open the menu", isMenu)
	}
	want := append([]string{tidemark().Summary.Headline}, tidemark().Summary.Conditions...)
	want = append(want, tidemark().Summary.Last.String(), "Log room light (last: 180 lx)", "Surround now",
		"Screen's white now (118 cd/m²)", "How did it print?", "Mark calibrated today", "Open the desk page", "Open profile", "Rest for an hour", "Quit")
	if got := item.Labels(""); !slices.Equal(got, want) {
		t.Errorf("menu\n%q\nwant\n%q", got, want)
	}
	if got := len(item.Labels("Log room light")); got != 10 {
		t.Errorf("%d lights to log, want 10", got)
	}
	for _, name := range item.Labels("Surround now") {
		if checked := item.Row("Surround now", name).Checked; checked != (name == "black") {
			t.Errorf("surround %q: checked is %v", name, checked)
		}
	}

	icon := fmt.Sprint(item.Property("IconPixmap"))
	next := tidemark()
	next.Summary.Headline = "Holds"
	next.Summary.Conditions = next.Summary.Conditions[:1]
	next.Summary.Wedge = rules.Wedge{}
	next.Troubles = []string{"The folder /prints is not there."}
	next.Surround = "mid grey"
	next.Resting = true
	next.Logged = "room light 64 lx"
	c.show(next)
	desktoptest.Wait(t, "the next state", func() bool { return item.Has("Wake up now") && item.Has("Holds") })
	if !item.Has(next.Troubles[0]) || item.Has(tidemark().Summary.Conditions[1]) {
		t.Errorf("menu %q", item.Labels(""))
	}
	item.Click("Take back: room light 64 lx")
	wantCommand(t, c, Command{Kind: TakeBack})
	if item.Row("Surround now", "black").Checked || !item.Row("Surround now", "mid grey").Checked {
		t.Error("the check mark did not move")
	}
	desktoptest.Wait(t, "another icon", func() bool { return fmt.Sprint(item.Property("IconPixmap")) != icon })
	c.end()
}

// TestWithoutAnyDisplay: the tray speaks with the session bus alone, so that it is
// all there in a session of Wayland, whatever displays there are.
func TestWithoutAnyDisplay(t *testing.T) {
	s := desktoptest.Start(t, desktoptest.Options{})
	w := s.StartWatcher()
	c := startChild(t, s, "DISPLAY=", "WAYLAND_DISPLAY=wayland-0", "XDG_SESSION_TYPE=wayland")
	c.show(tidemark())
	desktoptest.Receive(t, "the registration of the item", w.Registered)
	item := c.item(s)
	awaitMenu(t, item)
	awaitRefills(t, item, refillsEach)
	clickAll(t, c, item)
	c.end()
}

func TestEveryRowSendsItsCommand(t *testing.T) {
	_, _, c, item := onBus(t)
	awaitRefills(t, item, refillsEach)
	clickAll(t, c, item)
	c.end()
}

// clickAll clicks row after row, while no submenu is being made anew: a click on a row
// that has just been taken out goes nowhere.
func clickAll(t *testing.T, c *child, item *desktoptest.Item) {
	t.Helper()
	for _, v := range (Options{}).withDefaults().LuxChoices {
		item.Click("Log room light", lux(v)+":")
		wantCommand(t, c, Command{Kind: LogLight, Lux: v})
	}
	for _, name := range (Options{}).withDefaults().SurroundChoices {
		item.Click("Surround now", name)
		wantCommand(t, c, Command{Kind: SetSurround, Surround: name})
	}
	for _, v := range (Options{}).withDefaults().WhiteChoices {
		item.Click("Screen's white now", white(v))
		wantCommand(t, c, Command{Kind: SetWhite, White: v})
	}
	for _, p := range tidemark().Prints {
		item.Click("How did it print?", p.Text)
		wantCommand(t, c, Command{Kind: ChoosePrint, Print: p.ID})
	}
	for _, o := range rules.Outcomes {
		item.Click("How did it print?", "It came out "+o.Words())
		wantCommand(t, c, Command{Kind: TellOutcome, Print: "3", Outcome: o})
	}
	for title, kind := range map[string]Kind{"Mark calibrated": MarkCalibrated, "Open profile": OpenProfile, "Open the desk page": OpenPage,
		"Rest for": Rest, "Quit": Quit} {
		item.Click(title)
		wantCommand(t, c, Command{Kind: kind})
	}
}

func wantCommand(t *testing.T, c *child, want Command) {
	t.Helper()
	if got := c.command(); got != want {
		t.Errorf("got command %+v, want %+v", got, want)
	}
}

func TestNoClickIsLostInAFlurry(t *testing.T) {
	_, _, c, item := onBus(t)
	for range 40 {
		item.Click("Mark calibrated")
	}
	for range 40 {
		wantCommand(t, c, Command{Kind: MarkCalibrated})
	}
	c.end()
}

// hostile is a file name that tries everything at once.
const hostile = "a_b__c & <b>bold</b> $(touch x) \u202egpj.\x1b[31m\x00\n\xff.tif"

func TestHostileNameStaysText(t *testing.T) {
	s, _, c, item := onBus(t)
	server := s.StartServer(1, "body", "body-markup")
	state := tidemark()
	state.Summary.Last = rules.LastExport{Text: "Last export: " + hostile + ", drab"}
	c.show(state)
	c.notify(rules.Notice{Title: hostile, Body: hostile})
	const clean = "a_b__c & <b>bold</b> $(touch x) gpj.[31m \ufffd.tif"
	desktoptest.Wait(t, "the hostile name as text", func() bool { return item.Has("Last export: " + clean + ", drab") })
	if raw := item.Row("Last export").Raw; !strings.Contains(raw, "a__b____c & <b>") {
		t.Errorf("label %q: an underline is still a mark", raw)
	}
	shown := desktoptest.Receive(t, "a notice", server.Shown)
	if shown.Summary != clean {
		t.Errorf("summary %q, want %q", shown.Summary, clean)
	}
	body := "a_b__c &amp; &lt;b&gt;bold&lt;/b&gt; $(touch x) gpj.[31m\n\ufffd.tif"
	if shown.Body != body {
		t.Errorf("body %q, want %q", shown.Body, body)
	}
	c.end()
}

func TestRestartedPanelGetsEverythingAgain(t *testing.T) {
	s, w, c, item := onBus(t)
	for panel := range 3 {
		if panel > 0 {
			w.Close()
			w = s.StartWatcher()
			desktoptest.Receive(t, "the registration at the new panel", w.Registered)
		}
		awaitRefills(t, item, (panel+1)*refillsEach)
		if !item.Row("Surround now", "black").Checked {
			t.Error("the check mark is gone")
		}
		clickAll(t, c, item)
	}
	next := tidemark()
	next.Surround = "white"
	c.show(next)
	desktoptest.Wait(t, "the check mark in the new submenu", func() bool {
		return item.Row("Surround now", "white").Checked && !item.Row("Surround now", "black").Checked
	})
	c.end()
}

func TestPanelThatComesLate(t *testing.T) {
	s := desktoptest.Start(t, desktoptest.Options{})
	c := startChild(t, s)
	c.show(tidemark())
	said := desktoptest.Receive(t, "a word about the missing tray", c.logs)
	if !strings.HasPrefix(said, "no tray on this desktop") {
		t.Errorf("said %q", said)
	}
	w := s.StartWatcher()
	desktoptest.Receive(t, "the registration at the late panel", w.Registered)
	awaitMenu(t, c.item(s))
	c.end()
	if n := len(c.logs); n != 0 {
		t.Errorf("it said %d more things: %q", n, <-c.logs)
	}
}

// TestPanelThatMissedTheIcon: it must be offered again, from the same sender,
// and only once.
func TestPanelThatMissedTheIcon(t *testing.T) {
	s := desktoptest.Start(t, desktoptest.Options{})
	c := startChild(t, s)
	desktoptest.Receive(t, "a word about the missing tray", c.logs)
	w := s.StartDeafWatcher()
	first := desktoptest.Receive(t, "the registration that gets lost", w.Registered)
	if second := desktoptest.Receive(t, "another registration", w.Registered); second != first {
		t.Errorf("the second comes from %s, the first from %s", second, first)
	}
	w.Close()
	w = s.StartWatcher()
	desktoptest.Receive(t, "the registration at a panel that hears", w.Registered)
	awaitRefills(t, c.item(s), 1+refillsEach) // the panel was asked what it has before that
	if n := len(w.Registered); n != 0 {
		t.Errorf("%d more registrations at a panel that has the icon", n)
	}
	c.end()
}

func TestBusThatComesLate(t *testing.T) {
	s := desktoptest.Start(t, desktoptest.Options{NoBus: true})
	c := startChild(t, s)
	c.show(tidemark())
	c.notify(rules.Notice{Title: "stale"})
	said := desktoptest.Receive(t, "a word about the missing bus", c.logs)
	if !strings.HasPrefix(said, "there is no tray here yet") {
		t.Errorf("said %q", said)
	}
	c.answer()
	s.StartBus()
	w := s.StartWatcher()
	server := s.StartServer(1, "body")
	desktoptest.Receive(t, "the registration at the late bus", w.Registered)
	awaitMenu(t, c.item(s))
	c.notify(rules.Notice{Title: "fresh"})
	if shown := desktoptest.Receive(t, "a notice", server.Shown); shown.Summary != "fresh" {
		t.Errorf("%q was shown, want the fresh notice only", shown.Summary)
	}
	c.end()
}

func TestEndWithoutBus(t *testing.T) {
	s := desktoptest.Start(t, desktoptest.Options{NoBus: true})
	c := startChild(t, s)
	desktoptest.Receive(t, "a word about the missing bus", c.logs)
	c.end()
}

// TestNoBusIsEverStarted: without an address the D-Bus library would start a
// bus daemon by dbus-launch, and leave it behind.
func TestNoBusIsEverStarted(t *testing.T) {
	s := desktoptest.Start(t, desktoptest.Options{NoBus: true})
	trace := s.Path("launched")
	if err := os.WriteFile(s.Path("dbus-launch"), []byte("#!/bin/sh\ntouch "+trace+"\n"), 0o700); err != nil {
		t.Fatal(err)
	}
	c := startChild(t, s, "DBUS_SESSION_BUS_ADDRESS=", "PATH="+s.Path()+":"+os.Getenv("PATH"))
	desktoptest.Receive(t, "a word about the missing bus", c.logs)
	c.end()
	if _, err := os.Stat(trace); err == nil {
		t.Error("dbus-launch was run")
	}
}

func TestBusThatDies(t *testing.T) {
	s, _, c, _ := onBus(t)
	s.StopBus()
	c.wantEnd(ErrBusLost.Error())
}

// TestUpdatesAreFew: some panels close an open menu at each update.
func TestUpdatesAreFew(t *testing.T) {
	s, _, c, item := onBus(t)
	conn := s.Connect()
	if err := conn.AddMatchSignal(dbus.WithMatchInterface("com.canonical.dbusmenu"),
		dbus.WithMatchMember("LayoutUpdated")); err != nil {
		t.Fatal(err)
	}
	awaitRefills(t, item, refillsEach)
	last := tidemark()
	last.Summary.Headline = "all is made" // told after the last of them
	c.show(last)
	desktoptest.Wait(t, last.Summary.Headline, func() bool { return item.Has(last.Summary.Headline) })
	signals := make(chan *dbus.Signal, 4096)
	conn.Signal(signals)
	begun := time.Now()
	for range 300 {
		c.show(last) // nothing new
	}
	c.answer()
	for i := range 300 {
		last.Summary.Headline = fmt.Sprint("state ", i)
		c.show(last)
	}
	desktoptest.Wait(t, "the last state", func() bool { return item.Has("state 299") })
	c.end() // all signals are on their way by now
	desktoptest.Wait(t, "an update", func() bool { return len(signals) > 0 })
	took := time.Since(begun)
	if n, most := len(signals), 3+int(took/updateGap); n > most {
		t.Errorf("%d updates of the menu for 600 states within %v, want %d at most", n, took, most)
	}
}

// TestIconIsToldAgain: a panel that was still reading the icon when it changed hears of
// it once more with each new menu.
func TestIconIsToldAgain(t *testing.T) {
	s, _, c, item := onBus(t)
	conn := s.Connect()
	if err := conn.AddMatchSignal(dbus.WithMatchInterface("org.kde.StatusNotifierItem"), dbus.WithMatchMember("NewIcon")); err != nil {
		t.Fatal(err)
	}
	signals := make(chan *dbus.Signal, 64)
	conn.Signal(signals)
	awaitRefills(t, item, refillsEach)
	desktoptest.Receive(t, "the icon, which is as it was", signals)
	c.end()
}
