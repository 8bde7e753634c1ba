package agent

import (
	"bytes"
	"errors"
	"path/filepath"
	"strings"
	"sync"

	"lampblack/agent/picture"
	"lampblack/rules"
	"lampblack/testdata/exports"
)

// pictureIn is the demo studio's export whose name begins like that of a file.
func pictureIn(name string) (rules.Picture, error) {
	for _, demo := range exports.Names() {
		stem, _, _ := strings.Cut(strings.TrimSuffix(demo, filepath.Ext(demo)), "-")
		if strings.HasPrefix(name, stem) {
			return measuredOnce(demo)
		}
	}
	return rules.Picture{}, errors.New("the script's mistake: no picture of that name")
}

var (
	measuredMutex    sync.Mutex
	measuredPictures = map[string]rules.Picture{}
)

// measuredOnce measures a whole demo export, once for all tests.
func measuredOnce(demo string) (rules.Picture, error) {
	measuredMutex.Lock()
	defer measuredMutex.Unlock()
	if pic, ok := measuredPictures[demo]; ok {
		return pic, nil
	}
	pic, err := measured(demo, 1)
	measuredPictures[demo] = pic
	return pic, err
}

// measured measures the first share of a demo export.
func measured(demo string, share float64) (rules.Picture, error) {
	content, err := exports.Files.ReadFile(demo)
	if err != nil {
		return rules.Picture{}, err
	}
	content = content[:int(share*float64(len(content)))]
	return picture.Measure(bytes.NewReader(content), int64(len(content)))
}
