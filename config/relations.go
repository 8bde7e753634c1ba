package config

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"lampblack/rules"
	"lampblack/rules/colour"
)

// checkRelations looks at what no single key can show: names that are there
// twice or not at all, references outside their ranges, papers whose black is
// no black.
func (r *reader) checkRelations() {
	for _, table := range []string{"display", "paper", "viewing"} {
		r.checkUnique(table)
	}
	r.checkEditing()
	r.checkReference("white_cd_m2", "reference_cd_m2", "cd/m²")
	r.checkReference("white_k", "reference_k", "K")
	r.checkReference("surround", "reference_surround", "")
	r.checkReferenceRoom()
	r.checkSteps()
	for _, s := range r.sections["display"] {
		r.checkMost(s)
	}
	for _, s := range r.sections["paper"] {
		r.checkBlack(s)
	}
	for _, s := range r.sections["folder"] {
		r.checkNames(s, "paper", "paper")
		r.checkNames(s, "viewing", "viewing")
		r.checkNames(s, "proof", "viewing")
	}
	r.checkFoldersTwice()
	r.checkLightFolder()
}

// checkUnique wants every name of a table once.
func (r *reader) checkUnique(table string) {
	first := map[string]int{}
	for _, s := range r.sections[table] {
		name, ok := value[string](s, "name")
		if !ok {
			continue
		}
		at := s.at.in("name")
		if line, there := first[name]; there {
			r.mistake(at, table+".name", fmt.Sprintf("found %q, which line %d has too; each %s needs a name of its own", name, line, table),
				forExample+fmt.Sprintf("name = %q", name+" 2"))
			continue
		}
		first[name] = r.lines[at]
	}
}

// checkEditing wants one display that edits, and says which was taken.
func (r *reader) checkEditing() {
	displays := r.sections["display"]
	taken := -1
	for i, s := range displays {
		edits, _ := value[bool](s, "edits")
		if !edits {
			continue
		}
		if taken >= 0 {
			name, _ := value[string](displays[taken], "name")
			r.doubt(s.at.in("edits"), "display.edits",
				fmt.Sprintf("a second display edits; pictures are judged on one, and %q, the first, is taken", name), writeSo+"edits = false")
			continue
		}
		taken = i
	}
	if len(displays) > 1 && taken < 0 {
		name, _ := value[string](displays[0], "name")
		r.doubt(displays[0].at, "display.edits",
			fmt.Sprintf("none of the %d displays edits; %q, the first, is taken", len(displays), name), writeSo+"edits = true")
	}
}

// target is the [target] table; without one there is nothing to check.
func (r *reader) target() section {
	if s := r.sections["target"]; len(s) > 0 {
		return s[0]
	}
	return section{}
}

// checkReference wants a reference within its own range.
func (r *reader) checkReference(rangeKey, referenceKey, unit string) {
	s := r.target()
	reference, ok := value[float64](s, referenceKey)
	allowed := targetRange(alone(s).Target, rangeKey)
	if !ok || allowed.Holds(reference) {
		return
	}
	k, _ := s.table.key(referenceKey)
	r.doubt(s.at.in(referenceKey), "target."+referenceKey,
		strings.TrimSpace(fmt.Sprintf("found %s, outside the target's own %s, which goes from %s to %s %s", k.describe(reference),
			rangeKey, plainNumber(allowed.Low), plainNumber(allowed.High), unit)),
		forExample+k.line(plainNumber(within(allowed, reference))))
}

// targetRange is the range of the target that goes by the given key.
func targetRange(t rules.Target, key string) rules.Range {
	switch key {
	case "white_cd_m2":
		return t.White
	case "white_k":
		return t.WhitePoint
	default:
		return t.Surround
	}
}

// checkReferenceRoom wants the reference room within the room's upper limit.
func (r *reader) checkReferenceRoom() {
	s := r.target()
	t := alone(s).Target
	if _, ok := value[float64](s, "reference_lx"); ok && t.ReferenceRoom > t.Room {
		r.doubt(s.at.in("reference_lx"), "target.reference_lx",
			fmt.Sprintf("found %s lx, above the target's own room_lx of %s lx",
				plainNumber(float64(t.ReferenceRoom)), plainNumber(float64(t.Room))),
			forExample+"reference_lx = "+plainNumber(math.Round(float64(middleOfRoom(t.Room))*10)/10))
	}
}

// checkSteps wants the clear step no smaller than the noticeable one.
func (r *reader) checkSteps() {
	for _, s := range r.sections["quiet"] {
		q := alone(s).Quiet
		if q.Clear >= q.Noticeable {
			continue
		}
		at := s.at.in("clear_stops")
		if _, there := s.values["clear_stops"]; !there {
			at = s.at.in("noticeable_stops")
		}
		r.doubt(at, "quiet.clear_stops", fmt.Sprintf("%s stops are clear, but it takes %s to be noticeable; clear is usually twice that",
			plainNumber(float64(q.Clear)), plainNumber(float64(q.Noticeable))), forExample+"clear_stops = "+plainNumber(2*float64(q.Noticeable)))
	}
}

