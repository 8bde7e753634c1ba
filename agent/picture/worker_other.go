//go:build unix && !linux

package picture

import "syscall"

// childAttributes: a process group of its own, so that all of it can be killed.
func childAttributes() []*syscall.SysProcAttr { return []*syscall.SysProcAttr{{Setpgid: true}} }

// limitMemory does nothing: macOS ignores the limits that it lets one set. The
// header gate, the runtime's soft limit and the time limit are all there is.
func limitMemory(uint64) {}

// shutIn does nothing: there is no such thing that is documented.
func shutIn() {}
