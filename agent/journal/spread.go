package journal

import (
	"fmt"
	"io"
	"runtime"
	"sync"
)

// batchLines is how many lines one processor decodes at a time: enough to make
// the handing over cheap, few enough to hold some in memory.
const batchLines = 64

// batch is some lines on their way through one processor.
type batch[T any] struct {
	lines [][]byte
	errs  []error // why a line could not be read or decoded
	made  []T     // of each line, where its error is nil
	done  chan struct{}
}

// readLinesSpread is readLines for the lines that pick gives no error for, decoded
// by all processors, since that is most of the work. What is made of them comes to
// fn in their order, from the caller's goroutine. All that was begun has ended when
// it returns.
func readLinesSpread[T any](
	r io.Reader, path string, pick func([]byte) error, decode func([]byte) (T, error), fn func(T) error,
) (skipped int, err error) {
	workers := runtime.GOMAXPROCS(0)
	work := make(chan *batch[T])
	inOrder := make(chan *batch[T], 2*workers) // bounds what is in memory
	stop := make(chan struct{})
	var hands sync.WaitGroup
	defer hands.Wait()
	defer close(stop)
	var readErr error // read when inOrder is closed
	hands.Go(func() {
		defer close(inOrder)
		defer close(work)
		readErr = cutIntoBatches(newLines(r), pick, func(b *batch[T]) bool {
			return send(inOrder, b, stop) && send(work, b, stop)
		})
	})
	for range workers {
		hands.Go(func() {
			for b := range work {
				b.decode(decode)
			}
		})
	}
	for b := range inOrder {
		<-b.done
		n, err := b.handOut(path, fn)
		skipped += n
		if err != nil {
			return skipped, err
		}
	}
	return skipped, readErr
}

func send[T any](to chan<- T, v T, stop <-chan struct{}) bool {
	select {
	case to <- v:
		return true
	case <-stop:
		return false
	}
}

// cutIntoBatches hands the lines to send, as long as that wants more.
func cutIntoBatches[T any](in *lines, pick func([]byte) error, send func(*batch[T]) bool) error {
	for {
		b := &batch[T]{done: make(chan struct{})}
		err := b.fill(in, pick)
		if len(b.lines) > 0 && !send(b) || err == io.EOF {
			return nil
		}
		if err != nil {
			return fmt.Errorf("the journal can't be read on: %w; %s", err, whatToDo)
		}
	}
}

// fill takes the next lines that are picked, each with a copy of its text, and the
// errors of those that can't be read.
func (b *batch[T]) fill(in *lines, pick func([]byte) error) error {
	var text []byte
	for len(b.lines) < batchLines && len(text) < maxLine {
		line, err := in.next()
		if err == nil {
			err = pick(line)
		} else if err != errDamaged {
			return err
		}
		if err == errUnwanted {
			continue
		}
		begin := len(text)
		text = append(text, line...)
		b.lines = append(b.lines, text[begin:len(text):len(text)])
		b.errs = append(b.errs, err)
	}
	return nil
}

// decode decodes the lines that could be read.
func (b *batch[T]) decode(decode func([]byte) (T, error)) {
	defer close(b.done)
	b.made = make([]T, len(b.lines))
	for i, line := range b.lines {
		if b.errs[i] == nil {
			b.made[i], b.errs[i] = decode(line)
		}
	}
}

func (b *batch[T]) handOut(path string, fn func(T) error) (skipped int, err error) {
	for i, made := range b.made {
		damaged, err := handLine(made, b.errs[i], path, fn)
		if damaged {
			skipped++
		}
		if err != nil {
			return skipped, err
		}
	}
	return skipped, nil
}
