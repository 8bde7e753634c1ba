package picture

import (
	"testing"

	"lampblack/rules"
)

// TestKindsHaveCodes: what programs are told of a file that can't be read is in the
// table of codes.
func TestKindsHaveCodes(t *testing.T) {
	for _, k := range kinds {
		if rules.Code(k.name).Meaning() == "" {
			t.Errorf("%q is no code", k.name)
		}
	}
}
