package eyes

// Aim finds the spots of the prop before the sequence runs, in camera pixels, and
// measures how well they can be told apart. black and lit are pictures of the
// black look and of look. It returns no spots when the two differ by no more than
// noise, and an error when the pictures do not belong together.
func Aim(s *Scene, black, lit Picture, look Look) ([]Point, Measures, error) {
	two := *s
	two.Looks = []Look{{Kind: Black}, look}
	looks := []Picture{black, lit}
	if err := check(&two, looks); err != nil {
		return nil, Measures{}, err
	}
	d := &decoder{scene: &two, looks: looks, finder: newFinder(&two, looks)}
	d.peaks = d.finder.toPicture(d.finder.settleSpacing(newWorkPlanes(d.finder.crop), aimWithin))
	if from := thumbOf(black, cellWide); len(d.peaks) == 0 || !thumbOf(lit, cellWide).changed(from) {
		return nil, Measures{}, nil // no light, or only noise
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

// aimWithin is the share by which the spacing may differ from the one seen, since
// there are no marks yet.
const aimWithin = 0.05

// Limits is the first limit that the measures break, nil when the sequence can be
// read.
func (m Measures) Limits() *Refusal { return m.refusal() }
