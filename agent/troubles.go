package agent

import (
	"slices"
	"time"

	"lampblack/rules"
)

// kind is a kind of trouble: every trouble that the menu can show is declared
// here, with how long it must last before it is shown. What heals quickly never is.
type kind struct {
	code  string
	after time.Duration
}

// The troubles, the most serious first: that is their order in the menu.
var (
	profileTrouble = kind{"profile", 0}
	journalTrouble = kind{"journal", 0}
	logTrouble     = kind{"log", 0} // readings.toml, about reading or writing it
	paperTrouble   = kind{"paper", 0}
	openTrouble    = kind{"open", 0}
	pageTrouble    = kind{"page", 0}
	outcomeTrouble = kind{"outcome", 0}
	folderTrouble  = kind{"folder", 5 * time.Second} // drives come and go, folders are moved and put back
	growingTrouble = kind{"growing", time.Minute}

	lightFolderTrouble = kind{"light folder", 5 * time.Second}
	lightPhotoTrouble  = kind{"light photo", 0}
	sensorTrouble      = kind{"sensor", 0}
	faultTrouble       = kind{"fault", 0} // a part of this program broke
	nothingWatched     = kind{"nothing", 0}

	allTroubles = []kind{
		profileTrouble, journalTrouble, logTrouble, paperTrouble, openTrouble, pageTrouble, outcomeTrouble,
		folderTrouble, growingTrouble, lightFolderTrouble, lightPhotoTrouble, sensorTrouble,
		faultTrouble, nothingWatched,
	}
)

// trouble is one thing that is wrong now.
type trouble struct {
	kind  kind
	about string // tells troubles of one kind apart: a folder's path
	text  string // one plain sentence
	since time.Time
}

// troubles is what is wrong now.
type troubles struct{ list []trouble }

// begin notes a trouble. One that is there already keeps its time and gets the
// new text. It tells whether that text is news.
func (t *troubles) begin(k kind, about, text string, now time.Time) (news bool) {
	i := slices.IndexFunc(t.list, func(x trouble) bool { return x.kind == k && x.about == about })
	if i < 0 {
		t.list = append(t.list, trouble{k, about, text, now})
		return true
	}
	news = t.list[i].text != text
	t.list[i].text = text
	return news
}

// notAfter lets no trouble begin in the future of a clock that was set back.
func (t *troubles) notAfter(now time.Time) {
	for i := range t.list {
		if t.list[i].since.After(now) {
			t.list[i].since = now
		}
	}
}

// end takes a trouble off the list.
func (t *troubles) end(k kind, about string) {
	t.list = slices.DeleteFunc(t.list, func(x trouble) bool { return x.kind == k && x.about == about })
}

// endAll takes every trouble of a kind off the list.
func (t *troubles) endAll(k kind) {
	t.list = slices.DeleteFunc(t.list, func(x trouble) bool { return x.kind == k })
}

// keepNewest takes all but the n newest troubles of a kind off the list.
func (t *troubles) keepNewest(k kind, n int) {
	seen := 0
	for i := len(t.list) - 1; i >= 0; i-- {
		if t.list[i].kind != k {
			continue
		}
		if seen++; seen > n {
			t.list = slices.Delete(t.list, i, i+1)
		}
	}
}

// shown are the sentences that are due at now, the most serious first, each with a
// capital at its beginning.
func (t *troubles) shown(now time.Time) []string {
	var out []string
	for _, k := range allTroubles {
		for _, x := range t.list {
			if x.kind == k && !now.Before(x.since.Add(k.after)) {
				out = append(out, rules.UpperFirst(x.text))
			}
		}
	}
	return out
}

// nextShown is when the next trouble becomes due after now; zero when none does.
func (t *troubles) nextShown(now time.Time) time.Time {
	var next time.Time
	for _, x := range t.list {
		due := x.since.Add(x.kind.after)
		if due.After(now) && (next.IsZero() || due.Before(next)) {
			next = due
		}
	}
	return next
}
