package journal

import (
	"bytes"
	"errors"
	"testing"
)

// FuzzRead: whatever is in a file, reading it ends without a panic, gives only
// whole entries, and finds an entry that is put below it. What Open learns from
// a line agrees with what Read makes of it.
func FuzzRead(f *testing.F) {
	e := entry(1)
	e.Report = report()
	for _, whole := range []string{line(f, entry(1)), line(f, e)} {
		f.Add([]byte(whole))
		f.Add([]byte(whole + whole[:40]))
		f.Add([]byte(whole[:40] + "\n" + whole))
		f.Add([]byte("\x00\x00\x00\n{}\nnull\n[]\n\n" + whole))
	}
	f.Add([]byte(`{"v":2}` + "\n"))
	f.Add([]byte(`{"v":1,"at":"2026-03-02T09:30:00Z","path":"/a","report":{"conditions":[{"value":null}]}}`))
	below := line(f, entry(7))

	f.Fuzz(func(t *testing.T, text []byte) {
		before, err := collect(text)
		if errors.Is(err, ErrNewer) {
			return
		}
		must(t, err)
		for _, e := range before {
			line, err := e.encode()
			must(t, err) // or it could not have been read
			h, err := decodeHead(bytes.TrimSuffix(line, []byte("\n")))
			if err != nil || Identify(h.Path, h.Size, h.ModTime) != Identify(e.Path, e.Size, e.ModTime) {
				t.Errorf("head %+v, %v, of entry %+v", h, err, e)
			}
		}
		if len(text) > 0 && !bytes.HasSuffix(text, []byte("\n")) {
			text = append(text, '\n') // as Open does
		}
		text = append(text, below...)
		after, err := collect(text)
		must(t, err)
		if len(after) != len(before)+1 || after[len(before)].Size != entry(7).Size {
			t.Errorf("%d entries after %d and one more", len(after), len(before))
		}
		offset, n, err := lastLines(bytes.NewReader(text), int64(len(text)), 1)
		if err != nil || n != 1 || string(text[offset:]) != below {
			t.Errorf("the last line begins at %d of %d: %d, %v", offset, len(text), n, err)
		}
	})
}

func collect(text []byte) (all []Entry, err error) {
	_, err = readLines(bytes.NewReader(text), fileName(2026), decode, func(e Entry) error {
		all = append(all, e)
		return nil
	})
	return all, err
}
