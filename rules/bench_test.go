package rules

import "testing"

// large is a picture with as many tones and colours as a file gives.
func large() Picture { return coloured(graded(42, 22, 200), 200) }

// offTarget is a desk at which everything departs from its target, so that
// nothing is cut short.
func offTarget() *Profile {
	return tidemark(white(180), whitePointOf(6500), lux(120), around(0.05), measured(40), notHeld)
}

func BenchmarkPredict(b *testing.B) {
	p, pic := offTarget(), large()
	c := Resolve(p, noon)
	b.ReportAllocs()
	for b.Loop() {
		Predict(&c, p.Papers[0], p.Viewings[0], &pic)
	}
}

// BenchmarkEvaluate is the whole line: conditions, prediction, 256 samples,
// causes and remedy.
func BenchmarkEvaluate(b *testing.B) {
	p, e := offTarget(), exportOf(large())
	b.ReportAllocs()
	for b.Loop() {
		Evaluate(p, e, noon)
	}
}

func BenchmarkCauses(b *testing.B) {
	pic := large()
	c := Resolve(offTarget(), noon)
	b.ReportAllocs()
	for b.Loop() {
		causes(&c, &pic)
	}
}

// BenchmarkSample is one of the 256: it must not allocate.
func BenchmarkSample(b *testing.B) {
	pic := large()
	c := Resolve(offTarget(), noon)
	s, z := newSampler(&c, &pic), deviates().RawRowView(7)
	b.ReportAllocs()
	for b.Loop() {
		s.effect(z)
	}
}
