// Command lampblack watches export folders from the tray and says, quietly,
// when the light at the desk predicts a dark or drab print.
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
