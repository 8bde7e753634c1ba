package agent

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"lampblack/agent/picture"
	"lampblack/agent/tray"
	"lampblack/agent/watch"
)

// deadDrive is a reader of files that never come.
type deadDrive struct {
	*studio
	back chan struct{}
}

func (d deadDrive) Examine(context.Context, string) (picture.Examined, error) {
	<-d.back
	return picture.Examined{}, os.ErrNotExist
}

func TestQuitWhileADriveHangs(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStudio(t)
		dead := deadDrive{s, make(chan struct{})}
		ended := make(chan error, 1)
		go func() {
			ended <- Run(t.Context(), Options{
				ProfilePath: s.profile(), StateDir: s.state(), Reader: dead, Desktop: s,
				Watch: func(ctx context.Context, folders []watch.Folder, _ watch.Options, out chan<- watch.Event) {
					if path := folders[0].Path; path == filepath.Join(s.root, "to-print") {
						out <- watch.Event{File: &watch.File{Path: filepath.Join(path, "fog.tif"), Size: 1, ModTime: time.Now()}}
					}
					<-ctx.Done()
				},
			})
		}()
		synctest.Wait()
		clicked := time.Now()
		s.commands <- tray.Command{Kind: tray.Quit}
		if err := <-ended; err != nil || time.Since(clicked) != 5*time.Second {
			t.Errorf("ended %v after the click: %v", time.Since(clicked), err)
		}
		close(dead.back)
	})
}
