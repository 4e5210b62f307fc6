package outsider

import "slices"

// A Chip is one addressable pixel as built.
type Chip struct {
	Order   string // channels that it takes from the data, in order
	LEDs    int    // number of places that it lights, all in one colour
	Hidden  bool   // it is not visible
	Open    bool   // data reaches neither this chip nor later ones
	Stops   bool   // it is dark and passes no data on
	Dead    bool   // it is dark but passes data on
	NoPower bool   // this chip and later ones have no supply
	Loose   bool   // data reaches it only at times
	Lacks   byte   // channel that never lights
	Stuck   string // channels that are always at full
}

// A Run is a piece of strip: its chips in data order.
type Run struct {
	Chips     []Chip
	Backwards bool // data enters at the planned far end
	Beside    int  // index of a run whose data input it shares; -1 for none
}

// A Prop is a chain of runs as built.
type Prop struct {
	Controller
	Runs    []Run   // in planned order
	Wiring  []int   // indexes of the runs in data order
	NoData  bool    // no data reaches the first chip
	Sag     float64 // ohms of both supply rails from one place to the next
	Crackle bool    // noise on the data
	Partial bool    // a chip that gets some of its octets shows them; else it stays dark
}

// moment is the state of faults that vary with time.
type moment struct {
	open    bool                // loose joints are open
	crackle func() (int, Light) // returns a place in data order and the light that flashes there
}

// show returns the light of the prop for the octets of its slots.
func (p *Prop) show(slots []byte, now moment) Scene {
	data := p.received(slots)
	inputs := make([][]byte, len(p.Runs))
	out := make(Scene, len(p.Runs))
	powered := true
	for _, at := range p.Wiring {
		run := p.Runs[at]
		if run.Beside >= 0 {
			data = inputs[run.Beside]
		}
		inputs[at] = data
		out[at], data, powered = run.show(data, powered, p.Partial, now)
	}
	if p.Sag > 0 {
		p.sag(out)
	}
	if now.crackle != nil {
		p.flash(out, now)
	}
	for i, run := range p.Runs {
		if run.Backwards {
			slices.Reverse(out[i])
		}
	}
	return out
}

// received returns the octets on the data line at the first chip.
func (p *Prop) received(slots []byte) []byte {
	if p.NoData {
		return nil
	}
	return p.read(p.Patch.Lay(slots), len(slots))
}

// show returns the light of a run's places, the data that it passes on, and
// whether the supply continues.
func (r Run) show(data []byte, powered, partial bool, now moment) (places []Light, rest []byte, on bool) {
	for _, c := range r.Chips {
		powered = powered && !c.NoPower
		if c.Open || !powered || c.Loose && now.open {
			data = nil
		}
		var light Light
		light, data = c.take(data, partial)
		if !c.Hidden {
			places = append(places, slices.Repeat([]Light{c.flawed(light, powered)}, c.LEDs)...)
		}
	}
	return places, data, powered
}

// take returns the light of a chip for the data, and the data that it passes on.
func (c Chip) take(data []byte, partial bool) (Light, []byte) {
	n := len(c.Order)
	if c.Stops || len(data) < n && !partial {
		return Light{}, nil
	}
	var l Light
	for i := range min(n, len(data)) {
		*l.channel(c.Order[i]) = data[i]
	}
	return l, data[min(n, len(data)):]
}

// flawed applies the faults of a chip to the light it should give.
func (c Chip) flawed(l Light, powered bool) Light {
	if !powered || c.Dead {
		return Light{}
	}
	for i := range c.Stuck {
		*l.channel(c.Stuck[i]) = 255
	}
	if c.Lacks != 0 {
		*l.channel(c.Lacks) = 0
	}
	return l
}

// flash puts noise on one place.
func (p *Prop) flash(s Scene, now moment) {
	at, l := now.crackle()
	for _, run := range p.Wiring {
		if at < len(s[run]) {
			s[run][at] = l
			return
		}
		at -= len(s[run])
	}
}
