package main

import "testing"

func TestColumns(t *testing.T) {
	for text, want := range map[string]int{
		"": 0, "quay.tif": 8, "写真.tif": 8, "ﾊﾞ.tif": 6, "シャシン": 8, "사진": 4, "ä": 1, "a\u0308": 1, "ＦＵＬＬ": 8, "🌊.png": 6, "«»…": 3,
	} {
		if got := columnsOf(text); got != want {
			t.Errorf("%q takes %d columns, want %d", text, got, want)
		}
	}
	if got := padded("写真", 6) + "|" + padded("photograph", 6) + "|"; got != "写真  |photograph|" {
		t.Errorf("got %q", got)
	}
}
