package picture

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"runtime"
	"runtime/debug"
	"strconv"
	"syscall"
	"time"

	"lampblack/rules"
)

// What a Worker does when its fields are zero.
const (
	defaultTimeout     = time.Minute
	defaultMemoryLimit = 1536 << 20
)

// What is taken from the child's pipes, bytes.
const (
	mostOutput    = 1 << 20
	mostComplaint = 4 << 10
)

// grace is how long a killed child's pipes are waited for.
const grace = 2 * time.Second

// memoryVariable tells the child its memory limit, bytes.
const memoryVariable = "LAMPBLACK_WORKER_MEMORY"

// taskVariable tells the child its task.
const taskVariable = "LAMPBLACK_WORKER_TASK"

// Worker measures pictures in a child process, which has nothing but the open
// file and a pipe back, uses at most two cores at low priority, and dies with
// its time, its memory or its parent.
//
// On Linux the child is started in a network of its own, which is none, where an
// unprivileged process may do that; it can't gain privileges, and where the
// kernel has Landlock it can't open a file. Elsewhere only the code says so:
// nothing in it opens a file or a connection.
//
// The memory limit is the system's on Linux (RLIMIT_DATA) and on Windows (a job
// object). Elsewhere only the Go runtime's own, soft one holds. On Linux the
// child dies with its parent, on Windows with the parent's last handle to the
// job; elsewhere it ends when it writes to the closed pipe.
type Worker struct {
	Command     []string      // the program and its arguments; it must call WorkerMain
	Timeout     time.Duration // 0 stands for a minute
	MemoryLimit uint64        // bytes of data, 0 stands for 1.5 GiB; below 64 MiB nothing runs

	task string // what the child does when the file alone doesn't tell; empty: measure
}

// Examined is what a worker found in a file. Size, ModTime and Hash are there even
// for a file that is no picture, as far as they could be had.
type Examined struct {
	Picture rules.Picture
	Hash    string    // of the content; empty: the worker didn't live to tell it
	Size    int64     // bytes, of the file that was read, after it was read
	ModTime time.Time // of the same
}

// Measure does what the function Measure does with the file at path. When ctx
// is cancelled the error is ctx's.
func (w Worker) Measure(ctx context.Context, path string) (rules.Picture, error) {
	x, err := w.Examine(ctx, path)
	return x.Picture, err
}

// Examine is Measure that tells also which state of the file, and which content,
// it is about.
func (w Worker) Examine(ctx context.Context, path string) (Examined, error) {
	f, err := openRegular(path)
	if err != nil {
		return Examined{}, err
	}
	defer f.Close()
	x, err := ask(ctx, w, f, readAnswer)
	if info, e := f.Stat(); e == nil {
		x.Size, x.ModTime = info.Size(), info.ModTime()
	}
	return x, err
}

// ask has a child look at the file, and reads what it says.
func ask[T any](ctx context.Context, w Worker, f *os.File, read func([]byte) (T, error)) (T, error) {
	var none T
	if len(w.Command) == 0 {
		return none, unsupported("no program is set that reads files: restart this one")
	}
	limited, cancel := context.WithTimeout(ctx, w.timeout())
	defer cancel()
	out := &capped{most: w.mostOutput()}
	complaint := &capped{most: mostComplaint, silent: true}
	err := w.run(limited, f, out, complaint, childAttributes())

	if ctx.Err() != nil {
		return none, ctx.Err()
	}
	if limited.Err() != nil {
		return none, unsupported("reading the file took longer than %v and was stopped: export it smaller", w.timeout())
	}
	if err == nil {
		said, err := read(out.b.Bytes())
		if !errors.Is(err, errGarbage) {
			return said, err
		}
	}
	return none, w.failure(err, out, complaint)
}

// run starts the child and waits for it. The goroutine keeps its thread until
// the child has ended: on Linux the signal of a parent's death is that of the
// thread which started the child. Where the system refuses one of the ways to
// start it, the next is taken.
func (w Worker) run(ctx context.Context, stdin *os.File, out, complaint io.Writer, ways []*syscall.SysProcAttr) error {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	var err error
	for _, attributes := range ways {
		cmd := w.command(ctx, stdin)
		cmd.Stdout, cmd.Stderr, cmd.SysProcAttr = out, complaint, attributes
		if err = cmd.Start(); err == nil {
			release := confine(cmd.Process, w.memoryLimit())
			defer release()
			return cmd.Wait()
		}
	}
	return fmt.Errorf("the reader can't be started: %w", err)
}

// command is the child, not yet started. Of the environment it gets what it
// needs and nothing else: GOTRACEBACK=none because nobody reads its traces.
func (w Worker) command(ctx context.Context, stdin *os.File) *exec.Cmd {
	cmd := exec.CommandContext(ctx, w.Command[0], w.Command[1:]...)
	cmd.Stdin = stdin
	cmd.Env = []string{
		"GOTRACEBACK=none",
		memoryVariable + "=" + strconv.FormatUint(w.memoryLimit(), 10),
		taskVariable + "=" + w.task,
	}
	cmd.WaitDelay = grace
	cmd.Cancel = func() error { return killGroup(cmd.Process) }
	return cmd
}

