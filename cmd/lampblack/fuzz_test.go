package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// FuzzExplainTones: whatever desk and tones are given, explain ends with a
// report of one JSON object or with a sentence, and never by falling over.
func FuzzExplainTones(f *testing.F) {
	f.Add("0.005,0.02,0.18,0.5", "0.18", 180.0, 41.0, 900.0, 0.0045, 0.2, 6000.0, 0.6)
	f.Add("0,1", "0", 10000.0, 200000.0, 1e7, 0.1, 0.0, 25000.0, 0.0)
	f.Add("1", "1", 1.0, 0.0, 1.01, 1e-6, 1.0, 4000.0, 1.0)
	f.Add("nan,,-0", "1e309", -1.0, math.Inf(1), 1.0, 0.0, 2.0, 0.0, math.NaN())
	f.Fuzz(func(t *testing.T, tones, mean string, white, lux, contrast, diffuse, surround, kelvin, share float64) {
		path := filepath.Join(t.TempDir(), "profile.toml")
		profile := fmt.Sprintf(`
[[display]]
name = "bench"
white_cd_m2 = %g
contrast = %g
diffuse_cd_m2_lx = %g
white_k = %g
[surround]
relative_Y = %g
picture_share = %g
[[reading]]
at = 2026-03-01T09:10:00Z
lx = %g
place = "screen"
`, white, contrast, diffuse, kelvin, surround, share, lux)
		if err := os.WriteFile(path, []byte(profile), 0o600); err != nil {
			t.Fatal(err)
		}
		var stdout, stderr bytes.Buffer
		code := run(t.Context(), []string{"explain", "--profile=" + path, "--at=2026-03-01T10:00:00Z",
			"--json", "--tones=" + tones, "--mean=" + mean}, os.Stdin, &stdout, &stderr)
		switch {
		case code == ok && json.Valid(stdout.Bytes()) && bytes.Count(stdout.Bytes(), []byte("\n")) == 1:
		case code == badInput && stdout.Len() == 0 && stderr.Len() > 0:
		default:
			t.Errorf("exit status %d, stdout %q, stderr %q", code, stdout.String(), stderr.String())
		}
	})
}
