package main

import "testing"

func TestLastSentence(t *testing.T) {
	for said, want := range map[string]string{
		"": "", "panic: oh\n": "",
		"lampblack: no space left\n": "no space left",
		"lampblack: a note\nlampblack: profile.toml:3: no such key\n           did you mean lx?\n": "profile.toml:3: no such key",
		"out of a cut line\nlampblack: no space left":                                              "no space left",
	} {
		if got := lastSentence(said); got != want {
			t.Errorf("the last sentence of %q is %q, want %q", said, got, want)
		}
	}
}

func TestTail(t *testing.T) {
	kept := &tail{most: 5}
	for _, part := range []string{"ab", "", "cdefgh", "i"} {
		if n, err := kept.Write([]byte(part)); n != len(part) || err != nil {
			t.Errorf("wrote %d bytes of %q: %v", n, part, err)
		}
	}
	if string(kept.end) != "efghi" {
		t.Errorf("%q is kept", kept.end)
	}
}
