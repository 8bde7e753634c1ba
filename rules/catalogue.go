package rules

// catalogue is the conditions in the order in which they are reported, shown and
// listed. A new one is put at its end.
var catalogue = []*kind{
	&screenLuminance,
	&whitePoint,
	&roomLight,
	&surroundGrey,
	&calibrationAge,
	&screenContrast,
}

// Catalogue describes all conditions, in the order in which they are reported.
func Catalogue() []Description {
	all := make([]Description, len(catalogue))
	for i, k := range catalogue {
		all[i] = k.describe()
	}
	return all
}

// Describe describes the condition of that name. known is false for one that only
// a later version has, which a journal can hold.
func Describe(name string) (d Description, known bool) {
	k, known := kindOf(name)
	return k.describe(), known
}

// CauseTitle is the name of a cause as it stands on a drawing.
func CauseTitle(name string) string {
	for _, d := range departures {
		if d.name == name && d.title != "" {
			return d.title
		}
	}
	return name
}

func (k *kind) describe() Description {
	d := Description{Name: k.name, Short: k.short, Unit: k.unit, Scale: k.scale, IsAge: k.isAge}
	for _, way := range k.departures {
		if way.apply != nil {
			d.Causes = append(d.Causes, way.name)
		}
	}
	return d
}

// kindOf is the kind of a condition; of one that this version doesn't know, it is
// one of which nothing but the name is known.
func kindOf(name string) (k *kind, known bool) {
	for _, k := range catalogue {
		if k.name == name {
			return k, true
		}
	}
	return &kind{name: name}, false
}

// conditionOf is the condition behind a cause: glare is the room's light.
func conditionOf(cause string) string {
	for _, k := range catalogue {
		for _, d := range k.departures {
			if d.name == cause {
				return k.name
			}
		}
	}
	return cause
}

// departures are all ways in which the desk can depart from its targets: the
// players of the game that shares out the shift.
var departures = func() (all []departure) {
	for _, k := range catalogue {
		all = append(all, k.departures...)
	}
	return all
}()
