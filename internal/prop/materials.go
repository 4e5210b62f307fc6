package prop

import "fmt"

// A Joint connects the data of one run to the next. The first is the lead from the
// controller to the first run.
type Joint struct {
	From, To    int     // runs; From is -1 for the controller
	LastPixel   int     // pixel before the joint, from 0; -1 for the controller
	FirstPixel  int     // pixel after it
	Lead        float64 // metres of wire between the two
	Conductors  int     // wires in the lead: supply, ground, data; and clock where the chip has one
	SupplyApart bool    // the supply wire is left out, so one wire less; ground is always there
}

// Name is the joint in words.
func (j Joint) Name(p *Prop) string {
	if j.From < 0 {
		return fmt.Sprintf("controller to %s", p.Runs[j.To].Name)
	}
	return fmt.Sprintf("%s to %s", p.Runs[j.From].Name, p.Runs[j.To].Name)
}

// Clocked reports whether the chip has a clock wire beside data.
func Clocked(c Chip) bool {
	k, _ := KnownByName(c.Name)
	return k.Data.Clocked
}

// Joints are all joints of a prop in wiring order.
func Joints(p *Prop) []Joint {
	wires := 3
	if Clocked(p.Chip) {
		wires = 4
	}
	var out []Joint
	starts := p.Starts()
	for i, r := range p.Runs {
		first := starts[i]
		j := Joint{From: i - 1, To: i, LastPixel: first - 1, FirstPixel: first, Lead: r.LeadIn, Conductors: wires}
		if i > 0 {
			j.Lead += p.Runs[i-1].LeadOut
			j.SupplyApart = r.Apart
		} else {
			j.SupplyApart = len(p.Feeds) > 0 // the feeds bring the supply
		}
		if j.SupplyApart {
			j.Conductors--
		}
		out = append(out, j)
	}
	return out
}

// Heat-shrink, in metres: a sleeve for each solder pad and one over the end of the
// strip (common practice).
const padSleeve, endSleeve = 0.02, 0.06

// A Stretch is the total length of one kind of wire, all conductors added up.
type Stretch struct {
	Wire   Wire
	Metres float64
	For    string
}

// Materials are what the joints and feeds of a prop use up. Add a reserve: what is
// stripped off or cut wrong is not counted.
type Materials struct {
	Wires      []Stretch
	PadSleeves float64 // metres of thin heat-shrink
	EndSleeves float64 // metres of wide heat-shrink
	SolderPads int
}

// MaterialsFor adds up leads, feeds and heat-shrink.
func MaterialsFor(p *Prop) Materials {
	var m Materials
	lead := Stretch{Wire: p.LeadWire, For: "leads"}
	if lead.Wire == (Wire{}) {
		lead.Wire = DefaultLeadWire
	}
	ends := 0
	for _, j := range Joints(p) {
		if p.Bulb() {
			break // a bulb has no pads
		}
		lead.Metres += j.Lead * float64(j.Conductors)
		n := 1
		if j.From >= 0 {
			n = 2
		}
		ends += n
		m.SolderPads += n * j.Conductors
	}
	if lead.Metres > 0 {
		m.Wires = append(m.Wires, lead)
	}
	for _, f := range p.Feeds {
		m.addFeed(f)
		m.SolderPads += 2
		ends++
	}
	m.PadSleeves = float64(m.SolderPads) * padSleeve
	m.EndSleeves = float64(ends) * endSleeve
	return m
}

// addFeed adds a feed's two conductors, supply and return.
func (m *Materials) addFeed(f Feed) {
	for i := range m.Wires {
		if m.Wires[i].Wire == f.Wire && m.Wires[i].For == "feeds" {
			m.Wires[i].Metres += 2 * f.WireMetre
			return
		}
	}
	m.Wires = append(m.Wires, Stretch{f.Wire, 2 * f.WireMetre, "feeds"})
}
