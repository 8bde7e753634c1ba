package values

import (
	"fmt"
	"strings"

	"lampblack/config/legible"
	"lampblack/rules"
)

// Subject is what was metered; grey-card and graycard will do for grey card.
type Subject rules.Subject

var subjects = []rules.Subject{rules.OfPaper, rules.OfGreyCard, rules.OfScreen, rules.OfReceptor, rules.OfDome}

// UnmarshalText reads the subject.
func (s *Subject) UnmarshalText(text []byte) error {
	for _, known := range subjects {
		if closedUp(string(text)) == closedUp(string(known)) {
			*s = Subject(known)
			return nil
		}
	}
	return fmt.Errorf("%q is none of paper, grey card, screen, flat receptor and dome", legible.Line(string(text)))
}

// closedUp is a name without what people put between its words, in one spelling.
func closedUp(name string) string {
	return strings.NewReplacer(" ", "", "-", "", "_", "", "gray", "grey").Replace(strings.ToLower(name))
}
