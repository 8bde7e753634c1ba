package picture

import (
	"context"
	"encoding/json"
	"io"
	"os"

	"lampblack/rules"
)

// Paper does what PaperOf does with the ICC profile at path, in a child process
// as Measure does. Its errors are ErrBroken, ErrUnsupported and ErrVanished; when
// ctx is cancelled the error is ctx's.
func (w Worker) Paper(ctx context.Context, path string) (Paper, error) {
	f, err := openRegular(path)
	if err != nil {
		return Paper{}, err
	}
	defer f.Close()
	if !isProfile(f) {
		return Paper{}, unsupported("this is no ICC profile: name the .icc or .icm file that belongs to the paper")
	}
	return ask(ctx, w, f, readPaper)
}

// isProfile tells an ICC profile by its signature (ICC.1:2022, 7.2.11).
func isProfile(f io.ReaderAt) bool {
	var signature [4]byte
	_, err := f.ReadAt(signature[:], 36)
	return err == nil && string(signature[:]) == "acsp"
}

// answerPaper is WorkerMain for an ICC profile.
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

func paperOf(src *source) (Paper, error) {
	if src.size > maxProfile {
		return Paper{}, broken("a colour profile of %d MiB makes no sense: get it again from the paper's maker", src.size>>20)
	}
	data, err := src.bytes(0, int(src.size))
	if err != nil {
		return Paper{}, src.explain(err)
	}
	return PaperOf(data)
}

// readPaper takes the answer about a profile apart again.
func readPaper(b []byte) (Paper, error) {
	a, err := parseAnswer(b)
	if err != nil {
		return Paper{}, err
	}
	if a.Paper == nil {
		return Paper{}, errGarbage
	}
	p := *a.Paper
	p.Description = printable(p.Description)
	return p, nil
}
