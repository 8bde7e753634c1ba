// Command gen draws the exports anew into the current folder, which go generate
// sets to that of testdata/exports.
package main

import (
	"log"
	"os"

	"lampblack/agent/rehearse/scenes"
)

func main() {
	log.SetFlags(0)
	for _, name := range scenes.Exports() {
		data, err := scenes.Export(name)
		if err != nil {
			log.Fatal(err)
		}
		if err := os.WriteFile(name, data, 0o644); err != nil {
			log.Fatal(err)
		}
	}
}
