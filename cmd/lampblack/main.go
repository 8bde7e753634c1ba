// Command lampblack watches export folders from the tray and says, quietly,
// when the light at the desk predicts a dark or drab print.
//
// A command is its flags, one call and the printing of what came of it; what it
// decides is decided in the packages below. The library kong reads the flags: it gives
// help and lists of words for free, and errors that name the flag. Signals become a
// context here, and the exit code is one of three, for every command alike. What the
// commands print for programs is in README.md here.
package main

import (
	"context"
	"io"
	"log"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	attachConsole()
	log.SetOutput(io.Discard) // the tray library's own remarks; what matters we say ourselves
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
