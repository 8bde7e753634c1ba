package config

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"time"

	"github.com/BurntSushi/toml"

	"lampblack/rules"
)

// The tables of the log as they are written. Each ends in a quoted text that it
// needs: cut anywhere, an entry lacks it, or the text lacks its quote, so that
// half a number is never taken for a whole one. What it may lack stands before.
type (
	readingEntry struct {
		At     time.Time `toml:"at"`
		Light  float64   `toml:"lx"`
		Kelvin float64   `toml:"k,omitzero"`
		Sigma  float64   `toml:"uncertainty,omitzero"`
		Note   string    `toml:"note,omitempty"`
		Place  string    `toml:"place"`
	}
	calibratedEntry struct {
		At      time.Time `toml:"at"`
		Display string    `toml:"display"`
	}
	whiteEntry struct {
		At      time.Time `toml:"at"`
		White   float64   `toml:"cd_m2"`
		Sigma   float64   `toml:"uncertainty,omitzero"`
		Display string    `toml:"display"`
	}
	withdrawnEntry struct {
		At   time.Time `toml:"at"`
		Of   time.Time `toml:"of"` // the moment of what is taken back
		Kind string    `toml:"kind"`
	}
	surroundEntry struct {
		At    time.Time `toml:"at"`
		Named string    `toml:"named"`
	}
)

// AppendReading adds a reading to the log in the file path, which is made if it
// isn't there, and returns once it is on the disk. A reading that [ReadLog]
// wouldn't take is an error, and nothing is written.
func AppendReading(path string, r rules.Reading) error {
	return appendEntry(path, "reading", readingEntry{
		At: r.At.UTC(), Light: float64(r.Light), Kelvin: float64(r.Kelvin), Sigma: r.Sigma, Note: r.Note, Place: string(r.Place),
	})
}

// AppendCalibrated adds a calibration to the log, like [AppendReading].
func AppendCalibrated(path string, m Mark) error {
	return appendEntry(path, "calibrated", calibratedEntry{m.At.UTC(), m.Display})
}

// AppendSurround adds a change of surround to the log, like [AppendReading].
func AppendSurround(path string, m SurroundMark) error {
	return appendEntry(path, "surround", surroundEntry{m.At.UTC(), m.Name})
}

// AppendWhite adds a change of a display's white to the log, like [AppendReading].
func AppendWhite(path string, m WhiteMark) error {
	return appendEntry(path, "white", whiteEntry{m.At.UTC(), float64(m.White), m.Sigma, m.Display})
}

// appendEntry writes one [[table]] of the log.
func appendEntry(path, table string, values any) error {
	var b strings.Builder
	enc := toml.NewEncoder(&b)
	enc.Indent = ""
	if err := enc.Encode(map[string]any{table: []any{values}}); err != nil {
		return fmt.Errorf("%s can't be written as an entry of the log: %w", table, err)
	}
	if _, broken := parseLog(b.String()); len(broken) > 0 {
		return fmt.Errorf("%+v makes no sense as a %s, so it was not logged", values, table)
	}
	if err := appendDurably(path, b.String()); err != nil {
		return fmt.Errorf("the %s was not logged: %w", table, err)
	}
	return nil
}

// appendDurably adds text to the end of a file in one write, on a line of its
// own, and waits until the disk has it.
func appendDurably(path, text string) (err error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_APPEND|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	torn, empty, err := endsTorn(f)
	if err != nil {
		return err
	}
	if torn {
		text = "\n" + text
	}
	if _, err := f.WriteString(text); err != nil {
		return err
	}
	if err := f.Sync(); err != nil {
		return err
	}
	if empty {
		return syncFolder(filepath.Dir(path))
	}
	return nil
}

// endsTorn tells whether the last line of a file lacks its end.
func endsTorn(f *os.File) (torn, empty bool, err error) {
	size, err := f.Seek(0, io.SeekEnd)
	if err != nil || size == 0 {
		return false, true, err
	}
	var last [1]byte
	if _, err := f.ReadAt(last[:], size-1); err != nil {
		return false, false, err
	}
	return last[0] != '\n', false, nil
}

// syncFolder makes the name of a new file last. Windows has no such call, and
// does it by itself.
func syncFolder(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}
