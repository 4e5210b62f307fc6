package bulb

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
	"example.org/ringout/patterns/flash"
)

// orders are all orders of the letters.
func orders(letters string) (out []prop.Order) {
	if len(letters) == 1 {
		return []prop.Order{prop.Order(letters)}
	}
	for i := range letters {
		for _, rest := range orders(letters[:i] + letters[i+1:]) {
			out = append(out, prop.Order(letters[i:i+1])+rest)
		}
	}
	return out
}

func lamp(order prop.Order) *prop.Prop {
	p := prop.BuoyLamp()
	p.Chip.Order = order
	return p
}

// see is what a person says of one lit slot of a bulb that really has an
// order.
func see(t *testing.T, s *strip.Strip, p Probe) Sight {
	t.Helper()
	c := s.Shine(p.Show(nil, 1, time.Second))[0][0]
	words := map[patterns.Channel]Sight{patterns.Red: Red, patterns.Green: Green, patterns.Blue: Blue, patterns.White: Warm, patterns.Cool: Cool}
	saw := Nothing
	for ch, word := range words {
		if c.Get(ch) > 0 {
			if saw != Nothing {
				return Other
			}
			saw = word
		}
	}
	return saw
}

func run(t *testing.T, s *Session, answer func(Probe) Sight) (asked int) {
	t.Helper()
	for {
		p, more := s.Next()
		if !more {
			return asked
		}
		asked++
		require.Less(t, asked, 25, "the check does not end")
		require.NoError(t, s.Answer(answer(p)))
	}
}

// good answers the steps after the slots as a good bulb would have them.
func good(p Probe) Sight {
	return map[Step]Sight{Black: FullyDark, Fade: Smooth, Ended: StaysDark, Unplugged: Holds}[p.Step]
}

func TestEveryOrderIsFound(t *testing.T) {
	for _, letters := range []string{"RGBW", "RGBWC"} {
		for _, real := range orders(letters) {
			plan := lamp(prop.Order(letters))
			built, err := strip.New(plan, strip.Fault{Kind: strip.WrongOrder, Order: real})
			if real == plan.Chip.Order {
				built, err = strip.New(plan)
			}
			require.NoError(t, err)
			s, err := New(plan)
			require.NoError(t, err)
			asked := run(t, s, func(p Probe) Sight {
				if p.Step == SlotAlone {
					return see(t, built, p)
				}
				return good(p)
			})
			r := s.Result(plan.Chip.Order)
			assert.Equal(t, real, r.Order)
			assert.Equal(t, real == plan.Chip.Order, r.Good, "%v", r.Lines)
			assert.Equal(t, len(letters)+4, asked)
		}
	}
}

func TestAWrongAnswerIsAskedAgain(t *testing.T) {
	plan := lamp("RGBW")
	built, err := strip.New(plan)
	require.NoError(t, err)
	s, err := New(plan)
	require.NoError(t, err)
	slips := 0
	run(t, s, func(p Probe) Sight {
		if p.Step != SlotAlone {
			return good(p)
		}
		if p.Slot == 1 && slips == 0 {
			slips++
			return Red // it is green
		}
		return see(t, built, p)
	})
	assert.True(t, s.Result("RGBW").Good, "%v", s.Result("RGBW").Lines)
}

