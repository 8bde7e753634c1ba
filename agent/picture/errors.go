package picture

import (
	"errors"
	"fmt"
	"io"
)

// The reasons why a picture can't be had. Every error of this package, except
// a cancelled context's, is one of them (errors.Is), and its text is one
// sentence that says what to do.
var (
	// ErrBroken: the file is not what it says it is.
	ErrBroken = errors.New("broken picture file")
	// ErrUnfinished is the kind of ErrBroken that may heal by itself: the file
	// ends too early, perhaps because it is still being written.
	ErrUnfinished = fmt.Errorf("unfinished picture file: %w", ErrBroken)
	// ErrUnsupported: nothing need be wrong with the file, but it can't be read here.
	ErrUnsupported = errors.New("unsupported picture file")
	// ErrVanished: the file is gone or out of reach.
	ErrVanished = errors.New("vanished picture file")
)

// fault is a sentence for the reader together with the kind for the caller.
type fault struct {
	kind     error
	sentence string
}

func (f *fault) Error() string { return f.sentence }
func (f *fault) Unwrap() error { return f.kind }

func broken(format string, args ...any) error {
	return &fault{ErrBroken, fmt.Sprintf(format, args...)}
}

func unfinished(format string, args ...any) error {
	return &fault{ErrUnfinished, fmt.Sprintf(format, args...)}
}

func unsupported(format string, args ...any) error {
	return &fault{ErrUnsupported, fmt.Sprintf(format, args...)}
}

func vanished(format string, args ...any) error {
	return &fault{ErrVanished, fmt.Sprintf(format, args...)}
}

// source is the file being read. It remembers what went wrong underneath, for
// decoders tend to report a lost disk as damaged data.
type source struct {
	f      io.ReaderAt
	size   int64
	memory uint64 // bytes that may be used for it, 0: any number
	failed error  // the first error of f that is not an end of file
	ended  bool   // the last byte was read, or one beyond it asked for
}

func (s *source) ReadAt(p []byte, off int64) (int, error) {
	if off < 0 || off >= s.size {
		s.ended = true
		return 0, io.EOF
	}
	whole := len(p)
	p = p[:min(int64(whole), s.size-off)]
	n, err := s.f.ReadAt(p, off)
	if err == nil && n < whole {
		err = io.EOF
	}
	if errors.Is(err, io.EOF) || off+int64(n) == s.size {
		s.ended = true
	} else if err != nil && s.failed == nil {
		s.failed = err
	}
	return n, err
}

// adopt takes over what another source of the same file has met with.
func (s *source) adopt(other *source) {
	s.ended = s.ended || other.ended
	if s.failed == nil {
		s.failed = other.failed
	}
}

// bytes reads n bytes at off. The caller has made sure that n is small, or no
// more than the file holds.
func (s *source) bytes(off int64, n int) ([]byte, error) {
	if n < 0 || off < 0 || off > s.size || int64(n) > s.size-off {
		s.ended = true
		return nil, io.ErrUnexpectedEOF
	}
	b := make([]byte, n)
	switch got, err := s.ReadAt(b, off); {
	case got == n:
		return b, nil
	case err == nil || errors.Is(err, io.EOF):
		return nil, io.ErrUnexpectedEOF
	default:
		return nil, err
	}
}

// explain turns what a decoder said into one of this package's errors.
func (s *source) explain(err error) error {
	var known *fault
	switch {
	case err == nil:
		return nil
	case s.failed != nil:
		return vanished("the file can no longer be read (%v): see that its disk is still there", s.failed)
	case errors.As(err, &known):
		return err
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return unfinished("the file ends in the middle of the picture data: export it again")
	}
	return broken("the picture data is damaged (%v): export it again", err)
}
