//go:build linux

package main

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"lampblack/agent"
)

// BenchmarkJournalCSV exports half a year of 200 a day, and a month: what it
// holds in memory doesn't grow with the journal. The program runs as such.
func BenchmarkJournalCSV(b *testing.B) {
	month, half := longJournal(b, 6_000), longJournal(b, 36_500)
	var least, most int
	for b.Loop() {
		least, most = csvPeak(b, month, 6_000), csvPeak(b, half, 36_500)
	}
	b.ReportMetric(float64(least)/1e3, "MB-peak-month")
	b.ReportMetric(float64(most)/1e3, "MB-peak-half-year")
	if most > 60_000 || most > 2*least {
		b.Errorf("a month takes %d KB, half a year %d KB", least, most)
	}
}

// longJournal is the state directory of a journal of n entries that are alike but
// for their names.
func longJournal(b *testing.B, n int) (state string) {
	b.Helper()
	one, _ := someJournal(b)
	lines, err := os.ReadFile(filepath.Join(agent.JournalDir(one), "journal-2026.jsonl"))
	if err != nil {
		b.Fatal(err)
	}
	line, _, _ := bytes.Cut(lines, []byte("\n"))
	state = b.TempDir()
	if err := os.Mkdir(agent.JournalDir(state), 0o700); err != nil {
		b.Fatal(err)
	}
	f, err := os.Create(filepath.Join(agent.JournalDir(state), "journal-2026.jsonl"))
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	w := bufio.NewWriter(f)
	for i := range n {
		w.Write(bytes.ReplaceAll(line, []byte("quay.tif"), fmt.Appendf(nil, "quay-%d.tif", i)))
		w.WriteByte('\n')
	}
	if err := w.Flush(); err != nil {
		b.Fatal(err)
	}
	return state
}

// csvPeak is the most memory, in KB, that the program has held while it exported a
// journal of n entries.
func csvPeak(b *testing.B, state string, n int) (peak int) {
	b.Helper()
	cmd := exec.CommandContext(b.Context(), "lampblack", "journal", "--csv", "--state", state)
	out, err := cmd.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		b.Fatal(err)
	}
	lines, part := 0, make([]byte, 256<<10)
	for err == nil {
		var size int
		size, err = io.ReadFull(out, part)
		lines += bytes.Count(part[:size], []byte("\n"))
		peak = max(peak, peakOf(cmd.Process.Pid))
	}
	if err := cmd.Wait(); err != nil || lines != n+1 || peak == 0 {
		b.Fatalf("%v, %d lines, want %d; peak %d KB", err, lines, n+1, peak)
	}
	return peak
}

// peakOf is the most memory that a process has held so far, in KB; 0 when it has
// ended.
func peakOf(pid int) int {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return 0
	}
	_, after, found := bytes.Cut(status, []byte("VmHWM:"))
	if !found {
		return 0
	}
	kb, err := strconv.Atoi(string(bytes.Fields(after)[0]))
	if err != nil {
		return 0
	}
	return kb
}
