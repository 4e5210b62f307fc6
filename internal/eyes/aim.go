package eyes

// Aim is what a camera sees of the prop before the sequence runs: where the
// spots are, and how well they can be told apart. black and lit are pictures
// of the black look and of another.
func Aim(s *Scene, black, lit Picture, look Look) ([]Point, Measures, error) {
	two := *s
	two.Looks = []Look{{Kind: Black}, look}
	looks := []Picture{black, lit}
	if err := check(&two, looks); err != nil {
		return nil, Measures{}, err
	}
	d := &decoder{scene: &two, looks: looks, finder: newFinder(&two, looks)}
	d.peaks = d.finder.whereLit(d.finder.settled(newBench(d.finder.crop), aimWithin))
	if from := thumbOf(black, cellWide); len(d.peaks) == 0 || !thumbOf(lit, cellWide).changed(from) {
		return nil, Measures{}, nil // or only noise
	}
	samples := d.sample()
	d.measure(samples)
	m := d.result.Measures
	m.Spacing = d.finder.spacing
	out := make([]Point, len(d.peaks))
	for i, p := range d.peaks {
		out[i] = p.at
	}
	return out, m, nil
}

// aimWithin is how near the spacing must be to what is seen, without marks that
// say it.
const aimWithin = 0.05

// Limits is the first limit that keeps the sequence from being read, nil when
// the camera sees well enough.
func (m Measures) Limits() *Refusal { return m.refusal() }
