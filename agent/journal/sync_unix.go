//go:build !windows

package journal

import (
	"fmt"
	"os"
)

// syncDir sees the names in a folder to the disk.
func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err == nil {
		err = d.Sync()
		d.Close()
	}
	if err != nil {
		return fmt.Errorf("the folder of the journal can't be written: %w; %s", err, whatToDo)
	}
	return nil
}
