package rules

// codeRemedies puts beside the text of every remedy the case that it is of.
func (r *Report) codeRemedies() {
	for i := range r.Remedies {
		r.Remedies[i].Code = r.codeOf(r.Remedies[i])
	}
	if r.Remedy != nil {
		r.Remedy.Code = r.codeOf(*r.Remedy)
	}
}

// codeOf is the case that a remedy is of, by what it is about and which way it goes.
func (r *Report) codeOf(m Remedy) Code {
	switch m.Name {
	case RaiseFile:
		if m.Value < 0 {
			return RemedyLower
		}
		return RemedyRaise
	case ViewingLight:
		return RemedyLight
	case ReportPrints:
		return RemedyReport
	case Everything:
		return RemedyEverything
	case RoomLight:
		if m.Value > r.Condition(RoomLight).Value {
			return RemedyBrighten
		}
		return RemedyDim
	case Measure:
		return r.measureCode()
	}
	return RemedySet
}

// measureCode is which measurement is asked for.
func (r *Report) measureCode() Code {
	switch r.Unsettled {
	case RoomLight:
		return RemedyRead
	case SurroundGrey:
		return RemedyCheck
	default:
		return RemedyMeasure
	}
}
