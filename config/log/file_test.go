package log

import (
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"lampblack/rules"
)

// reread reads a log file and wants what a fresh look at the disk finds.
func reread(t *testing.T, f *File) (l Log, recovered string) {
	t.Helper()
	l, recovered, err := f.Read(time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	if onDisk, sentence := readLog(t, f.path); !reflect.DeepEqual(l, onDisk) || recovered != sentence {
		t.Errorf("it is %+v, %q; on the disk it is %+v, %q", l, recovered, onDisk, sentence)
	}
	return l, recovered
}

// TestFile: whoever writes, and whatever was torn, the log is as the disk has it;
// it is read again only when somebody else has written.
func TestFile(t *testing.T) {
	f := NewFile(filepath.Join(t.TempDir(), "readings.toml"))
	if l, _ := reread(t, f); len(l) != 0 {
		t.Errorf("no file is %+v", l)
	}
	writeSample(t, f.path)
	reread(t, f)
	if err := f.Append(readingOf(morning.Add(5*time.Hour), 51, rules.OnDesk)); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(f.path)
	if err != nil {
		t.Fatal(err)
	}
	if !f.Knows(info.Size(), info.ModTime()) || f.Knows(info.Size()+1, info.ModTime()) || f.Knows(info.Size(), info.ModTime().Add(1)) {
		t.Error("it doesn't know the file as it has just written it, or knows another")
	}
	if l, _ := reread(t, f); len(l) != len(sampleLog)+1 {
		t.Errorf("with one of its own it is %+v", l)
	}

	// Somebody else writes, and then this one does.
	if err := NewFile(f.path).Append(&Surround{About{At: morning}, "black"}); err != nil {
		t.Fatal(err)
	}
	if err := f.Append(&Calibrated{displayAt(morning, "north bench")}); err != nil {
		t.Fatal(err)
	}
	if info, err = os.Stat(f.path); err != nil || f.Knows(info.Size(), info.ModTime()) {
		t.Errorf("it says that it knows what somebody else wrote (%v)", err)
	}
	if l, _ := reread(t, f); len(Of[*Surround](l)) != 2 || len(Of[*Calibrated](l)) != 2 {
		t.Errorf("with somebody else's it is %+v", l)
	}

	// A crash has torn an entry; what is written behind it stands.
	if err := os.Truncate(f.path, info.Size()-3); err != nil {
		t.Fatal(err)
	}
	reread(t, f)
	if err := f.Append(&White{displayAt(morning, "north bench"), 100}); err != nil {
		t.Fatal(err)
	}
	if l, recovered := reread(t, f); len(Of[*White](l)) != 2 || !strings.Contains(recovered, "torn") {
		t.Errorf("behind a torn entry it is %+v, %q", l, recovered)
	}
}

// TestFileIsNotReadAgain: of a file that nobody else has written to, nothing is
// read. The file is another here, with the size and time of the one before.
func TestFileIsNotReadAgain(t *testing.T) {
	f := NewFile(filepath.Join(t.TempDir(), "readings.toml"))
	writeSample(t, f.path)
	before, _ := reread(t, f)
	info, err := os.Stat(f.path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(f.path, []byte(strings.Repeat("\n", int(info.Size()))), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Chtimes(f.path, info.ModTime(), info.ModTime()); err != nil {
		t.Fatal(err)
	}
	if l, _, err := f.Read(time.Time{}); err != nil || !reflect.DeepEqual(l, before) {
		t.Errorf("it was read again: %+v, %v", l, err)
	}
	if err := os.Chtimes(f.path, morning, morning); err != nil {
		t.Fatal(err)
	}
	if l, _ := reread(t, f); len(l) != 0 {
		t.Errorf("it was not read again: %+v", l)
	}
}

// TestLogSince: what is older than anybody asks for is let go, but for the newest
// reading of the room, and comes back should it be asked for.
func TestLogSince(t *testing.T) {
	f := NewFile(filepath.Join(t.TempDir(), "readings.toml"))
	for i, place := range []rules.Place{rules.AtScreen, rules.OnDesk, rules.AtPrint, rules.AtScreen} {
		if err := Append(f.path, readingOf(morning.Add(time.Duration(i)*time.Hour), rules.Lux(i), place)); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		since time.Time
		want  []rules.Lux
	}{
		{morning.Add(3 * time.Hour), []rules.Lux{1, 3}},
		{morning.Add(9 * time.Hour), []rules.Lux{3}},
		{morning, []rules.Lux{0, 1, 2, 3}},
		{time.Time{}, []rules.Lux{0, 1, 2, 3}},
	} {
		l, _, err := NewFile(f.path).Read(c.since)
		again, _, errAgain := f.Read(c.since)
		if err != nil || errAgain != nil {
			t.Fatal(err, errAgain)
		}
		var got []rules.Lux
		for _, r := range Of[*Reading](l) {
			got = append(got, r.Light)
		}
		if !reflect.DeepEqual(got, c.want) {
			t.Errorf("since %v it has %v, want %v", c.since, got, c.want)
		}
		if len(again) < len(l) {
			t.Errorf("since %v, read before, it has only %v", c.since, said(again))
		}
	}
}
