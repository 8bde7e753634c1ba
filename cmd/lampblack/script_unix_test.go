//go:build unix

package main

import (
	"syscall"

	"github.com/rogpeppe/go-internal/testscript"
)

// systemCommands are the script commands for things that only some systems have.
var systemCommands = map[string]func(*testscript.TestScript, bool, []string){
	"fifo": cmdFifo,
}

// cmdFifo is "fifo NAME": a pipe of that name, which nobody writes to.
func cmdFifo(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: fifo NAME")
	}
	ts.Check(syscall.Mkfifo(ts.MkAbs(args[0]), 0o600))
}
