package journal

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"time"
	"unicode/utf8"

	"lampblack/rules"
)

// Format is the version of the entries that this package writes. It grows when
// a reader of today would misunderstand an entry of tomorrow.
const Format = 1

// maxLine is the longest line in bytes, its newline included. A report takes
// about 4 KB, and took 8 when it still held its curves; the bound keeps a damaged
// file from filling the memory.
const maxLine = 1 << 20

// ErrNewer is returned for a journal that a newer version has written. It is
// left as it is.
var ErrNewer = errors.New("a newer version wrote it")

// errDamaged is a line that is no entry.
var errDamaged = errors.New("damaged line")

// Entry is one export in the journal. Path, Size, ModTime and Hash are its identity:
// two exports that share all four are the same.
type Entry struct {
	Version int       `json:"v"` // set by Append
	At      time.Time `json:"at"`
	Path    string    `json:"path"`
	Size    int64     `json:"size"` // bytes
	ModTime time.Time `json:"mtime"`
	Hash    string    `json:"hash,omitempty"` // of the content; lines of older versions, and files that could not be read, have none

	Gist *rules.Gist `json:"gist,omitempty"` // to recognise the next export to this path by; lines of older versions, and files that could not be read, have none

	Report  *rules.Report `json:"report,omitempty"`  // nil when the file could not be read
	Unread  string        `json:"unread,omitempty"`  // one sentence why the file could not be read
	Silence string        `json:"silence,omitempty"` // why no notice was raised; empty when one was

	UnreadCode  rules.Code `json:"unread_code,omitempty"` // which cases these are; lines of older versions have none
	SilenceCode rules.Code `json:"silence_code,omitempty"`

	CatchUp bool `json:"catch_up,omitempty"` // found afterwards: the conditions may have been others
}

// Identity is that of the export.
func (e Entry) Identity() Identity { return Identify(e.Path, e.Size, e.ModTime) }

// Verdict is the report's, or Unread for a file that could not be read.
func (e Entry) Verdict() rules.Verdict {
	if e.Report == nil {
		return rules.Unread
	}
	return e.Report.Verdict
}

// encode returns the entry as one line, with its newline.
func (e Entry) encode() ([]byte, error) {
	var line bytes.Buffer
	enc := json.NewEncoder(&line)
	enc.SetEscapeHTML(false) // a journal is read by people, too
	if err := enc.Encode(e); err != nil {
		return nil, err
	}
	if line.Len() > maxLine {
		return nil, fmt.Errorf("it takes %d bytes, more than the %d of the longest line", line.Len(), maxLine)
	}
	return line.Bytes(), nil
}

// decode reads an entry from a line: errDamaged or ErrNewer if it is none of ours.
func decode(line []byte) (Entry, error) {
	var e Entry
	if err := json.Unmarshal(line, &e); err != nil || e.Version != Format {
		return Entry{}, whatElse(line)
	}
	if e.Path == "" || e.At.IsZero() {
		return Entry{}, errDamaged
	}
	return e, nil
}

// whatElse tells a damaged line from one whose format is newer.
func whatElse(line []byte) error {
	var v struct {
		Version int `json:"v"`
	}
	if json.Unmarshal(line, &v) == nil && v.Version > Format {
		return ErrNewer
	}
	return errDamaged
}

// asWritten is the path as JSON can hold it. File names on Linux are bytes, and
// those that are not UTF-8 come back changed; Known must not stumble over that.
func asWritten(path string) string {
	if utf8.ValidString(path) {
		return path
	}
	return string([]rune(path))
}