func TestFindings(t *testing.T) {
	for _, row := range []struct {
		name   string
		answer func(Probe) Sight
		want   string
	}{
		{"three slots", func(p Probe) Sight {
			if p.Step == SlotAlone {
				return []Sight{Red, Green, Blue, Nothing}[p.Slot]
			}
			if p.Step == Master {
				return Red
			}
			return good(p)
		}, "Slot 4 drives nothing"},
		{"master level", func(p Probe) Sight {
			switch p.Step {
			case SlotAlone:
				return Nothing
			case Master:
				return Red
			}
			return good(p)
		}, "Slot 1 lights nothing alone, but lets the others light"},
		{"dead", func(p Probe) Sight {
			if p.Step == SlotAlone || p.Step == Master {
				return Nothing
			}
			return good(p)
		}, "No slot lights anything: check supply, host, universe and first slot."},
		{"no glow", func(p Probe) Sight {
			switch p.Step {
			case SlotAlone:
				return []Sight{Red, Green, Blue, Warm}[p.Slot]
			case Black:
				return Glows
			case Ended:
				return OwnLook
			case Fade:
				return Steps
			}
			return good(p)
		}, "It lights up by itself when the stream ends"},
		{"several", func(p Probe) Sight { return slotThree(p, Other) }, "What slot 3 drives is not clear."},
		{"unsure", func(p Probe) Sight { return slotThree(p, NotSure) }, "Not certain: what slot 3 drives."},
	} {
		t.Run(row.name, func(t *testing.T) {
			s, err := New(lamp("RGBW"))
			require.NoError(t, err)
			run(t, s, row.answer)
			r := s.Result("RGBW")
			assert.False(t, r.Good)
			assert.Equal(t, row.name == "unsure", r.Unseen, "not sure is no fault")
			text := ""
			for _, l := range r.Lines {
				text += l + "\n"
			}
			assert.Contains(t, text, row.want)
		})
	}
}

// slotThree answers as a good bulb would have it, but for slot 3.
func slotThree(p Probe, saw Sight) Sight {
	if p.Step == SlotAlone {
		return []Sight{Red, Green, saw, Warm}[p.Slot]
	}
	return good(p)
}

// A bulb whose slots are as planned is not good while another look that is needed is wrong, not
// certain or not taken; what it does without a stream may be left out.
func TestSlotsAloneSignNoBulbOff(t *testing.T) {
	for _, row := range []struct {
		step         Step
		saw          Sight
		good, unseen bool
		want         string
	}{
		{Black, Differs, false, false, "With every slot at 0 it is not dark"},
		{Black, NotSure, false, true, "Not certain: whether it is dark"},
		{Fade, Nothing, false, false, "It shows nothing in a fade"},
		{Fade, NotSure, false, true, "Not certain: how it fades"},
		{Ended, Differs, false, false, "It does not stay dark when the stream ends"},
		{Ended, Skipped, true, false, "Not tried"},
		{Unplugged, Skipped, true, false, "Not tried"},
	} {
		s, err := New(lamp("RGBW"))
		require.NoError(t, err)
		run(t, s, func(p Probe) Sight {
			if p.Step != Ended && p.Step != Unplugged {
				assert.False(t, s.Result("RGBW").Good, "before %s", p.Step)
			}
			switch p.Step {
			case row.step:
				return row.saw
			case SlotAlone:
				return []Sight{Red, Green, Blue, Warm}[p.Slot]
			}
			return good(p)
		})
		r := s.Result("RGBW")
		assert.Equal(t, row.good, r.Good, "%s %s", row.step, row.saw)
		assert.Equal(t, row.unseen, r.Unseen, "%s %s", row.step, row.saw)
		assert.Contains(t, strings.Join(r.Lines, "\n"), row.want)
		if !r.Good && !r.Unseen {
			require.Len(t, r.Wrong, 1)
			assert.Contains(t, r.Wrong[0], row.want)
		}
	}
}

func TestRefusals(t *testing.T) {
	_, err := New(prop.Porthole())
	require.ErrorContains(t, err, "has 144 pixels")
	_, err = New(lamp("RGB"))
	require.ErrorContains(t, err, "has 3 slots")
	s, err := New(lamp("RGBW"))
	require.NoError(t, err)
	require.ErrorContains(t, s.Answer("plaid"), `"plaid" is not among the answers`)
	assert.False(t, s.Undo())
	require.NoError(t, s.Answer(Red))
	assert.True(t, s.Undo())
	p, _ := s.Next()
	assert.Zero(t, p.Slot)
}

// The fade is slow: by WCAG 2.3.1 it never flashes.
func TestFadeDoesNotFlash(t *testing.T) {
	s, err := New(lamp("RGBWC"))
	require.NoError(t, err)
	p := s.fadeProbe()
	m := flash.NewMeter(1, flash.Changes)
	for at := time.Duration(0); at < 30*time.Second; at += 23 * time.Millisecond {
		assert.False(t, m.Add(p.Show(nil, 1, at), at).TooFast(), "after %v", at)
	}
}