// failure puts into words why the child gave no answer.
func (w Worker) failure(err error, out, complaint *capped) error {
	var exit *exec.ExitError
	switch {
	case outOfMemory(complaint.b.Bytes()):
		return unsupported("reading the file takes more than %d MiB of memory and was stopped: export it smaller", w.memoryLimit()>>20)
	case out.over || err == nil:
		return broken("reading the file gave no sensible answer: export it again")
	case errors.As(err, &exit):
		return broken("reading the file failed unexpectedly (%v): export it again", exit)
	}
	return unsupported("the file could not be read (%v): restart the program", err)
}

// outOfMemory recognises the Go runtime's last words. The garbage collector of Go
// 1.26 doesn't ask whether it was given the memory for its own queues of spans, and
// stumbles over them.
func outOfMemory(complaint []byte) bool {
	for _, words := range []string{"out of memory", "cannot allocate memory", "runtime.(*spanQueue)"} {
		if bytes.Contains(complaint, []byte(words)) {
			return true
		}
	}
	return false
}

func (w Worker) timeout() time.Duration {
	if w.Timeout > 0 {
		return w.Timeout
	}
	return defaultTimeout
}

func (w Worker) mostOutput() int {
	if w.task == previewTask {
		return mostPreview
	}
	return mostOutput
}

func (w Worker) memoryLimit() uint64 {
	if w.MemoryLimit > 0 {
		return w.MemoryLimit
	}
	return defaultMemoryLimit
}

// openRegular opens a file that is neither a folder nor a pipe nor a device. It
// asks before opening, for opening can be an act, and again after.
func openRegular(path string) (*os.File, error) {
	info, err := os.Stat(path)
	if err == nil && !info.Mode().IsRegular() {
		return nil, notRegular(info.Mode())
	}
	if err != nil {
		return nil, unreachable(err)
	}
	f, err := os.OpenFile(path, os.O_RDONLY|openWithoutWaiting, 0)
	if err != nil {
		return nil, unreachable(err)
	}
	info, err = f.Stat()
	switch {
	case err != nil:
		err = unreachable(err)
	case !info.Mode().IsRegular():
		err = notRegular(info.Mode())
	default:
		return f, nil
	}
	f.Close()
	return nil, err
}

func notRegular(mode fs.FileMode) error {
	what := "a device or pipe"
	if mode.IsDir() {
		what = "a folder"
	}
	return unsupported("this is %s, and not a file: name one", what)
}

// unreachable leaves out the path, which the caller knows.
func unreachable(err error) error {
	var at *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return vanished("the file is not there: it was moved, renamed or deleted")
	case errors.Is(err, fs.ErrPermission):
		return vanished("the file may not be opened: check its permissions")
	case errors.As(err, &at):
		err = at.Err
	}
	return vanished("the file can't be opened (%v): see that its disk is still there", err)
}

// capped keeps the first most bytes written to it. What is beyond is an error
// to the writer, which ends the child, unless silent.
type capped struct {
	b      bytes.Buffer
	most   int
	silent bool
	over   bool
}

func (c *capped) Write(p []byte) (int, error) {
	n := min(len(p), c.most-c.b.Len())
	c.b.Write(p[:n])
	if n == len(p) {
		return n, nil
	}
	c.over = true
	if c.silent {
		return len(p), nil
	}
	return n, errors.New("too much output")
}

// WorkerMain is the whole of the child process: it shuts itself in, measures the
// picture in in (or makes a preview of it, or reads the paper from a colour profile,
// or what a photograph tells of the light) and writes one JSON object to out. The
// result is the exit code: 0 when an answer was written, be it
// a picture or an error.
func WorkerMain(in *os.File, out io.Writer) int {
	runtime.GOMAXPROCS(min(runtime.NumCPU(), decoders))
	shutIn()
	limit, err := strconv.ParseUint(os.Getenv(memoryVariable), 10, 63)
	if err == nil {
		limitMemory(limit)
		// Collect garbage in good time before the system's limit strikes.
		debug.SetMemoryLimit(int64(limit / 4 * 3))
	}
	var pic rules.Picture
	var hash string
	info, err := in.Stat()
	switch {
	case err != nil:
		err = unreachable(err)
	case !info.Mode().IsRegular():
		err = notRegular(info.Mode())
	case os.Getenv(taskVariable) == previewTask:
		return answerPreview(&source{f: in, size: info.Size(), memory: limit}, out)
	case os.Getenv(taskVariable) == photographTask:
		return answerPhotograph(in, info.Size(), limit, out)
	case isProfile(in):
		return answerPaper(in, info.Size(), out)
	default:
		// The hash first: should the file be overwritten meanwhile, the next look
		// finds another one, and nothing counts as known that was never read.
		hash, _ = contentHash(in, info.Size()) // what can't be read is told below
		src := &source{f: in, size: info.Size(), memory: limit}
		pic, err = measure(src)
		err = src.explain(err)
	}
	if writeAnswer(out, pic, hash, err) != nil {
		return 1
	}
	return 0
}
