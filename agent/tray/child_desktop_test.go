//go:build desktop

package tray

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log"
	"os"
	"os/exec"
	"os/signal"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"lampblack/agent/tray/desktoptest"
	"lampblack/rules"
)

// The desktop tests show the tray in a process of its own, because a process
// can show it only once: this test binary, started again. The two talk in lines
// of JSON, orders on the way in and reports on the way out.

const childEnv = "LAMPBLACK_TRAY_CHILD"

// childOptions have no time to lose.
var childOptions = Options{
	Probe:    50 * time.Millisecond,
	Patience: 300 * time.Millisecond,
	settle:   []time.Duration{700 * time.Millisecond, 2 * time.Second},
}

type order struct {
	Show   *State        `json:",omitempty"`
	Notify *rules.Notice `json:",omitempty"`
	Answer string        `json:",omitempty"` // say this when all before is done
}

type report struct {
	Command *Command `json:",omitempty"`
	Log     string   `json:",omitempty"`
	Answer  string   `json:",omitempty"`
	Ended   string   `json:",omitempty"` // what Run gave: "nil" or the error
}

func TestMain(m *testing.M) {
	if os.Getenv(childEnv) != "" {
		log.SetOutput(io.Discard) // the tray library's own remarks
		childMain()
		return
	}
	os.Exit(m.Run())
}

func childMain() {
	reports := make(chan report, 256)
	written := make(chan struct{})
	go func() {
		defer close(written)
		out := json.NewEncoder(os.Stdout)
		for r := range reports {
			if out.Encode(r) != nil {
				os.Exit(3)
			}
		}
	}()
	o := childOptions
	o.Log = func(s string) { reports <- report{Log: s} }
	tray := New(o)
	go obey(tray, reports)
	go func() {
		for c := range tray.Commands() {
			reports <- report{Command: &c}
		}
	}()
	ctx, stop := signal.NotifyContext(context.Background(), syscall.SIGTERM)
	defer stop()
	reports <- report{Ended: fmt.Sprint(tray.Run(ctx))}
	close(reports)
	<-written
}

func obey(tray *Tray, reports chan<- report) {
	in := json.NewDecoder(os.Stdin)
	for {
		var o order
		if err := in.Decode(&o); err != nil {
			return
		}
		if o.Show != nil {
			tray.Show(*o.Show)
		}
		if o.Notify != nil {
			tray.Notify(*o.Notify)
		}
		if o.Answer != "" {
			reports <- report{Answer: o.Answer}
		}
	}
}

// child is the parent's side.
type child struct {
	t        *testing.T
	process  *desktoptest.Process
	in       io.Writer
	commands chan Command
	logs     chan string
	answers  chan string
	ended    chan string
	races    string // where the race detector writes, with the pid behind it
}

func startChild(t *testing.T, s *desktoptest.Session, env ...string) *child {
	t.Helper()
	c := &child{t: t, commands: make(chan Command, 256), logs: make(chan string, 256),
		answers: make(chan string, 256), ended: make(chan string, 1)}
	cmd := exec.Command(os.Args[0])
	c.races = s.Path("race")
	cmd.Env = append(env, childEnv+"=1", "GORACE=exitcode=0 log_path="+c.races)
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, w, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	cmd.Stdout = w
	c.in = in
	c.process = s.RunCmd(cmd)
	w.Close()
	go c.read(out)
	return c
}

func (c *child) read(out io.ReadCloser) {
	defer out.Close()
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		var r report
		if json.Unmarshal(lines.Bytes(), &r) != nil {
			continue
		}
		switch {
		case r.Command != nil:
			c.commands <- *r.Command
		case r.Log != "":
			c.logs <- r.Log
		case r.Answer != "":
			c.answers <- r.Answer
		case r.Ended != "":
			c.ended <- r.Ended
		}
	}
}

func (c *child) order(o order) {
	c.t.Helper()
	if err := json.NewEncoder(c.in).Encode(o); err != nil {
		c.t.Fatalf("the tray process takes no orders: %v", err)
	}
}

func (c *child) show(s State)          { c.t.Helper(); c.order(order{Show: &s}) }
func (c *child) notify(n rules.Notice) { c.t.Helper(); c.order(order{Notify: &n}) }

// answer proves that Show and Notify have not blocked: where there are many of them,
// each that waited for the bus or the menu would take a second or two.
func (c *child) answer() {
	c.t.Helper()
	c.order(order{Answer: "here"})
	desktoptest.Receive(c.t, "an answer", c.answers)
}

// command is the next click.
func (c *child) command() Command {
	c.t.Helper()
	return desktoptest.Receive(c.t, "a command", c.commands)
}

// end asks the process to end as a session does, and checks what Run gave.
func (c *child) end() {
	c.t.Helper()
	c.process.Cmd.Process.Signal(syscall.SIGTERM)
	c.wantEnd("<nil>")
}

func (c *child) wantEnd(want string) {
	c.t.Helper()
	if got := desktoptest.Receive(c.t, "the end of Run", c.ended); got != want {
		c.t.Errorf("Run gave %q, want %q", got, want)
	}
	desktoptest.Receive(c.t, "the end of the process", closed(c.process.Ended()))
	if code := c.process.Cmd.ProcessState.ExitCode(); code != 0 {
		c.t.Errorf("exit code %d, want 0", code)
	}
	c.wantNoRace()
}

// wantNoRace reads what the race detector wrote. The tray library reads its
// menu's version without its lock, which isn't ours to fix: only races with an
// access from this module count.
func (c *child) wantNoRace() {
	c.t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("%s.%d", c.races, c.process.Cmd.Process.Pid))
	if err != nil {
		return // it wrote nothing
	}
	access := regexp.MustCompile(`(?m)^(?:Previous )?(?:read|write|Read|Write) at .*\n\s+lampblack/`)
	for _, race := range strings.Split(string(text), "==================") {
		if access.MatchString(race) {
			c.t.Errorf("a data race:\n%s", race)
		}
	}
}

// closed turns the closing of a channel into a value.
func closed(c <-chan struct{}) <-chan bool {
	v := make(chan bool, 1)
	go func() { <-c; v <- true }()
	return v
}

func (c *child) item(s *desktoptest.Session) *desktoptest.Item {
	c.t.Helper()
	return s.Item(c.process.Cmd.Process.Pid)
}
