// Package debian gives tests the files of Debian's packages without installing
// these: some would bring hundreds of megabytes of desktop programs along.
package debian

import (
	"os/exec"
	"path/filepath"
	"testing"
)

// Unpacked downloads packages and unpacks them into a folder that goes away with
// the test. What can't be had fails the test.
func Unpacked(t testing.TB, packages ...string) string {
	t.Helper()
	folder := t.TempDir()
	for _, p := range packages {
		cmd := exec.Command("apt-get", "download", "-qq", "-o", "Acquire::Retries=5", p)
		cmd.Dir = folder
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("apt-get download %s: %v %s", p, err, out)
		}
	}
	debs, err := filepath.Glob(filepath.Join(folder, "*.deb"))
	if err != nil || len(debs) != len(packages) {
		t.Fatalf("packages %q, %v", debs, err)
	}
	for _, deb := range debs {
		if out, err := exec.Command("dpkg", "-x", deb, folder).CombinedOutput(); err != nil {
			t.Fatalf("dpkg -x %s: %v %s", deb, err, out)
		}
	}
	return folder
}
