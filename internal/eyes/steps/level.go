package steps

import (
	"fmt"

	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/words"
)

// Unseen leaves the aim for the level of a prop that shows no light. Where there is
// light after all, the marks come next.
func (p Proof) Unseen() Proof {
	if p.Step == Aim {
		p.Step, p.Levels, p.saw, p.Text = Level, 0, false, "Looking for any light of the prop. Hold still."
	}
	return p
}

// Levelled takes what one look at the level said: the search continues dimmer
// while too much is blown, brighter while it is too near the noise, and ends
// after three looks.
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

// dimly goes on brighter from a look of which too little light was seen, or none.
// Where none is seen at the last level either, the prop may be dark: the sequence
// runs all the same, for the pictures to say so.
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
