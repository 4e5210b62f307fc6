package dialog

import (
	"errors"
	"fmt"
	"strings"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
)

const plainHelp = `Type what stands before the answer and press enter: a digit, or a colour's letter.
Also:
  u     back: take the last answer away    e 3 2  change: answer 2 for question 3
  open  what is still open                 why    why this is asked
  x     end here                           ?      these lines`

// caution is written before the first question.
const caution = "Do not stare into the light. Power off before you solder or cut. Mains is for licensed people."

// working is written when the next question takes long.
const working = "Working out the next question."

// holds is written when the flash guard delays the light of a question.
const holds = "The light waits, or the prop would flash."

// Plain asks in plain lines until the check-out is done or left.
func (b Bench) Plain(s *checkout.Session) (End, error) {
	d := plain{Bench: b, s: s, lines: newLines(b.In)}
	d.say("Check-out of %s: %s in %s.", b.Prop.Name, words.Count(b.Prop.Pixels(), "pixel"), words.Count(len(b.Prop.Runs), "run"))
	d.say("%s\n%s\n", caution, plainHelp)
	end, err := d.ask()
	if err == nil {
		err = d.settled()
	}
	if err != nil {
		d.sayAbsent(err)
		return end, err
	}
	switch {
	case end.Left && s.Answered() == 0:
		d.say("Nothing was answered, so nothing is known.")
		return end, nil
	case end.Left && s.Stopped() == "":
		d.say("\nEnded early: this is what is known so far.")
	default:
		d.say("\nDone: %s.", s.Stopped())
	}
	WriteFindings(d.say, s.Findings())
	return end, nil
}

func (b *Bench) say(format string, args ...any) { fmt.Fprintf(b.Out, format+"\n", args...) }

// lit lights the prop, and writes a line when that takes long.
func (b *Bench) lit(frames patterns.FrameFunc, level float64, ended bool) (err error) {
	b.wait(func() { err = b.light(frames, level, ended) }, func() { b.say(holds) })
	return err
}

// sayAbsent writes why the prop cannot be reached, for an *AbsentError.
func (b *Bench) sayAbsent(err error) {
	if absent := (*AbsentError)(nil); errors.As(err, &absent) {
		b.say("It ends here. %s\n%s Then run it again.", absent.Why, absent.Remedy)
	}
}

// type plain is a check-out in plain lines.
type plain struct {
	Bench
	s     *checkout.Session
	lines *lines
}

// settled waits until the network's state is known, before a finding, and then is present.
func (d *plain) settled() error {
	d.settle()
	return d.present(d.s)
}

// ask asks one question after another.
func (d *plain) ask() (End, error) {
	for {
		var p checkout.Probe
		var more bool
		d.wait(func() { p, more = d.s.Next() }, func() { d.say(working) })
		if !more {
			return End{}, nil
		}
		if err := d.lit(p.Show, p.Level, false); err != nil {
			return End{Left: true}, err
		}
		if err := d.present(d.s); err != nil {
			return End{Left: true}, err
		}
		d.question(p)
		if left, err := d.answer(p); left || err != nil {
			return End{Left: true}, err
		}
	}
}

// answer reads lines until another question is due, or the end.
func (d *plain) answer(p checkout.Probe) (left bool, err error) {
	for {
		text, err := d.lines.next()
		switch {
		case errors.Is(err, longError{}):
			d.say("%s", words.Sentence(err.Error()))
			continue
		case err != nil:
			return true, err
		case text == "x":
			return true, nil
		}
		if err := d.present(d.s); err != nil {
			return true, err
		}
		if !d.take(p, text) {
			continue
		}
		if err := d.keep(); err != nil {
			d.say("Warning: the answers so far could not be kept: %v", err)
		}
		return false, nil
	}
}

func (d *plain) question(p checkout.Probe) {
	d.say("Question %d. %s", p.ID, p.Question)
	if p.Hint != "" {
		d.say("  (%s)", p.Hint)
	}
	for _, a := range p.Answers {
		d.say("  %s  %s", a.Press, a.Text)
	}
	d.say("  0  not sure")
}

// take acts on a line; true when another question is due.
func (d *plain) take(p checkout.Probe, text string) bool {
	word, rest, _ := strings.Cut(text, " ")
	switch word {
	case "":
		return false
	case "?":
		d.say("%s", plainHelp)
		return false
	case "open":
		d.open()
		return false
	case "why":
		d.say("%s", p.Why)
		return false
	case "u":
		return d.tried(d.s.Undo(), "There is no answer to take away.")
	case "e":
		return d.change(rest)
	}
	key, ok := checkout.Pressed(p.Answers, text)
	if !ok {
		return d.tried(false, fmt.Sprintf("%q is no answer here: type what stands before one, or ? for help.", short(text)))
	}
	if err := d.s.Answer(key); err != nil {
		return d.tried(false, words.Sentence(err.Error()))
	}
	return true
}

// tried writes why when something was not done.
func (d *plain) tried(done bool, why string) bool {
	if !done {
		d.say("%s", why)
	}
	return done
}

func (d *plain) change(rest string) bool {
	var id int
	var press string
	if n, err := fmt.Sscanf(rest, "%d %s", &id, &press); n != 2 || err != nil {
		return d.tried(false, "Write e, the number of the question and what stands before the answer, such as: e 3 2")
	}
	asked := d.s.Asked()
	switch {
	case len(asked) == 0:
		return d.tried(false, "Nothing has been answered yet: there is no answer to change.")
	case id < 1 || id > len(asked):
		return d.tried(false, fmt.Sprintf("Question %d was not answered: give one of 1 to %d.", id, len(asked)))
	}
	key, ok := checkout.Pressed(asked[id-1].Answers, press)
	if !ok {
		return d.tried(false, fmt.Sprintf("Question %d has no answer %q.", id, short(press)))
	}
	if err := d.s.Change(id, key); err != nil {
		return d.tried(false, words.Sentence(err.Error()))
	}
	return true
}

// openShown is the number of open explanations that are listed.
const openShown = 6

func (d *plain) open() {
	d.say("Still open:")
	for i, f := range d.s.Findings() {
		if i == openShown {
			break
		}
		d.say("  %s", words.Aside(f.Title, f.Certainty()))
	}
}

// WriteFindings writes the findings.
func WriteFindings(say func(string, ...any), found []checkout.Finding) {
	for i, f := range found {
		say("%s", words.Aside(f.Title, f.Certainty()))
		if f.Untried != "" {
			say("  %s", f.Untried)
		}
		if f.Unknown != nil {
			writeUnknown(say, f.Unknown)
		}
		for _, c := range f.Causes {
			writeCause(say, c)
		}
		if i > 0 {
			continue // answers and rivals are the same for all findings
		}
		for _, m := range f.Against {
			say("  What does not fit it: %s", m)
		}
		for _, b := range f.Because {
			say("    because: %s", b)
		}
		for _, r := range f.Rivals {
			say("    not ruled out: %s", r)
		}
	}
}

// writeUnknown writes the closest explanation of a fault that is not in the list, the looks
// that contradict it, and what to do.
func writeUnknown(say func(string, ...any), u *checkout.UnknownFault) {
	say("  What fits most: %s", u.Closest.Text)
	for _, m := range u.Misfits() {
		say("  What does not fit it: %s", m)
	}
	say("  What to do: %s", u.Next)
}

func writeCause(say func(string, ...any), c checkout.Cause) {
	where := ""
	if c.Where != "" {
		where = " [" + c.Where + "]"
	}
	say("  - %s%s", c.Text, where)
	if c.Remedy != "" {
		say("    %s", c.Remedy)
	}
}
