package rules

import (
	"math"
	"slices"
	"strings"
)

// remedies are all that could be done about what the verdict finds wrong, or about the
// print where it hangs, each with what it leaves: at the desk by options, best first,
// then the file itself, then the light on the print.
func remedies(r *Report, f *fault, options []option, at hung) []Remedy {
	all := []Remedy{}
	for _, o := range options {
		all = append(all, f.setting(o, nil))
	}
	if f != nil && f.raisable && f.offersRaise() {
		all = append(all, f.raise(f.up))
	}
	if m, ok := at.light(r); ok {
		all = append(all, m)
	}
	return all
}

// faultOfReport is what there is to put right: what the verdict says, or what an unsure
// one leans to. Where a print holds only because this person's prints always come out
// so, it is that.
func faultOfReport(c *Conditions, r *Report, q Quiet) *fault {
	v := r.Verdict
	switch {
	case v == Unsure:
		v = r.Prediction.Targets.Spread.leaning()
	case v == Holds && math.Abs(c.how.bias) >= leastBias && size(r.Whole()) >= float64(q.Noticeable):
		v = Darker
		if r.Whole() < 0 {
			v = Lighter
		}
	}
	f := faultOf(c, v, &r.Picture, q)
	if f != nil && f.kind != faultOfLoss && r.Verdict != Unsure && c.far == "" {
		f.raisable, f.up = true, f.solveRaise()
	}
	return f
}

// atDesk are the options at the desk: none where it holds, or where nobody can tell and
// everything is in its target.
func (f *fault) atDesk(r *Report) []option {
	if f == nil || r.Verdict == Holds {
		return nil
	}
	if out, _ := f.knobs(); r.Verdict == Unsure && len(out) == 0 {
		return nil
	}
	return f.options()
}

// advise is the one thing to do now: the best of what contains the condition that the
// verdict is mostly due to, else the best of all, and then that is what the notice names;
// for a verdict that hangs on a measurement the measurement. Nil where there is nothing.
func (r *Report) advise(c *Conditions, f *fault, options []option) {
	switch {
	case r.Verdict == Holds:
		return
	case r.Verdict == Unsure && r.Unsettled != "":
		r.Remedy = settle(c, r)
		return
	}
	about := func(name string) int {
		return slices.IndexFunc(options, func(o option) bool { return o.contains(name) })
	}
	best := about(r.Main)
	if i := about(c.far); i >= 0 { // whatever is done, nothing can be judged before that is
		best, r.Main = i, c.far
	}
	switch up := r.offered(RaiseFile); {
	case len(options) > 0:
		best = max(best, 0)
		if !options[best].contains(r.Main) {
			r.Main = options[best].changes[0].kind.name
		}
		m := f.setting(options[best], r.afterwards(f))
		r.Remedy = &m
	case r.Verdict == Unsure:
		r.Main = ""
		r.Remedy = reportPrints()
	case up.Value.Known():
		r.Remedy = &up
	default:
		r.Remedy = settle(c, r)
	}
}

// contains tells whether an option sets the condition of that name.
func (o option) contains(name string) bool {
	return slices.ContainsFunc(o.changes, func(ch change) bool { return ch.kind.name == name })
}

// afterwards is what to do with this file, once the desk is put right or instead.
func (r *Report) afterwards(f *fault) []string {
	m := r.offered(RaiseFile)
	switch {
	case r.Verdict == Unsure && r.Prediction.Targets.Spread.ownDoubt():
		return []string{lookAgainText, printsTellText}
	case r.Verdict == Unsure:
		return []string{lookAgainText}
	case m.Value.Known():
		return []string{raiseFileText(float64(m.Value))}
	case f.c.far != "" || f.raisable && !f.up.reached:
		return []string{judgeAgainText}
	}
	return nil
}

// offered is the remedy of that name among all.
func (r *Report) offered(name string) Remedy {
	for _, m := range r.Remedies {
		if m.Name == name {
			return m
		}
	}
	return Remedy{Name: name, Value: Unknown, Left: Unknown, Shadows: Unknown}
}

// setting is an option as a remedy; afterwards is what else to do.
func (f *fault) setting(o option, afterwards []string) Remedy {
	m := Remedy{Value: Unknown, Left: Figure(o.whole), Shadows: Figure(o.shadows)}
	var names []string
	for _, ch := range o.changes {
		names = append(names, ch.kind.name)
		m.Values, m.Units = append(m.Values, Figure(ch.value)), append(m.Units, ch.kind.unit.Symbol)
		m.Caution = m.Caution || ch.kind.set.lamp
	}
	switch m.Name = strings.Join(names, " and "); len(names) {
	case 1:
		m.Value, m.Unit = m.Values[0], m.Units[0]
	case 2:
	default:
		m.Name = Everything
	}
	return m.saying(f.settingSteps(o, afterwards)...)
}

// raise is to raise this file, or to lower it.
func (f *fault) raise(up advisedRaise) Remedy {
	m := single(RaiseFile, up.stops, "stop")
	m.Left, m.Shadows = Figure(up.whole), Figure(up.shadows)
	return m.saying(curveText(f.pic, up.stops), f.shiftLeftText(up.whole, up.shadows))
}

// single is a remedy with one value, of which nobody can say what it leaves.
func single(name string, value float64, unit string) Remedy {
	return Remedy{
		Name: name, Value: Figure(value), Unit: unit, Left: Unknown, Shadows: Unknown,
		Values: []Figure{Figure(value)}, Units: []string{unit},
	}
}

// reportPrints is what would tell more, where the doubt is the model's own.
func reportPrints() *Remedy {
	m := Remedy{Name: ReportPrints, Value: Unknown, Left: Unknown, Shadows: Unknown, Values: []Figure{}, Units: []string{}}
	m = m.saying(printsTellText)
	return &m
}

// settle is the remedy for not knowing: put right what is far out, or make the one
// measurement that would settle it.
func settle(c *Conditions, r *Report) *Remedy {
	k, _ := kindOf(r.Unsettled)
	if k.settle == nil {
		return nil
	}
	what := k.settle(c, r)
	m := single(what.Name, float64(what.Value), what.Unit).saying(what.Text)
	m.Caution = what.Caution
	return &m
}
