package picture

import (
	"encoding/json"
	"errors"
	"io"
	"strings"

	"lampblack/agent/icc"
	"lampblack/config/legible"
	"lampblack/rules"
)

// answer is the one JSON object that the worker writes: a picture, a paper, a
// preview, a photograph or an error.
// It repeats the fields that rules.Picture keeps out of its own JSON.
type answer struct {
	Picture *rules.Picture   `json:"picture,omitempty"`
	Paper   *icc.Paper       `json:"paper,omitempty"`
	Preview *Preview         `json:"preview,omitempty"`
	Photo   *Photograph      `json:"photo,omitempty"`
	Hash    string           `json:"hash,omitempty"` // of the content, whatever the outcome
	Tones   []rules.Tone     `json:"tones,omitempty"`
	Colours []rules.Colour   `json:"colours,omitempty"`
	Notes   []rules.Sentence `json:"notes,omitempty"`
	Error   string           `json:"error,omitempty"`
	Kind    string           `json:"kind,omitempty"`
}

// kinds are the names of the errors for programs, ourselves among them; the special come before the general.
var kinds = []struct {
	name string
	err  error
}{
	{"unfinished", ErrUnfinished},
	{"broken", ErrBroken},
	{"unsupported", ErrUnsupported},
	{"vanished", ErrVanished},
}

// Kind is the name of the reason why a picture can't be had, for programs: unfinished,
// broken, unsupported or vanished; empty for an error that isn't of this package.
func Kind(err error) string {
	for _, k := range kinds {
		if errors.Is(err, k.err) {
			return k.name
		}
	}
	return ""
}

// writeAnswer sends the outcome of Measure, and the hash of the file's content if
// there is one.
func writeAnswer(out io.Writer, pic rules.Picture, hash string, err error) error {
	a := answer{Picture: &pic, Hash: hash, Tones: pic.Tones, Colours: pic.Colours, Notes: pic.Notes}
	if err != nil {
		a = answer{Hash: hash, Error: err.Error(), Kind: Kind(err)}
	}
	return json.NewEncoder(out).Encode(a)
}

// errGarbage: what came through the pipe is no answer.
var errGarbage = errors.New("no answer")

// parseAnswer reads an answer. An error that it holds is returned as one, beside
// the hash of what could not be read.
func parseAnswer(b []byte) (answer, error) {
	var a answer
	if err := json.Unmarshal(b, &a); err != nil || len(a.Hash) > hashLength || strings.Trim(a.Hash, "0123456789abcdef") != "" {
		return answer{}, errGarbage
	}
	if text := legible.Name(a.Error); text != "" {
		for _, k := range kinds {
			if a.Kind == k.name {
				return answer{Hash: a.Hash}, &fault{k.err, text}
			}
		}
		return answer{}, errGarbage
	}
	return a, nil
}

// readAnswer takes the answer about a picture apart again. It believes the
// worker's numbers but not that they are there.
func readAnswer(b []byte) (Examined, error) {
	a, err := parseAnswer(b)
	x := Examined{Hash: a.Hash}
	switch {
	case err != nil:
		return x, err
	case a.Paper != nil:
		return x, unsupported("this is a colour profile, not a picture: export as TIFF, JPEG or PNG")
	case a.Picture == nil || a.Picture.Width < 1 || a.Picture.Height < 1 || len(a.Tones) == 0 || len(a.Colours) == 0:
		return x, errGarbage
	}
	x.Picture = *a.Picture
	x.Picture.Tones, x.Picture.Colours, x.Picture.Notes = a.Tones, a.Colours, a.Notes
	return x, nil
}
