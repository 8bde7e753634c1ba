// Command gen draws the exports anew into the current folder, which go generate
// sets to that of the package. The package embeds them: should all files of one
// kind be missing, put an empty one in place first, or the package won't build.
package main

import (
	"log"
	"os"

	"lampblack/testdata/exports"
)

func main() {
	log.SetFlags(0)
	for _, name := range exports.Names() {
		data, err := exports.Make(name)
		if err != nil {
			log.Fatal(err)
		}
		if err := os.WriteFile(name, data, 0o644); err != nil {
			log.Fatal(err)
		}
	}
}
