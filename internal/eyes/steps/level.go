package steps

import (
	"fmt"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/words"
)

// Unseen continues from the aim to the level for a prop that shows no light. If the search
// finds light, the marks come next.
func (p Proof) Unseen() Proof {
	if p.Step == Aim {
		p.Step, p.Levels, p.saw, p.Text = Level, 0, false, "Looking for any light of the prop. Hold still."
	}
	return p
}

// Levelled uses the measures of one look: the search continues dimmer while too many spots
// are clipped, brighter while the signal is too near the noise, and ends after mostLevels
// looks.
func (p Proof) Levelled(m eyes.Measures) Proof {
	p.Levels++
	m.Still = 1
	p.Measures = m
	said := fmt.Sprintf("Level %s: %.0f times the noise, %s of the spots too bright.", words.WholePercent(p.Level), m.Signal, words.WholePercent(m.Blown))
	if m.Dim() {
		return p.dimly(said)
	}
	p.saw = true
	limit := m.Limits()
	switch {
	case p.Next() >= 0:
		return p.toMarks()
	case limit == nil:
		p.Text = said
		return p.toRun()
	case p.Levels >= mostLevels:
		return p.Stop(limit)
	case limit.Kind == eyes.TooBright:
		p.Level /= levelFactor
	default:
		return p.Stop(limit)
	}
	p.Text = fmt.Sprintf("%s Trying %s.", said, words.WholePercent(p.Level))
	return p
}

// dimly continues at a higher level after a look with too little light or none. If the last
// level has none either, the sequence runs all the same, to prove a dark prop.
func (p Proof) dimly(said string) Proof {
	limit := p.Measures.Limits()
	if 2*p.Measures.Signal < eyes.LeastSignal {
		p.Sight.Spots = nil // noise
		said = fmt.Sprintf("Level %s: no light is seen.", words.WholePercent(p.Level))
	}
	switch {
	case p.Level < 1 && p.Levels < mostLevels:
		p.Level = min(1, levelFactor*p.Level)
		p.Text = fmt.Sprintf("%s Trying %s.", said, words.WholePercent(p.Level))
		return p
	case p.saw:
		return p.Stop(limit)
	}
	p = p.toRun()
	p.Unlit, p.Text = true, said+" The sequence runs, to make sure. Hold still."
	return p
}
