//go:build desktop

package exports

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// These tests want Debian's liblcms2-utils and libtiff-tools, and fail without.

func TestProfilesInLittleCMS(t *testing.T) {
	for _, k := range kinds {
		path := filepath.Join(t.TempDir(), "profile.icc")
		if err := os.WriteFile(path, Profile(k), 0o600); err != nil {
			t.Fatal(err)
		}
		colours := fiftyColours()
		var in strings.Builder
		for _, c := range colours {
			fmt.Fprintln(&in, c[0], c[1], c[2])
		}
		cmd := exec.Command("transicc", "-t1", "-c0", "-n", "-i", path, "-o", "*Lab")
		cmd.Stdin = strings.NewReader(in.String())
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("transicc, of liblcms2-utils: %v", err)
		}
		reader := strings.NewReader(string(out))
		worst := 0.0
		for _, c := range colours {
			var got [3]float64
			if _, err := fmt.Fscan(reader, &got[0], &got[1], &got[2]); err != nil {
				t.Fatalf("%v: %v in %q", k, err, out)
			}
			d := deltaE(got, lab(k.XYZ(ofCodes(c))))
			worst = max(worst, d)
			if d > 0.1 {
				t.Errorf("%v %v: L*a*b* is %v there, %v here: ΔE %.3f, want at most 0.1", k, c, got, lab(k.XYZ(ofCodes(c))), d)
			}
		}
		t.Logf("%v: largest ΔE of %d colours is %.4f", k, len(colours), worst)
	}
}

func TestTIFFsInLibtiff(t *testing.T) {
	dir := t.TempDir()
	for _, name := range Names() {
		if filepath.Ext(name) != ".tif" {
			continue
		}
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, embedded(t, name), 0o600); err != nil {
			t.Fatal(err)
		}
		checkInLibtiff(t, path)
	}
	path := filepath.Join(dir, "big.tif")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := BigTIFF16(f, 1, 1, true); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	checkInLibtiff(t, path)
}

// checkInLibtiff reads all of a file's data, too, and wants no word of complaint.
func checkInLibtiff(t *testing.T, path string) {
	t.Helper()
	var out, complaints strings.Builder
	cmd := exec.Command("tiffinfo", "-d", path)
	cmd.Stdout, cmd.Stderr = &out, &complaints
	if err := cmd.Run(); err != nil || complaints.Len() > 0 {
		t.Errorf("tiffinfo, of libtiff-tools: %v %s", err, complaints.String())
	}
	for _, want := range []string{"Resolution: 300, 300 pixels/inch", "ICC Profile: <present>"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("tiffinfo of %s doesn't say %q:\n%s", filepath.Base(path), want, out.String())
		}
	}
}
