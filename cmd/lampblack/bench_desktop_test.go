//go:build desktop

package main

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"lampblack/agent/picture"
	"lampblack/agent/tray/desktoptest"
	"lampblack/testdata/exports"
)

// These benchmarks measure the agent from outside. Of times they report the best
// run, which a busy machine spoils last. .ci/bench/agent holds them against
// their targets.

// atWork is a studio with stand-ins for panel and notification server, three
// folders to watch, and nothing that keeps the agent from speaking.
func atWork(b *testing.B) (*studio, *desktoptest.Watcher, *desktoptest.Server) {
	b.Helper()
	s := tidemark(b, build(b), desktoptest.Options{})
	s.must(os.Mkdir(s.Path("to-proof"), 0o700))
	before, after, found := strings.Cut(s.profile("180.0", "mid grey", "40.0"), "gap_minutes = 20\n")
	if !found {
		b.Fatal("the profile of the days has another gap")
	}
	text := before + "gap_minutes = 0\n" + after
	s.save(text + "\n[[folder]]\npath = \"~/to-proof\"\npurpose = \"print\"\n")
	return s, s.StartWatcher(), s.StartServer(1, "body", "body-markup", "actions")
}

// best keeps the shortest of the times it is given.
type best time.Duration

func (t *best) add(d time.Duration) {
	if *t == 0 || d < time.Duration(*t) {
		*t = best(d)
	}
}

func (t best) report(b *testing.B, unit string) {
	b.ReportMetric(float64(t)/float64(time.Millisecond), unit)
}

// BenchmarkExecToItem: from the start of the process to the panel's hearing of
// the icon.
func BenchmarkExecToItem(b *testing.B) {
	s, w, _ := atWork(b)
	var shortest best
	for b.Loop() {
		start := time.Now()
		a := s.start()
		desktoptest.Receive(b, "the registration of the item", w.Registered)
		shortest.add(time.Since(start))
		b.StopTimer()
		a.Stop()
		b.StartTimer()
	}
	shortest.report(b, "ms-to-item")
}

// idleFor is how long BenchmarkIdle looks on; the longer, the less a minute that
// happens to have one wake-up more counts.
var idleFor = flag.Duration("idle", time.Minute, "how long BenchmarkIdle watches an agent that has nothing to do")

// BenchmarkIdle: what the agent costs while nothing happens, a minute, and what it
// holds when it has just read a picture of 100 megapixels and is idle again. It is
// meant for -benchtime 1x.
func BenchmarkIdle(b *testing.B) {
	s, _, _ := atWork(b)
	a := s.show()
	const tidied = 30 * time.Second // after twenty it gives back what work has taken
	time.Sleep(tidied)
	for b.Loop() {
		before := used(b, a.Cmd.Process.Pid)
		wakeups := countWakeups(b, a.Cmd.Process.Pid, *idleFor)
		after := used(b, a.Cmd.Process.Pid)
		minutes := idleFor.Minutes()
		s.exportHuge()
		s.awaitEntries(1)
		time.Sleep(tidied)
		b.ReportMetric(used(b, a.Cmd.Process.Pid).resident, "MB-afterwards")
		b.ReportMetric(after.resident, "MB-resident")
		b.ReportMetric(after.anonymous, "MB-anonymous")
		b.ReportMetric((after.ticks-before.ticks)/minutes, "ticks")
		b.ReportMetric(float64(wakeups)/minutes, "wakeups")
		b.ReportMetric((after.switches-before.switches)/minutes, "switches")
	}
}

// exportHuge exports a TIFF of 100 megapixels, 600 MB.
func (s *studio) exportHuge() {
	path := s.Path("to-print", "huge.tif")
	f, err := os.Create(path + ".tmp")
	s.must(err)
	s.must(exports.BigTIFF16(f, 100, 1, false))
	s.must(f.Close())
	s.must(os.Rename(path+".tmp", path))
}

