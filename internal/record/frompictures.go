package record

import (
	"fmt"
	"math"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/pictures"
	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/words"
)

// A Camera is the result of a proof by camera, with pixels as positions in the plan.
type Camera struct {
	Source  string  `json:"source,omitempty"` // film, stream, device or folder, as given
	Level   float64 `json:"level,omitempty"`  // 0 to 1
	Places  int     `json:"places"`
	Right   int     `json:"right"` // as planned
	Wrong   int     `json:"wrong"` // read, and not as planned: other data, lost colour, dark, lit in black
	Unread  int     `json:"unread"`
	Spacing float64 `json:"spacing_px"`

	Light []RunLight `json:"light,omitempty"` // along each run; none in older entries
}

// A RunLight is the relative light at the two ends of a run, as read and as expected
// from the planned supply; 1 is the median pixel of the prop.
type RunLight struct {
	Run     string     `json:"run"`
	Read    [2]float64 `json:"read"`
	Planned [2]float64 `json:"planned"`
	Sags    bool       `json:"sags,omitempty"` // clearly more than planned
}

// lightOf returns the light along the runs that have enough readings.
func lightOf(all []pictures.Along) []RunLight {
	round := func(v float64) float64 { return math.Round(100*v) / 100 }
	var out []RunLight
	for _, a := range all {
		first, last, pf, pl := a.Ends()
		if math.IsNaN(first) { // none was read
			continue
		}
		out = append(out, RunLight{a.Run, [2]float64{round(first), round(last)}, [2]float64{round(pf), round(pl)}, a.Sags()})
	}
	return out
}

// lines describe how much of the prop the camera read, and where light drops.
func (c *Camera) lines() []string {
	if c == nil {
		return nil
	}
	apart := fmt.Sprintf("%.0f camera pixels apart, ", c.Spacing)
	if c.Spacing == 0 { // nothing lit
		apart = ""
	}
	out := []string{fmt.Sprintf("by camera: %d of %d places as planned, %d not, %d unread (%slevel %s)",
		c.Right, c.Places, c.Wrong, c.Unread, apart, words.Percent(c.Level))}
	for _, l := range c.Light {
		if l.Sags {
			out = append(out, fmt.Sprintf("light along %s by camera: %.2f to %.2f, planned %.2f to %.2f", plain(l.Run), l.Read[0], l.Read[1], l.Planned[0], l.Planned[1]))
		}
	}
	return out
}

// FromPictures makes the entry of a proof by camera. It passes only if every pixel was
// read and is as planned, and the tests that a picture cannot replace were good.
func FromPictures(p *pictures.Proof) Entry {
	e := FromCheckout(p.Prop, p.Session.Asked(), p.Findings, false)
	e.Steps = nil // no questions were asked
	cam := &Camera{Source: p.Source, Places: len(p.Result.Places), Unread: p.Unread(), Level: p.Scene.Level,
		Spacing: math.Round(10*p.Result.Measures.Spacing) / 10}
	cam.Right = p.Counts[eyes.Right] + p.Counts[eyes.Nothing]
	cam.Wrong = p.Wrong()
	cam.Light = lightOf(p.Along)
	e.Camera, e.Notes = cam, p.Unlit()
	switch {
	case p.Good():
		e.Verdict = Pass
	case p.AllRight(): // a test is still missing
		e.Verdict = Stopped
	case cam.Wrong > 0 || cam.Unread == 0: // also a voltage drop or a finding that contradicts it
		e.Verdict = Fail
	default:
		e.Verdict = Stopped
	}
	if len(e.Findings) > 0 && p.Findings[0].Sure == checkout.Unsettled {
		e.Findings[0].Kind = notShown
	}
	for _, t := range p.Built {
		if t.Verdict != eyes.Right && t.Verdict != eyes.Nothing {
			e.Built = append(e.Built, p.Scene.Text(t))
		}
	}
	return e
}

// notShown is the kind of a finding about what pictures did not show.
const notShown = "as built"
