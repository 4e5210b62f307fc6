package dialog

import (
	"errors"
	"fmt"
	"strings"

	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/words"
)

// typedHelp are the hints on what may be typed instead of an answer.
var typedHelp = map[single.Line]string{
	single.NoLine:    "",
	single.VoltsLine: " Set the voltmeter to direct volts, and type each reading, such as 4.83.",
	single.CountLine: " A count that you know may be typed as n 144.",
}

// Test runs a single test in plain lines and writes its result.
func (b Bench) Test(t single.Test) (End, error) {
	first, _ := t.Step()
	help := "Type what stands before the answer; u takes one back, x ends here." + typedHelp[first.Typed]
	if first.Other != "" {
		help += " v begins again with other colours."
	}
	b.say("%s of %s.\n%s\n%s\n", t.Kind().Title(), b.Prop.Name, caution, help)
	end, err := b.steps(t)
	if err == nil {
		b.settle()
		if absent := b.present(nil); absent != nil {
			err = absent
		}
	}
	b.sayAbsent(err)
	return end, err
}

// steps runs a test to its end.
func (b *Bench) steps(t single.Test) (End, error) {
	l := newLines(b.In)
	for {
		var s single.Step
		var more bool
		b.wait(func() { s, more = t.Step() }, func() { b.say(working) })
		if !more {
			return End{}, nil
		}
		if err := b.lit(s.Show, s.Level, s.Ended); err != nil {
			return End{Left: true}, err
		}
		if err := b.present(nil); err != nil {
			return End{Left: true}, err
		}
		b.step(s)
		if left, err := b.reply(l, t, s); left || err != nil {
			return End{Left: true}, err
		}
		if err := b.keep(); err != nil {
			b.say("Warning: the answers so far could not be kept: %v", err)
		}
	}
}

// step writes one step.
func (b *Bench) step(s single.Step) {
	b.say("%s. %s", s.Progress, s.Question)
	if s.Hint != "" {
		b.say("  (%s)", s.Hint)
	}
	for _, a := range s.Answers {
		b.say("  %s  %s", a.Press, a.Text)
	}
}

// reply reads lines until the test has moved, or the end.
func (b *Bench) reply(l *lines, t single.Test, s single.Step) (left bool, err error) {
	for {
		text, err := l.next()
		switch {
		case errors.Is(err, longError{}):
		case err != nil || text == "x":
			return true, err
		case text == "":
			continue
		case text == "u":
			if t.Undo() {
				return false, nil
			}
			err = errors.New("this is the first question")
		default:
			if err := b.present(nil); err != nil {
				return true, err
			}
			err = b.give(t, s, text)
		}
		if err == nil {
			return false, nil
		}
		b.say("%s", words.Sentence(err.Error()))
		if again := (*single.RestartError)(nil); errors.As(err, &again) {
			return false, nil
		}
	}
}

// give makes a line a reply.
func (b *Bench) give(t single.Test, s single.Step, text string) error {
	if s.Other != "" && text == "v" {
		return t.Answer(single.Reply{Other: true})
	}
	if typed, ok := strings.CutPrefix(text, "n "); ok && s.Typed == single.CountLine {
		return t.Answer(single.Reply{Typed: typed})
	}
	key, ok := s.Pressed(text)
	switch {
	case ok:
		return t.Answer(single.Reply{Key: key})
	case s.Typed == single.VoltsLine:
		return t.Answer(single.Reply{Typed: text, Level: b.level(s.Level)})
	}
	return fmt.Errorf("%q is no answer here: type what stands before one, u for back or x to end here", short(text))
}

// Working does some work, and writes a line when it takes long.
func (b Bench) Working(work func()) { b.wait(work, func() { b.say("Working it out.") }) }

// WriteResult writes the result of a test.
func (b Bench) WriteResult(r single.Result) {
	b.say("\n%s.", r.Title)
	for _, l := range r.Lines {
		b.say("  %s%s", l.Number, l.Text)
	}
	if r.Sure != "" {
		b.say("  %s", r.Sure)
	}
}
