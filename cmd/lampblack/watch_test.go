package main

import (
	"bytes"
	"context"
	"errors"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"lampblack/agent/journal"
	"lampblack/agent/tray"
	"lampblack/config"
	"lampblack/rules"
)

// until is a tray or work that goes on until it is told to end.
func until(ctx context.Context) error {
	<-ctx.Done()
	return nil
}

// ends is a tray or work that ends by itself.
func ends(err error) func(context.Context) error {
	return func(context.Context) error { return err }
}

// TestBeside: tray and work end with each other, whoever is first. A hang here
// is a failure, which the test's own time limit tells.
func TestBeside(t *testing.T) {
	broken := errors.New("the disk is full")
	for name, c := range map[string]struct {
		show, work func(context.Context) error
		want       error
	}{
		"the work is done":         {until, ends(nil), nil},
		"the work fails":           {until, ends(broken), broken},
		"the desktop logs out":     {ends(tray.ErrBusLost), until, nil},
		"both at once":             {ends(tray.ErrBusLost), ends(broken), broken},
		"the icon is not taken":    {ends(tray.ErrNotShown), until, tray.ErrNotShown},
		"the tray ends for itself": {ends(nil), until, nil},
	} {
		t.Run(name, func(t *testing.T) {
			if err := beside(t.Context(), c.show, c.work); !errors.Is(err, c.want) {
				t.Errorf("error %v, want %v", err, c.want)
			}
		})
	}
}

// TestTellUnless: where no tray shows it, each new export is told of in a line.
func TestTellUnless(t *testing.T) {
	var said []string
	shown := false
	tell := tellUnless(func() bool { return shown }, func(s string) { said = append(said, s) })
	p := config.Default()
	report := rules.Evaluate(p, rules.Export{File: "/srv/quay.tif", Picture: bareTones()}, time.Now())
	tell(journal.Entry{Path: "/srv/quay.tif", Report: report})
	forScreen := rules.Export{File: "/srv/web.jpg", Folder: rules.Folder{Purpose: rules.ForScreen}, Picture: bareTones()}
	tell(journal.Entry{Path: "/srv/web.jpg", Report: rules.Evaluate(p, forScreen, time.Now())})
	tell(journal.Entry{Path: "/srv/torn\nfog.tif", Unread: "the file ends"})
	tell(journal.Entry{Path: "/srv/old.tif", Report: report, CatchUp: true})
	shown = true
	tell(journal.Entry{Path: "/srv/next.tif", Report: report})
	headline := rules.Headline(report)
	want := []string{"quay.tif: " + strings.ToLower(headline[:1]) + headline[1:], "web.jpg: for the screen, not judged as a print", `torn\nfog.tif: could not be read: the file ends`}
	if !slices.Equal(said, want) {
		t.Errorf("said %q, want %q", said, want)
	}
}

// TestRehearseWithoutIcon: a taskbar that refuses the icon is said, and stops
// nothing.
func TestRehearseWithoutIcon(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var stderr bytes.Buffer
		show := ifTaken(ends(tray.ErrNotShown), &voice{err: &stderr})
		err := beside(t.Context(), show, func(ctx context.Context) error {
			synctest.Wait() // until the tray has given up, and all that follows
			return ctx.Err()
		})
		if err != nil {
			t.Errorf("the play was stopped: %v", err)
		}
		if !strings.Contains(stderr.String(), "goes on without it") {
			t.Errorf("stderr is %q", stderr.String())
		}
	})
}
