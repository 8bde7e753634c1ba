//go:build !windows

package main

func attachConsole() {}
