package plan

import (
	"fmt"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/words"
	"example.org/ringout/tui/screen"
)

// FarView is what the plan comes to: what is wrong with it, or that it holds.
func (m Model) FarView() screen.FarView {
	switch {
	case m.failed != "":
		return screen.FarView{Texts: []string{"Not a prop yet", "See the page"}}
	case m.plan == nil:
		return screen.FarView{Texts: []string{"Working it out", "Wait"}}
	}
	r := m.plan.Power
	level := words.Percent(m.level)
	switch {
	case r.Constant.Dead > 0:
		return screen.FarView{Texts: []string{fmt.Sprintf("No supply from %d", r.Constant.DeadAt+1), "No supply"}}
	case r.Supply.Load == power.Bad:
		return screen.FarView{Texts: []string{fmt.Sprintf("%s of %s", r.AmpsText(), words.Amps(r.Supply.Limit)), "Too many amps"}}
	case !r.Holds:
		return screen.FarView{Texts: []string{fmt.Sprintf("%s at pixel %d", words.Volts(r.Constant.Lowest), r.Constant.At+1), words.Volts(r.Constant.Lowest)}}
	}
	for _, f := range r.Feeds {
		if f.Check.Verdict == power.Bad { // a fuse that is missing, or a wire too thin
			word := words.Capital(f.Check.Word())
			return screen.FarView{Texts: []string{fmt.Sprintf("%s at pixel %d", word, f.Pixel+1), word}}
		}
	}
	return screen.FarView{Texts: []string{fmt.Sprintf("Holds at %s, %s", level, words.Count(m.plan.Prop.Pixels(), "pixel")), "Holds at " + level, "Holds"}}
}
