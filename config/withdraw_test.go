package config

import (
	"os"
	"path/filepath"
	"reflect"
	"testing"
	"time"
)

// What was logged last is taken back first, and the rest of the log stays as it is.
func TestWithdrawLast(t *testing.T) {
	path := filepath.Join(t.TempDir(), "readings.toml")
	if w, ok, err := WithdrawLast(path, morning); ok || err != nil {
		t.Fatalf("of no log, %+v was taken back: %v", w, err)
	}
	if _, err := os.Stat(path); err == nil {
		t.Error("a log was made of nothing")
	}
	writeSample(t, path)
	rs := sampleLog.Readings
	for i, want := range []Fact{
		{Reading: &rs[2]}, {White: &sampleLog.Whites[0]}, {Surround: &sampleLog.Surrounds[0]},
		{Calibrated: &sampleLog.Calibrated[0]}, {Reading: &rs[1]}, {Reading: &rs[0]},
	} {
		got, ok, err := WithdrawLast(path, morning.Add(time.Duration(4+i)*time.Hour))
		if err != nil || !ok || !reflect.DeepEqual(got, want) {
			t.Fatalf("%d: took back %+v, %v, %v; want %+v", i, got, ok, err, want)
		}
	}
	if w, ok, err := WithdrawLast(path, morning); ok || err != nil {
		t.Errorf("%+v was taken back twice: %v", w, err)
	}
	l, recovered := readLog(t, path)
	if l.len() != 0 || recovered != "" {
		t.Errorf("left is %+v, %q", l, recovered)
	}
	if err := AppendReading(path, rs[2]); err != nil {
		t.Fatal(err)
	}
	if l, _ := readLog(t, path); !reflect.DeepEqual(l.Readings, rs[2:]) {
		t.Errorf("logged again, the reading is %+v, want %+v", l.Readings, rs[2:])
	}
}

// Of two readings of one moment, the later entry is taken back.
func TestWithdrawOneOfTwo(t *testing.T) {
	path := filepath.Join(t.TempDir(), "readings.toml")
	first, second := sampleLog.Readings[0], sampleLog.Readings[0]
	second.Light = 99
	for _, err := range []error{AppendReading(path, first), AppendReading(path, second)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	w, ok, err := WithdrawLast(path, morning.Add(time.Hour))
	if err != nil || !ok || w.Reading.Light != 99 {
		t.Errorf("took back %+v, %v, %v", w, ok, err)
	}
	if l, _ := readLog(t, path); len(l.Readings) != 1 || l.Readings[0] != first {
		t.Errorf("left is %+v", l.Readings)
	}
}

// Cut anywhere, the entry that takes back is either whole or takes back nothing;
// what is logged behind it counts all the same.
func TestTornWithdrawal(t *testing.T) {
	whole := filepath.Join(t.TempDir(), "whole.toml")
	if err := AppendReading(whole, sampleLog.Readings[0]); err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(whole)
	if err != nil {
		t.Fatal(err)
	}
	if _, ok, err := WithdrawLast(whole, morning.Add(time.Hour)); err != nil || !ok {
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
		if err := AppendReading(path, sampleLog.Readings[1]); err != nil {
			t.Fatal(err)
		}
		l, _ := readLog(t, path)
		want := sampleLog.Readings[:2]
		if n >= len(text)-1 { // all but the end of the line
			want = want[1:]
		}
		if !reflect.DeepEqual(l.Readings, want) {
			t.Errorf("cut at %d: %+v, want %+v", n, l.Readings, want)
		}
	}
}
