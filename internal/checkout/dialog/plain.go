package dialog

import (
	"errors"
	"fmt"
	"strings"
	"unicode"

	"example.org/ringout/internal/checkout"
)

const plainHelp = `Type what stands before the answer and press enter: a digit, or a colour's letter.
Also:
  u     back: take the last answer away    e 3 2  change: answer 2 for question 3
  open  what is still open                 why    why this is asked
  x     end here                           ?      these lines`

// Plain asks in plain lines until the check-out is done or left.
func (b Bench) Plain(s *checkout.Session) (End, error) {
	d := plain{Bench: b, s: s, lines: newLines(b.In)}
	d.say("Check-out of %s: %s in %s.", b.Prop.Name, count(b.Prop.Pixels(), "pixel"), count(len(b.Prop.Runs), "run"))
	d.say("Do not stare into the strip. Power off before you solder or cut. Mains is for licensed people.")
	d.say("%s\n", plainHelp)
	end, err := d.ask()
	if gone := (*AbsentError)(nil); errors.As(err, &gone) {
		d.say("The check-out ends here. %s\n%s Then run it again.", gone.Why, gone.Remedy)
	}
	if err != nil {
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

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// sentence writes an error as one.
func sentence(err error) string {
	text := []rune(err.Error())
	text[0] = unicode.ToUpper(text[0])
	return strings.TrimSuffix(string(text), ".") + "."
}

type plain struct {
	Bench
	s     *checkout.Session
	lines *lines
}

func (d *plain) say(format string, args ...any) { fmt.Fprintf(d.Out, format+"\n", args...) }

// ask puts one question after another.
func (d *plain) ask() (End, error) {
	for {
		p, more := d.s.Next()
		if !more {
			return End{}, d.settled(d.s)
		}
		d.Light(p)
		if err := d.hear(d.s); err != nil {
			return End{Left: true}, err
		}
		d.question(p)
		for answered := false; !answered; {
			text, err := d.lines.next()
			if err != nil {
				return End{Left: true}, err
			}
			if text == "x" {
				return End{Left: true}, d.settled(d.s)
			}
			if err := d.hear(d.s); err != nil {
				return End{Left: true}, err
			}
			if answered = d.take(p, text); answered {
				if err := d.keep(d.s); err != nil {
					d.say("Mind: the answers so far could not be kept: %v", err)
				}
			}
		}
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
		if !d.s.Undo() {
			d.say("There is no answer to take away.")
			return false
		}
		return true
	case "e":
		return d.change(rest)
	}
	key, ok := checkout.Pressed(p.Answers, text)
	if !ok {
		d.say("%q is no answer here: type what stands before one, or ? for help.", short(text))
		return false
	}
	if err := d.s.Answer(key); err != nil {
		d.say("%s", sentence(err))
		return false
	}
	return true
}

func (d *plain) change(rest string) bool {
	var id int
	var press string
	if n, err := fmt.Sscanf(rest, "%d %s", &id, &press); n != 2 || err != nil {
		d.say("Write e, the number of the question and what stands before the answer, such as: e 3 2")
		return false
	}
	asked := d.s.Asked()
	switch {
	case len(asked) == 0:
		d.say("Nothing has been answered yet: there is no answer to change.")
		return false
	case id < 1 || id > len(asked):
		d.say("Question %d was not answered: give one of 1 to %d.", id, len(asked))
		return false
	}
	key, ok := checkout.Pressed(asked[id-1].Answers, press)
	if !ok {
		d.say("Question %d has no answer %q.", id, short(press))
		return false
	}
	if err := d.s.Change(id, key); err != nil {
		d.say("%s", sentence(err))
		return false
	}
	return true
}

// openShown is how many possibilities are listed.
const openShown = 6

func (d *plain) open() {
	d.say("Still open:")
	for i, f := range d.s.Findings() {
		if i == openShown {
			break
		}
		d.say("  %s (%s)", f.Title, f.Certainty())
	}
}

// WriteFindings says what came out.
func WriteFindings(say func(string, ...any), found []checkout.Finding) {
	for _, f := range found {
		say("%s (%s)", f.Title, f.Certainty())
		for _, c := range f.Causes {
			where := ""
			if c.Where != "" {
				where = " [" + c.Where + "]"
			}
			say("  - %s%s", c.Text, where)
			if c.Remedy != "" {
				say("    %s", c.Remedy)
			}
		}
		for _, b := range f.Because {
			say("    because: %s", b)
		}
		for _, r := range f.Rivals {
			say("    not ruled out: %s", r)
		}
	}
}

// Gone reports whether a dialog ended because its input did.
func Gone(err error) bool { return errors.Is(err, errGone) }
