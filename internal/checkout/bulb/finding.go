package bulb

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/prop"
)

// A Result is the result of the check of a bulb.
type Result struct {
	Order  prop.Order // as found; empty when the slots do not tell
	Known  bool       // the order was found
	Lines  []string   // what was found, one sentence each
	Wrong  []string   // those of Lines that say what is not as it should be
	Good   bool       // as planned, in every step that was tried
	Unseen bool       // no fault, but not every look that is needed has a certain answer
}

var letters = map[Sight]string{Red: "R", Green: "G", Blue: "B", Warm: "W", Cool: "C"}

// Result is the result of the answers so far.
func (s *Session) Result(planned prop.Order) Result {
	r := Result{Good: true}
	bad := func(format string, args ...any) {
		r.Good = false
		r.Wrong = append(r.Wrong, fmt.Sprintf(format, args...))
		r.Lines = append(r.Lines, r.Wrong[len(r.Wrong)-1])
	}
	s.slotLines(&r, planned, bad)
	for _, a := range s.said {
		if text, wrong := oddSights[sighting{a.step, a.saw}]; wrong {
			bad("%s", text)
		}
		switch a.saw {
		case Glows:
			bad("It glows when every slot is 0: another source may drive it, or it has a lowest level of its own.")
		case Steps:
			bad("It fades in steps: avoid slow fades at low level with it.")
		case Late:
			bad("It stays dark at the bottom of a fade: low levels do not show.")
		case Jumps:
			bad("It jumps or flickers in a fade: look for lost packets or a second source in the traffic.")
		case OwnLook:
			bad("It lights up by itself when the stream %s: switch that off in it, or keep the stream running.", when(a.step))
		case Holds:
			r.Lines = append(r.Lines, "It holds the last light when the network goes away.")
		case GoesDark:
			r.Lines = append(r.Lines, "It goes dark when the network goes away.")
		case FullyDark:
			r.Lines = append(r.Lines, "Black is fully dark.")
		case Smooth:
			r.Lines = append(r.Lines, "It fades smoothly at low level.")
		case Skipped:
			r.Lines = append(r.Lines, fmt.Sprintf("Not tried: what it does when the stream %s.", when(a.step)))
		case StaysDark:
			r.Lines = append(r.Lines, "It stays dark after the stream has ended.")
		}
	}
	s.uncertain(&r)
	r.Unseen = !r.Good && len(r.Wrong) == 0
	return r
}

// A sighting is an answer to a step.
type sighting struct {
	step Step
	saw  Sight
}

// oddSights are findings of sights that mean another thing in other steps.
var oddSights = map[sighting]string{
	{Black, Differs}: "With every slot at 0 it is not dark: another source may drive it, or its supply or its own program is at fault.",
	{Fade, Nothing}:  "It shows nothing in a fade up to 10 %: low levels do not show, or its light comes and goes; go back and look again.",
	{Ended, Differs}: "It does not stay dark when the stream ends: switch off what it shows then, or keep the stream running.",
}

// uncertain withholds Good from a bulb that was not seen dark and dim, and says what is left.
func (s *Session) uncertain(r *Result) {
	for _, look := range [...]struct {
		step Step
		what string
	}{{Black, "whether it is dark when every slot is 0"}, {Fade, "how it fades at low level"}} {
		if s.certain(look.step) {
			continue
		}
		r.Good = false
		if r.Known {
			r.Lines = append(r.Lines, "Not certain: "+look.what+".")
		}
	}
}

// certain reports whether a step was asked and its answer is not "not sure".
func (s *Session) certain(step Step) bool {
	return slices.ContainsFunc(s.said, func(a answer) bool { return a.step == step && a.saw != NotSure })
}

func when(s Step) string {
	if s == Unplugged {
		return "is lost"
	}
	return "ends"
}

// slotLines adds what each slot drives.
func (s *Session) slotLines(r *Result, planned prop.Order, bad func(string, ...any)) {
	var order strings.Builder
	for i := range s.order {
		seen, times := s.saw(i)
		l, ok := letters[seen]
		switch {
		case times == 0:
			r.Good = false
			return
		case ok && !strings.Contains(order.String(), l):
			order.WriteString(l)
			continue
		case ok:
			bad("Two slots look %s: the bulb may join them, or one answer is wrong; go back and look again.", seen)
		case seen == Nothing:
			s.nothing(i, bad)
		case seen == NotSure:
			r.Good = false
			r.Lines = append(r.Lines, fmt.Sprintf("Not certain: what slot %d drives.", i+1))
		default:
			bad("What slot %d drives is not clear.", i+1)
		}
		order.WriteString("?")
	}
	if strings.Contains(order.String(), "?") {
		return
	}
	found, err := prop.ParseOrder(order.String())
	if err != nil {
		bad("The slots drive %s, which lacks a colour: %v.", order.String(), err)
		return
	}
	r.Order, r.Known = found, true
	if found != planned {
		bad("The slots are %s, and the plan says %s: put %s into the prop file.", found, planned, found)
		return
	}
	r.Lines = append(r.Lines, fmt.Sprintf("The slots are %s, as planned.", found))
}

// nothing adds the explanation of a slot that lights nothing alone.
func (s *Session) nothing(slot int, bad func(string, ...any)) {
	for _, a := range s.said {
		if a.step != Master || a.slot != slot {
			continue
		}
		if a.saw != Nothing && a.saw != NotSure && s.allNothing() {
			bad("Slot %d lights nothing alone, but lets the others light: it sets the level of the bulb.", slot+1)
			return
		}
		if s.allNothing() {
			bad("No slot lights anything: check supply, host, universe and first slot.")
			return
		}
	}
	bad("Slot %d drives nothing: the bulb may have fewer slots than planned, or that light is broken.", slot+1)
}
