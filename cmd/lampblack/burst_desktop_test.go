//go:build desktop

package main

import (
	"bytes"
	"flag"
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"strings"
	"testing"
	"time"

	"lampblack/agent/tray/desktoptest"
)

var burst = flag.Int("burst", 500, "how many exports TestLongBurst makes; 5000 are a minute's")

// TestLongBurst exports far more than the agent can keep up with. All are journaled,
// there is one notice, and the memory stays what it is.
func TestLongBurst(t *testing.T) {
	s, server := onBus(t, build(t))
	s.save(s.profile("180.0", "mid grey", "40.0"))
	a := s.show()
	status := fmt.Sprintf("/proc/%d/status", a.Cmd.Process.Pid)
	var picture bytes.Buffer
	m := image.NewGray(image.Rect(0, 0, 16, 16))
	for i := range m.Pix {
		m.Pix[i] = byte(i / 2)
	}
	s.must(jpeg.Encode(&picture, m, nil))
	const pace = 12 * time.Millisecond // 5000 in a minute
	begun := time.Now()
	for i := range *burst {
		time.Sleep(time.Until(begun.Add(time.Duration(i) * pace)))
		s.must(os.WriteFile(s.Path("to-print", fmt.Sprintf("%05d.jpg", i)), picture.Bytes(), 0o600))
	}
	written := time.Since(begun)
	anonymous, resident := 0.0, 0.0 // of the latter, what is mapped of the program's file depends on how large that is
	for late := time.Now().Add(10 * time.Minute); ; time.Sleep(time.Second) {
		anonymous = max(anonymous, statusField(t, status, "RssAnon:")/1024)
		resident = max(resident, statusField(t, status, "VmRSS:")/1024)
		all, _ := s.journaled()
		if len(all) >= *burst {
			break
		}
		if time.Now().After(late) {
			t.Fatalf("%d of %d exports are in the journal", len(all), *burst)
		}
	}
	took := time.Since(begun)
	n := desktoptest.Receive(t, "the notice", server.Shown)
	wantQuiet(t, n)
	if !strings.Contains(n.Body, " exports. ") {
		t.Errorf("the notice says %q, want a count", n.Body)
	}
	if entries := s.entries(); len(entries) != *burst {
		t.Errorf("%d entries, want %d", len(entries), *burst)
	}
	wantNoMore(t, server.Shown)
	const flat = 12 // MB; at its start it has 5
	if anonymous > flat {
		t.Errorf("%.1f MB of memory were taken, want at most %d", anonymous, flat)
	}
	t.Logf("%d exports written in %.1f s, journaled in %.1f s; at most %.1f MB resident, of which %.1f anonymous",
		*burst, written.Seconds(), took.Seconds(), resident, anonymous)
}
