package picture

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"
	"time"

	"lampblack/agent/icc/icctest"
	"lampblack/config/legible"
	"lampblack/rules"
	"lampblack/rules/colour"
)

// The test binary is also the child processes that the tests need.
func TestMain(m *testing.M) {
	if len(os.Args) == 3 && os.Args[1] == "act" {
		os.Exit(act(os.Args[2]))
	}
	os.Exit(m.Run())
}

func act(part string) int {
	switch part {
	case "worker":
		return WorkerMain(os.Stdin, os.Stdout)
	case "suicide":
		self, err := os.FindProcess(os.Getpid())
		if err == nil {
			err = self.Kill()
		}
		fmt.Fprintln(os.Stderr, err)
		time.Sleep(time.Minute)
	case "hang":
		time.Sleep(time.Hour)
	case "garbage":
		fmt.Println("lorem ipsum")
	case "nothing":
	case "empty picture":
		fmt.Println(`{"picture":{"width":10,"height":10}}`)
	case "unknown kind":
		fmt.Println(`{"error":"the moon is full: wait","kind":"lunar"}`)
	case "fail":
		return 3
	case "flood":
		for {
			if _, err := os.Stdout.Write(make([]byte, 1<<16)); err != nil {
				return 0
			}
		}
	case "complain":
		fmt.Fprint(os.Stderr, strings.Repeat("woe ", 1<<16))
		return WorkerMain(os.Stdin, os.Stdout)
	case "environment":
		_ = writeAnswer(os.Stdout, rules.Picture{}, "", broken("%q", os.Environ()))
	default:
		return actSystem(part)
	}
	return 0
}

// troupe is a Worker whose child plays a part.
func troupe(t testing.TB, part string) Worker {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	return Worker{Command: []string{self, "act", part}, Timeout: time.Minute}
}

func stored(t testing.TB, file []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "export")
	if err := os.WriteFile(path, file, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestWorkerGivesWhatMeasureGives(t *testing.T) {
	for _, part := range []string{"worker", "complain"} {
		for name, file := range map[string][]byte{
			"tagged":   makePNG(t, testRGB(61, 43), iccChunk(icctest.Matrix("Tidemark", colour.ROMM, icctest.Curv(461)))),
			"untagged": makeJPEG(t, testRGB(61, 43), segment(markerAPP0, "JFIF\x00\x01\x01\x01\x01\x2c\x01\x2c\x00\x00")),
		} {
			got, err := troupe(t, part).Measure(t.Context(), stored(t, file))
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			want := measured(t, file)
			if !want.PPI.Known() && !got.PPI.Known() { // NaN never equals itself
				want.PPI, got.PPI = 0, 0
			}
			if !reflect.DeepEqual(got, want) {
				t.Errorf("%s: %+v\nwant %+v", name, got, want)
			}
		}
	}
}

func TestWorkerPassesErrorsOn(t *testing.T) {
	good := makePNG(t, testRGB(61, 43))
	for name, test := range map[string]struct {
		file []byte
		kind error
	}{
		"empty":       {nil, ErrUnfinished},
		"unfinished":  {good[:len(good)/2], ErrUnfinished},
		"broken":      {append(good[:60:60], make([]byte, len(good))...), ErrBroken},
		"unsupported": {[]byte("%PDF-1.7"), ErrUnsupported},
	} {
		_, direct := Measure(strings.NewReader(string(test.file)), int64(len(test.file)))
		_, err := troupe(t, "worker").Measure(t.Context(), stored(t, test.file))
		if !errors.Is(err, test.kind) || err.Error() != direct.Error() {
			t.Errorf("%s: %v, directly %v", name, err, direct)
		}
		if errors.Is(err, ErrUnfinished) != errors.Is(direct, ErrUnfinished) {
			t.Errorf("%s: %v is unfinished or not", name, err)
		}
	}
}

func TestWorkerThatMisbehaves(t *testing.T) {
	path := stored(t, makePNG(t, testRGB(20, 20)))
	for part, want := range map[string]string{
		"suicide":       "failed unexpectedly",
		"fail":          "failed unexpectedly (exit status 3)",
		"garbage":       "no sensible answer",
		"nothing":       "no sensible answer",
		"empty picture": "no sensible answer",
		"unknown kind":  "no sensible answer",
		"flood":         "no sensible answer",
	} {
		_, err := troupe(t, part).Measure(t.Context(), path)
		if !errors.Is(err, ErrBroken) || errors.Is(err, ErrUnfinished) || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", part, err)
		}
	}
}

