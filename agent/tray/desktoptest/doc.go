// Package desktoptest gives tests a desktop session of their own: a session bus
// and, when asked, an X display with a panel and a notification server, or
// stand-ins for the two on the bus. Everything in it needs the build tag
// desktop. A missing tool fails the test: nothing is skipped.
package desktoptest
