package record

import (
	"fmt"
	"math"

	"example.org/ringout/internal/checkout/pictures"
	"example.org/ringout/internal/eyes"
)

// A Camera is how a prop was proved by pictures, with pixels as places of the
// plan.
type Camera struct {
	Source  string  `json:"source,omitempty"` // film, stream, device or folder, as it was named
	Level   float64 `json:"level,omitempty"`  // 0 to 1
	Places  int     `json:"places"`
	Right   int     `json:"right"` // as planned
	Wrong   int     `json:"wrong"` // read, and not as planned: other data, lost colour, dark, lit in black
	Unread  int     `json:"unread"`
	Spacing float64 `json:"spacing_px"`
}

// FromPictures makes the entry of a proof by pictures. It passes only where
// every place was read and is as planned.
func FromPictures(p *pictures.Proof) Entry {
	e := FromCheckout(p.Prop, p.Session.Asked(), p.Findings, false)
	e.Steps = nil // the pictures answered, nobody was asked
	cam := &Camera{Places: len(p.Result.Places), Unread: p.Unread(), Level: p.Scene.Level,
		Spacing: math.Round(10*p.Result.Measures.Spacing) / 10}
	cam.Right = p.Counts[eyes.Right] + p.Counts[eyes.Nothing]
	cam.Wrong = cam.Places - cam.Right - cam.Unread
	e.Camera = cam
	switch {
	case p.Good():
		e.Verdict = Pass
	case cam.Wrong > 0:
		e.Verdict = Fail
	default:
		e.Verdict = Stopped
	}
	if cam.Wrong > 0 && e.Findings != nil && e.Findings[0].Kind == "good" {
		e.Findings = nil // the table speaks against it
	}
	for _, t := range p.Built {
		if t.Verdict != eyes.Right && t.Verdict != eyes.Nothing {
			e.Built = append(e.Built, p.Scene.Text(t))
		}
	}
	if cam.Wrong > 0 && len(e.Findings) == 0 {
		e.Findings = []Finding{{Kind: "as built", Text: fmt.Sprintf("Not built as planned: %s.", p.Summary())}}
	}
	return e
}
