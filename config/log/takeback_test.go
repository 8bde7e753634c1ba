package log

import (
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"
	"time"

	"lampblack/rules"
)

// What was logged last is taken back first, and the rest of the log stays as it is.
func TestTakeBackLast(t *testing.T) {
	path := filepath.Join(t.TempDir(), "readings.toml")
	if w, ok, err := TakeBackLast(path, morning); ok || err != nil {
		t.Fatalf("of no log, %+v was taken back: %v", w, err)
	}
	if _, err := os.Stat(path); err == nil {
		t.Error("a log was made of nothing")
	}
	writeSample(t, path)
	for i, want := range slices.Backward(sampleLog) {
		got, ok, err := TakeBackLast(path, morning.Add(time.Duration(9-i)*time.Hour))
		if err != nil || !ok || !reflect.DeepEqual(got, want) {
			t.Fatalf("%d: took back %+v, %v, %v; want %+v", i, got, ok, err, want)
		}
	}
	if w, ok, err := TakeBackLast(path, morning); ok || err != nil {
		t.Errorf("%+v was taken back twice: %v", w, err)
	}
	l, recovered := readLog(t, path)
	if len(l) != 0 || recovered != "" {
		t.Errorf("left is %+v, %q", l, recovered)
	}
	if err := Append(path, sampleLog[0]); err != nil {
		t.Fatal(err)
	}
	if l, _ := readLog(t, path); !reflect.DeepEqual(l, sampleLog[:1]) {
		t.Errorf("logged again, the log is %v", said(l))
	}
}

// Of two readings of one moment, the later entry is taken back.
func TestWithdrawOneOfTwo(t *testing.T) {
	path := filepath.Join(t.TempDir(), "readings.toml")
	if err := Append(path, sampleLog[0], readingOf(morning, 99, rules.AtScreen)); err != nil {
		t.Fatal(err)
	}
	w, ok, err := TakeBackLast(path, morning.Add(time.Hour))
	if err != nil || !ok || w.(*Reading).Light != 99 {
		t.Errorf("took back %+v, %v, %v", w, ok, err)
	}
	if l, _ := readLog(t, path); !reflect.DeepEqual(l, sampleLog[:1]) {
		t.Errorf("left is %v", said(l))
	}
}

// Cut anywhere, the entry that takes back is either whole or takes back nothing;
// what is logged behind it counts all the same.
func TestTornWithdrawal(t *testing.T) {
	whole := filepath.Join(t.TempDir(), "whole.toml")
	if err := Append(whole, sampleLog[0]); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(whole)
	if err != nil {
		t.Fatal(err)
	}
	if _, ok, err := TakeBackLast(whole, morning.Add(time.Hour)); err != nil || !ok {
		t.Fatal(ok, err)
	}
	text, err := os.ReadFile(whole)
	if err != nil {
		t.Fatal(err)
	}
	for n := len(before); n <= len(text); n++ {
		path := filepath.Join(t.TempDir(), "torn.toml")
		if err := os.WriteFile(path, text[:n], 0o600); err != nil {
			t.Fatal(err)
		}
		if err := Append(path, sampleLog[1]); err != nil {
			t.Fatal(err)
		}
		l, _ := readLog(t, path)
		want := sampleLog[:2]
		if n >= len(text)-1 { // all but the end of the line
			want = want[1:]
		}
		if !reflect.DeepEqual(l, want) {
			t.Errorf("cut at %d: %v, want %v", n, said(l), said(want))
		}
	}
}

// Of two facts of one moment, the one of the kind that is meant is taken back.
func TestTakeBackOneOfAKind(t *testing.T) {
	path := filepath.Join(t.TempDir(), "readings.toml")
	calibrated, surround := &Calibrated{displayAt(morning, "north bench")}, &Surround{About{At: morning}, "black"}
	if err := Append(path, calibrated, surround); err != nil {
		t.Fatal(err)
	}
	if err := NewFile(path).TakeBack(calibrated, morning.Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	if l, _ := readLog(t, path); !reflect.DeepEqual(l, Log{surround}) {
		t.Errorf("left is %v", said(l))
	}
	if err := NewFile(path).TakeBack(surround, time.Time{}); err == nil {
		t.Error("it is taken back at no time at all")
	}
}
