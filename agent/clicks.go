package agent

import (
	"fmt"
	"time"

	"lampblack/config"
	"lampblack/rules"
)

// clicked is what a click in the menu has logged last: the hand may have slipped.
type clicked struct {
	text string    // in the menu's words
	at   time.Time // zero: nothing can be taken back
	fact config.Fact
}

// takeBackFor is how long the menu offers to take back what a click has logged.
const takeBackFor = 10 * time.Minute

// justLogged is what can still be taken back from the menu; empty when nothing can.
func (d *desk) justLogged(now time.Time) string {
	if d.clicked.at.IsZero() || now.Sub(d.clicked.at).Abs() > takeBackFor { // Abs: the clock may have been set back
		return ""
	}
	return d.clicked.text
}

// logClickedLight notes the room light that was picked from the menu.
func (d *desk) logClickedLight(now time.Time, light rules.Lux) tidings {
	r := rules.Reading{At: now, Light: light, Place: rules.AtScreen}
	return d.logClick(config.Log{Readings: []rules.Reading{r}}, clicked{fmt.Sprintf("room light %.0f lx", light), now, config.Fact{Reading: &r}})
}

// logSurround notes how the editor's surround is now.
func (d *desk) logSurround(now time.Time, name string) tidings {
	m := config.SurroundMark{At: now, Name: name}
	return d.logClick(config.Log{Surrounds: []config.SurroundMark{m}}, clicked{"surround " + name, now, config.Fact{Surround: &m}})
}

// logWhite notes the white that the editing display is set to now.
func (d *desk) logWhite(now time.Time, white rules.Luminance) tidings {
	m := config.WhiteMark{At: now, White: white, Display: d.profile.EditingDisplay().Name}
	return d.logClick(config.Log{Whites: []config.WhiteMark{m}}, clicked{fmt.Sprintf("screen white %.0f cd/m²", white), now, config.Fact{White: &m}})
}

// logCalibrated notes that the editing display was calibrated today.
func (d *desk) logCalibrated(now time.Time) tidings {
	m := config.Mark{At: now, Display: d.profile.EditingDisplay().Name}
	return d.logClick(config.Log{Calibrated: []config.Mark{m}}, clicked{"calibrated today", now, config.Fact{Calibrated: &m}})
}

// logClick logs what was clicked in the menu, and remembers how to take it back.
func (d *desk) logClick(what config.Log, c clicked) tidings {
	noted, t := d.note(what, c.at)
	if noted {
		d.clicked = c
	}
	return t
}

// takeBack takes back what a click has logged last.
func (d *desk) takeBack(now time.Time) (t tidings) {
	if d.justLogged(now) == "" {
		return nil
	}
	err := d.log.Withdraw(d.clicked.fact, now)
	t.add(ofLog("writing", err))
	if err == nil {
		d.clicked = clicked{}
		t.add(d.layOver(now))
	}
	return t
}
