package log

import (
	"strconv"
	"time"

	"lampblack/rules"
)

// Surround is that the surround was said to be of that name, one of
// [rules.SurroundNames].
type Surround struct {
	About
	Name string
}

// Kind is the table of surrounds.
func (*Surround) Kind() string { return "surround" }

// Words are like "the surround "mid grey"".
func (s *Surround) Words() string { return "the surround " + strconv.Quote(s.Name) }

func (s *Surround) fields(f *fields) {
	moment(f, needed, "at", &s.At)
	s.source(f)
	line(f, added, "display", &s.Display)
	choice(f, needed, "named", &s.Name, rules.SurroundNames())
}

func (s *Surround) layOver(p *rules.Profile, written time.Time) {
	if y, ok := rules.SurroundNamed(s.Name); ok && s.At.After(written) {
		p.Surround.RelativeY, p.Surround.Name = rules.Stated(y), s.Name
	}
}