func TestWorkerThatHangsIsStopped(t *testing.T) {
	w := troupe(t, "hang")
	w.Timeout = 200 * time.Millisecond
	start := time.Now()
	_, err := w.Measure(t.Context(), stored(t, []byte("x")))
	if !errors.Is(err, ErrUnsupported) || !strings.Contains(err.Error(), "longer than 200ms") {
		t.Errorf("%v", err)
	}
	if took := time.Since(start); took > 30*time.Second {
		t.Errorf("stopped after %v only", took)
	}
}

func TestCancelledMeasureSaysSo(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := troupe(t, "hang").Measure(ctx, stored(t, []byte("x")))
	if !errors.Is(err, context.Canceled) || errors.Is(err, ErrBroken) {
		t.Errorf("%v", err)
	}
}

func TestWorkerThatCannotStart(t *testing.T) {
	for want, command := range map[string][]string{
		"can't be started":  {filepath.Join(t.TempDir(), "none")},
		"no program is set": nil,
	} {
		_, err := Worker{Command: command}.Measure(t.Context(), stored(t, []byte("x")))
		if !errors.Is(err, ErrUnsupported) || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", command, err)
		}
	}
}

func TestWorkerHasNoEnvironment(t *testing.T) {
	t.Setenv("LAMPBLACK_TEST_SECRET", "x")
	w := troupe(t, "environment")
	w.MemoryLimit = 123 << 20
	_, err := w.Measure(t.Context(), stored(t, []byte("x")))
	if err == nil || strings.Contains(err.Error(), "SECRET") || strings.Contains(err.Error(), "PATH=") ||
		!strings.Contains(err.Error(), "GOTRACEBACK=none") || !strings.Contains(err.Error(), memoryVariable+"=128974848") {
		t.Errorf("%v", err)
	}
}

func TestFilesThatAreNone(t *testing.T) {
	folder := t.TempDir()
	for path, want := range map[string]error{
		filepath.Join(folder, "none"): ErrVanished,
		folder:                        ErrUnsupported,
		os.DevNull:                    ErrUnsupported,
	} {
		_, err := troupe(t, "worker").Measure(t.Context(), path)
		if !errors.Is(err, want) || strings.Contains(err.Error(), folder) {
			t.Errorf("%s: %v", path, err)
		}
	}
}

// What comes through the pipe is bounded and printable.
func TestAnswersAreChecked(t *testing.T) {
	hostile, err := json.Marshal(answer{Error: "a\x1b[2J\u202e" + strings.Repeat("b", 1000), Kind: "broken"})
	if err != nil {
		t.Fatal(err)
	}
	_, err = readAnswer(hostile)
	if !errors.Is(err, ErrBroken) || strings.ContainsAny(err.Error(), "\x1b\u202e") || len(err.Error()) > legible.MostOfName {
		t.Errorf("%q", err)
	}
	for _, hash := range []string{"123456789", "quay.tif"} {
		if _, err := readAnswer([]byte(`{"error":"it is","kind":"broken","hash":"` + hash + `"}`)); err != errGarbage {
			t.Errorf("the hash %q passed: %v", hash, err)
		}
	}
}

func BenchmarkWorker(b *testing.B) {
	path := stored(b, makeJPEG(b, testRGB(320, 200)))
	w := troupe(b, "worker")
	for b.Loop() {
		if _, err := w.Measure(b.Context(), path); err != nil {
			b.Fatal(err)
		}
	}
}
