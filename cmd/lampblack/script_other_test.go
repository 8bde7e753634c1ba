//go:build !unix

package main

import "github.com/rogpeppe/go-internal/testscript"

// systemCommands is empty: pipes with names are a matter of Unix here.
var systemCommands map[string]func(*testscript.TestScript, bool, []string)
