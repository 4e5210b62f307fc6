package power

import (
	"fmt"
	"math"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// plugAmps is the rated current of the usual 3-pin lead plug with 22 AWG wire
// (JST SM, from memory); with thinner wire it is less. A metre of strip with 60
// pixels in white takes more: 3.6 A by its nominal figures.
const plugAmps = 3.0

// A JointReport is the load of the joint before a run, with constant current.
type JointReport struct {
	Run  int     // the joint is between this run and the one before
	Amps float64 // in the conductor that carries more, whichever way it flows
	Drop float64 // volts lost from pixel to pixel, both conductors
	Lead Verdict // of the lead wire against the current; not checked without a lead
}

// joints sets the load of each joint; joints to runs without supply are left out. Where plus
// stays apart the ground carries current alone, when the feeds of one side have less copper.
func (r *Report) joints(p *prop.Prop, n *Network) {
	for i := 1; i < len(p.Runs); i++ {
		link := r.starts[i] - 1
		c := r.Constant
		if c.Plus[link] == 0 || c.Plus[link+1] == 0 {
			continue
		}
		plus, minus := c.Plus[link]-c.Plus[link+1], c.Minus[link+1]-c.Minus[link]
		if p.Runs[i].Apart {
			plus = 0
		}
		j := JointReport{Run: i, Drop: math.Abs(plus + minus),
			Amps: linkAmps(n, c, link)}
		if w := leadWire(p); p.Runs[i-1].LeadOut+p.Runs[i].LeadIn > 0 {
			j.Lead = leadLimits(w).carries(j.Amps)
		}
		r.Joints = append(r.Joints, j)
	}
}

// addJointFindings reports joints that carry too much: for their lead, for a usual plug,
// and for their lead in a closed prop. Of each kind it names the one that carries most.
func (r *Report) addJointFindings(p *prop.Prop) {
	w := leadWire(p)
	if j, between, others := r.worstJoint(p, func(j JointReport) bool { return j.Lead == Bad }); j != nil {
		r.addFinding("%s pass between %s. That is more than the lead of %s should carry even in free air%s: power off, then bring in a feed there, or use a thicker lead.", words.Amps(j.Amps), between, WireName(w), others)
	}
	if j, between, others := r.worstJoint(p, func(j JointReport) bool { return j.Lead != Bad && j.Amps > plugAmps }); j != nil {
		r.addFinding("%s pass between %s%s: a usual 3-pin lead plug carries some %s: power off, then solder that joint, or bring in a feed there.", words.Amps(j.Amps), between, others, words.Given(plugAmps, "A"))
	}
	if j, between, others := r.worstJoint(p, func(j JointReport) bool { return j.Lead == Doubtful && j.Amps <= plugAmps }); j != nil {
		r.addFinding("%s pass between %s%s. The lead of %s is good for that in free air only (%s). In a closed prop power off, then use a thicker lead or one more feed.",
			words.Amps(j.Amps), between, others, WireName(w), leadLimits(w).wireText())
	}
}

// worstJoint is the joint that carries most of those that are meant, nil when there is
// none; the runs that it lies between, and the number of the others in words.
func (r *Report) worstJoint(p *prop.Prop, meant func(JointReport) bool) (worst *JointReport, between, others string) {
	n := 0
	for i, j := range r.Joints {
		if !meant(j) {
			continue
		}
		if n++; worst == nil || j.Amps > worst.Amps {
			worst = &r.Joints[i]
		}
	}
	if worst == nil {
		return nil, "", ""
	}
	if n > 1 {
		others = fmt.Sprintf(" (%d more such)", n-1)
	}
	between = p.QuotedRun(worst.Run-1) + " and " + p.QuotedRun(worst.Run)
	if p.Runs[worst.Run].Apart {
		between += " in the ground wire alone"
	}
	return worst, between, others
}
