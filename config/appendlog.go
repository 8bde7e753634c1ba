package config

import (
	"errors"
	"fmt"
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

// AppendReading adds a reading to the log in the file path, like [LogFile.Append].
func AppendReading(path string, r rules.Reading) error {
	return NewLogFile(path).Append(Log{Readings: []rules.Reading{r}})
}

// AppendWhite adds a change of a display's white to the log, like [LogFile.Append].
func AppendWhite(path string, m WhiteMark) error {
	return NewLogFile(path).Append(Log{Whites: []WhiteMark{m}})
}

// Append adds what is noted to the file, which is made if it isn't there, and returns
// once it is on the disk. What [ReadLog] wouldn't take is an error, and nothing is
// written.
func (f *LogFile) Append(noted Log) error {
	text, read, err := noted.encode()
	if err != nil {
		return err
	}
	before, after, err := appendDurably(f.path, text)
	if err != nil {
		return fmt.Errorf("the %s was not logged: %w", noted.name(), err)
	}
	if f.known.is(before) {
		f.log.append(read)
		f.known = after
	} else {
		f.known = stamp{} // somebody else has written to it
	}
	return nil
}

// name is what a log of one entry notes.
func (l Log) name() string {
	switch {
	case len(l.Readings) > 0:
		return "reading"
	case len(l.Calibrated) > 0:
		return "calibrated"
	case len(l.Surrounds) > 0:
		return "surround"
	}
	return "white"
}

// encode is the log as text, and as it is read from that.
func (l Log) encode() (text string, read Log, err error) {
	write := func(table string, values any) {
		one, entry, failed := encodeEntry(table, values)
		text += one
		read.append(entry)
		err = errors.Join(err, failed)
	}
	for _, r := range l.Readings {
		write("reading", readingEntry{r.At.UTC(), float64(r.Light), float64(r.Kelvin), r.Sigma, r.Note, string(r.Place)})
	}
	for _, m := range l.Calibrated {
		write("calibrated", calibratedEntry{m.At.UTC(), m.Display})
	}
	for _, m := range l.Surrounds {
		write("surround", surroundEntry{m.At.UTC(), m.Name})
	}
	for _, m := range l.Whites {
		write("white", whiteEntry{m.At.UTC(), float64(m.White), m.Sigma, m.Display})
	}
	return text, read, err
}

// encodeEntry is one [[table]] of the log as text, and as it is read from that.
func encodeEntry(table string, values any) (text string, read Log, err error) {
	var b strings.Builder
	enc := toml.NewEncoder(&b)
	enc.Indent = ""
	if err := enc.Encode(map[string]any{table: []any{values}}); err != nil {
		return "", Log{}, fmt.Errorf("%s can't be written as an entry of the log: %w", table, err)
	}
	read, broken := parseLog(b.String())
	if len(broken) > 0 {
		return "", Log{}, fmt.Errorf("%+v makes no sense as a %s, so it was not logged", values, table)
	}
	return b.String(), read, nil
}

// appendEntry adds one [[table]] to the log in the file path.
func appendEntry(path, table string, values any) error {
	text, _, err := encodeEntry(table, values)
	if err != nil {
		return err
	}
	if _, _, err := appendDurably(path, text); err != nil {
		return fmt.Errorf("the %s was not logged: %w", table, err)
	}
	return nil
}

// appendDurably adds text to the end of a file in one write, on a line of its
// own, and waits until the disk has it. before and after are the file's states on
// either side of that, as long as nobody else writes; otherwise after is none.
func appendDurably(path, text string) (before, after stamp, err error) {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return before, after, err
	}
	f, err := os.OpenFile(path, os.O_RDWR|os.O_APPEND|os.O_CREATE, 0o600)
	if err != nil {
		return before, after, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	info, err := f.Stat()
	if err != nil {
		return before, after, err
	}
	before = stampOf(info)
	torn, err := endsTorn(f, before.size)
	if err != nil {
		return before, after, err
	}
	if torn {
		text = "\n" + text
	}
	if _, err := f.WriteString(text); err != nil {
		return before, after, err
	}
	if err := f.Sync(); err != nil {
		return before, after, err
	}
	if info, err := f.Stat(); err == nil && info.Size() == before.size+int64(len(text)) {
		after = stampOf(info)
	}
	if before.size == 0 {
		return before, after, syncFolder(filepath.Dir(path))
	}
	return before, after, nil
}

// endsTorn tells whether the last line of a file of that size lacks its end.
func endsTorn(f *os.File, size int64) (bool, error) {
	if size == 0 {
		return false, nil
	}
	var last [1]byte
	if _, err := f.ReadAt(last[:], size-1); err != nil {
		return false, err
	}
	return last[0] != '\n', nil
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
