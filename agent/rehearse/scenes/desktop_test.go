//go:build desktop

package scenes

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// This test wants Debian's liblcms2-utils, and fails without.

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
