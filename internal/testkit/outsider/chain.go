package outsider

import "slices"

// A Chip is one addressable pixel as it is soldered in.
type Chip struct {
	Order   string // the channels that it takes from the data, in their order
	LEDs    int    // places that it lights, all alike
	Hidden  bool   // no one sees it
	Open    bool   // the data does not reach it, nor what comes after it
	Stops   bool   // it is dark and passes nothing on
	Dead    bool   // it is dark and passes the data on
	NoPower bool   // it and what comes after it have no supply
	Loose   bool   // the data does not reach it at times
	Lacks   byte   // a colour that it never lights
	Stuck   string // colours that it lights at full whatever it gets
}

// A Run is a piece of strip: its chips in the order of the data.
type Run struct {
	Chips     []Chip
	Backwards bool // data enters at the end where the plan has it leave
	Beside    int  // the run, from 0, at whose data in it is soldered too; -1 for none
}

// A Prop is a chain of runs as it was built.
type Prop struct {
	Controller
	Runs    []Run   // in the order of the plan
	Wiring  []int   // the runs in the order that the data reaches them
	NoData  bool    // nothing reaches the first chip
	Sag     float64 // ohms of the supply rails from one place to the next
	Crackle bool    // noise on the data
	Partial bool    // a chip that gets a part of its octets lights them; else it stays dark
}

// moment is what is different for the time being.
type moment struct {
	open    bool                // loose joints are open
	crackle func() (int, Light) // a place along the data and what flashes there
}

// show is the light that the prop makes of the octets of its slots.
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

// received is what the controller puts on the data line.
func (p *Prop) received(slots []byte) []byte {
	if p.NoData {
		return nil
	}
	return p.read(p.Patch.Lay(slots), len(slots))
}

// show lights a run's places, and returns what it passes on and whether the
// supply goes on.
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

// take is the light that a chip makes of its octets, and what it passes on.
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

// flawed is what a chip makes of the light it should give.
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

// flash puts noise over a place.
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