// countWakeups counts the moments, within a time, at which any of a process's
// threads has run. One moment can be several switches: a timer fires in one thread,
// the goroutine goes on in another.
func countWakeups(b *testing.B, pid int, within time.Duration) (moments int) {
	b.Helper()
	const apart = 50 * time.Millisecond
	tick := time.NewTicker(apart)
	defer tick.Stop()
	runs, ran := timesRun(b, pid), false
	for end := time.Now().Add(within); time.Now().Before(end); {
		<-tick.C
		now := timesRun(b, pid)
		if now != runs && !ran {
			moments++
		}
		ran, runs = now != runs, now
	}
	return moments
}

// timesRun is how often all the threads of a process have been given a processor.
func timesRun(b *testing.B, pid int) (total float64) {
	b.Helper()
	threads, err := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/schedstat", pid))
	if err != nil || len(threads) == 0 {
		b.Fatalf("the process has %d threads, %v", len(threads), err)
	}
	for _, thread := range threads {
		text, err := os.ReadFile(thread)
		if err != nil {
			b.Fatal(err)
		}
		const runs = 2 // behind the time on a processor and the time waiting for one
		total += parsed(b, strings.Fields(string(text))[runs])
	}
	return total
}

// usage is what the system knows of a process and all its threads.
type usage struct {
	resident, anonymous float64 // 1024² bytes
	ticks               float64 // of CPU time, 1/100 s
	switches            float64 // of a thread that gave its processor up
}

func used(b *testing.B, pid int) usage {
	b.Helper()
	u := usage{
		resident:  statusField(b, fmt.Sprintf("/proc/%d/status", pid), "VmRSS:") / 1024,
		anonymous: statusField(b, fmt.Sprintf("/proc/%d/status", pid), "RssAnon:") / 1024,
	}
	stat, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		b.Fatal(err)
	}
	_, behindName, _ := strings.Cut(string(stat), ") ")
	const utime, stime = 11, 12 // counted behind the name
	fields := strings.Fields(behindName)
	u.ticks = parsed(b, fields[utime]) + parsed(b, fields[stime])
	threads, err := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/status", pid))
	if err != nil || len(threads) == 0 {
		b.Fatalf("the process has %d threads, %v", len(threads), err)
	}
	for _, thread := range threads {
		u.switches += statusField(b, thread, "voluntary_ctxt_switches:")
	}
	return u
}

// statusField is the number behind a name in one of the system's status files.
func statusField(b testing.TB, path, name string) float64 {
	b.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		b.Fatal(err)
	}
	for line := range strings.Lines(string(text)) {
		if fields := strings.Fields(line); len(fields) > 1 && fields[0] == name {
			return parsed(b, fields[1])
		}
	}
	b.Fatalf("%s has no %s", path, name)
	return 0
}

func parsed(b testing.TB, text string) float64 {
	b.Helper()
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		b.Fatal(err)
	}
	return v
}

// BenchmarkCloseToNotice: from the end of an export of 24 megapixels to the call
// at the notification server. That includes the time in which the file must
// rest, and a lull in which no other export comes. How long the reading alone
// takes is reported beside it.
func BenchmarkCloseToNotice(b *testing.B) {
	s, _, server := atWork(b)
	var content bytes.Buffer
	if err := exports.BigJPEG(&content, 24, 1); err != nil {
		b.Fatal(err)
	}
	s.show()
	var toNotice, toRead best
	for i := 0; b.Loop(); i++ {
		path := s.Path("to-print", fmt.Sprintf("large-%d.jpg", i))
		s.must(os.WriteFile(path, content.Bytes(), 0o600))
		closed := time.Now()
		n := desktoptest.Receive(b, "the notice", server.Shown)
		toNotice.add(time.Since(closed))
		if !strings.Contains(n.Body, filepath.Base(path)) {
			b.Fatalf("the notice is %q, %q, not about %s", n.Summary, n.Body, path)
		}
		b.StopTimer()
		start := time.Now()
		_, err := picture.Worker{Command: []string{s.program, workerCommand}}.Measure(b.Context(), path)
		s.must(err)
		toRead.add(time.Since(start))
		b.StartTimer()
	}
	toNotice.report(b, "ms-to-notice")
	toRead.report(b, "ms-reading")
}
