package rules

// The viewing conditions of ISO 3664, by name. Their illuminances and the
// illuminant are the standard's (2000 lx, 500 lx and D50; read in secondary
// sources); a neutral surround of 20 % is how ICC's reference medium reads P2.
// The tolerances of the standard play no part here.
const (
	PrintCritical  = "ISO 3664 P1" // for critical comparison
	PrintPractical = "ISO 3664 P2" // for practical appraisal
)

// d50 is the correlated colour temperature of D50, 5000 K on today's scale of
// temperature (nominal 5000 K times 1.4388/1.4380).
const d50 = Kelvin(5002.8)

// StandardViewings are the names that StandardViewing knows.
func StandardViewings() []string { return []string{PrintCritical, PrintPractical} }

// StandardViewing is the viewing condition of that name, which a folder can
// name without its being in the profile.
func StandardViewing(name string) (v Viewing, ok bool) {
	light := map[string]Lux{PrintCritical: 2000, PrintPractical: 500}[name]
	if light == 0 {
		return Viewing{}, false
	}
	return Viewing{
		Name:    name,
		Light:   Stated(light),
		Lamps:   Stated(d50),
		Mat:     Stated(GreyMat),
		Glazing: Stated(NoGlazing),
	}, true
}