// checkMost wants a display able to do what its white is.
func (r *reader) checkMost(s section) {
	d := alone(s).Displays[0]
	if d.Most == 0 || d.White.Assumed || d.Most >= d.White.Value {
		return
	}
	white := plainNumber(float64(d.White.Value))
	r.mistake(s.at.in("most_cd_m2"), "display.most_cd_m2",
		fmt.Sprintf("found %s cd/m², but its white is %s already; the most it can do is at least that", plainNumber(float64(d.Most)), white),
		forExample+"most_cd_m2 = "+white)
}

// checkBlack wants a paper's deepest black darker than its white.
func (r *reader) checkBlack(s section) {
	p := alone(s).Papers[0]
	if colour.FromDensity(p.DMax.Value) < p.White.Value {
		return
	}
	r.mistake(s.at.in("dmax"), "paper.dmax",
		fmt.Sprintf("found %s, but the blank sheet's own density is %.2f; its black must be above that",
			plainNumber(p.DMax.Value), colour.Density(p.White.Value)), forExample+"dmax = "+plainNumber(assumedDMax))
}

// checkNames wants the paper or viewing that a key of a folder names to be there.
func (r *reader) checkNames(folder section, key, table string) {
	name, ok := value[string](folder, key)
	if !ok {
		return
	}
	var all []string
	for _, s := range r.sections[table] {
		if n, ok := value[string](s, "name"); ok {
			all = append(all, n)
		}
	}
	allowed := all
	if table == "viewing" {
		allowed = append(slices.Clone(all), rules.StandardViewings()...)
	}
	if slices.Contains(allowed, name) {
		return
	}
	text := fmt.Sprintf("found %q, but there is no [[%s]] at all", name, table)
	hint := fmt.Sprintf("add a [[%s]] of that name, or leave the line out", table)
	if len(all) > 0 {
		text = fmt.Sprintf("found %q, but no [[%s]] has that name; there is %s", name, table, oneOf(all))
		hint = forExample + fmt.Sprintf("%s = %q", key, all[0])
	}
	if near, ok := nearest(name, allowed); ok {
		hint = writeSo + fmt.Sprintf("%s = %q", key, near)
	}
	r.mistake(folder.at.in(key), "folder."+key, text, hint)
}

// checkFoldersTwice looks for files that two folders would both claim.
func (r *reader) checkFoldersTwice() {
	folders := r.sections["folder"]
	for i, s := range folders {
		f := alone(s).Folders[0]
		for _, before := range folders[:i] {
			b := alone(before).Folders[0]
			shared := slices.ContainsFunc(f.Match, func(glob string) bool { return slices.Contains(b.Match, glob) })
			if f.Path != "" && f.Path == b.Path && shared {
				r.doubt(s.at.in("path"), "folder.path", fmt.Sprintf("line %d watches the same folder for the same files; the first is taken",
					r.lines[before.at.in("path")]), "")
				break
			}
		}
	}
}

// checkLightFolder wants photographs of a sheet kept apart from exports.
func (r *reader) checkLightFolder() {
	for _, room := range r.sections["room"] {
		path, given := value[string](room, "light_folder")
		for _, s := range r.sections["folder"] {
			if of, ok := value[string](s, "path"); given && ok && of == path {
				r.doubt(room.at.in("light_folder"), "room.light_folder",
					fmt.Sprintf("line %d watches the same folder for exports, so that its photographs are judged as prints, too; a folder of its own is better",
						r.lines[s.at.in("path")]), "")
				break
			}
		}
	}
}

// expandPaths makes the paths of folders and colour profiles absolute and clean:
// ~ is home, and what is relative starts from dir.
func (r *reader) expandPaths(dir, home string) {
	for table, key := range map[string]string{"folder": "path", "paper": "icc", "room": "light_folder"} {
		for _, s := range r.sections[table] {
			typed, ok := value[string](s, key)
			if !ok {
				continue
			}
			full, why := expand(typed, dir, home)
			if why != "" {
				delete(s.values, key)
				r.mistake(s.at.in(key), table+"."+key, why, "")
				continue
			}
			s.values[key] = full
		}
	}
}

// expand makes one path absolute, or says why it can't.
func expand(typed, dir, home string) (full, why string) {
	rest, fromHome := strings.CutPrefix(typed, "~")
	switch {
	case !fromHome && filepath.IsAbs(typed):
		return filepath.Clean(typed), ""
	case !fromHome:
		return filepath.Join(dir, typed), ""
	case rest != "" && !strings.HasPrefix(rest, "/") && !strings.HasPrefix(rest, `\`):
		return "", fmt.Sprintf("found %q, someone else's home folder; allowed is ~/ for your own, or the whole path", shorten(typed))
	case home == "":
		return "", fmt.Sprintf("found %q, but it is not known where your home folder is; write the whole path", shorten(typed))
	}
	return filepath.Join(home, rest), ""
}
