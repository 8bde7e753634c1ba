package picture

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"os"

	"lampblack/agent/icc"
	"lampblack/config/legible"
	"lampblack/rules"
)

// Paper does what [icc.PaperOf] does with the colour profile at path, in a child process
// as Measure does. Its errors are ErrBroken, ErrUnsupported and ErrVanished; when
// ctx is cancelled the error is ctx's.
func (w Worker) Paper(ctx context.Context, path string) (icc.Paper, error) {
	f, err := openRegular(path)
	if err != nil {
		return icc.Paper{}, err
	}
	defer f.Close()
	if !isProfile(f) {
		return icc.Paper{}, unsupported("this is no colour profile: name the .icc or .icm file that belongs to the paper")
	}
	return ask(ctx, w, f, readPaper)
}

// isProfile tells a colour profile by its signature (ICC.1:2022, 7.2.11).
func isProfile(f io.ReaderAt) bool {
	var signature [4]byte
	_, err := f.ReadAt(signature[:], 36)
	return err == nil && string(signature[:]) == "acsp"
}

// answerPaper is WorkerMain for a colour profile.
func answerPaper(in *os.File, size int64, out io.Writer) int {
	p, err := paperOf(&source{f: in, size: size})
	if err != nil {
		err = writeAnswer(out, rules.Picture{}, "", err)
	} else {
		err = json.NewEncoder(out).Encode(answer{Paper: &p})
	}
	if err != nil {
		return 1
	}
	return 0
}

func paperOf(src *source) (icc.Paper, error) {
	if src.size > maxProfile {
		return icc.Paper{}, broken("a colour profile of %d MiB makes no sense: get it again from the paper's maker", src.size>>20)
	}
	data, err := src.bytes(0, int(src.size))
	if err != nil {
		return icc.Paper{}, src.explain(err)
	}
	p, err := icc.PaperOf(data)
	switch {
	case errors.Is(err, icc.ErrNoPaper):
		return icc.Paper{}, unsupported("%v", err)
	case err != nil:
		return icc.Paper{}, broken("%v", err)
	}
	return p, nil
}

// readPaper takes the answer about a profile apart again.
func readPaper(b []byte) (icc.Paper, error) {
	a, err := parseAnswer(b)
	if err != nil {
		return icc.Paper{}, err
	}
	if a.Paper == nil {
		return icc.Paper{}, errGarbage
	}
	p := *a.Paper
	p.Description = legible.Name(p.Description)
	return p, nil
}
