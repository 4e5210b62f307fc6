package dialog

import (
	"fmt"
	"strconv"
	"strings"

	"example.org/ringout/internal/checkout/bulb"
	"example.org/ringout/internal/checkout/joints"
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/show"
)

// A Stage lights what the single tests show.
type Stage struct {
	Bench
	Set   func(frames show.FrameFunc, level float64)
	Level func() float64 // in force, after the limiter
	// Stream ends the stream (false) and starts it anew (true).
	Stream func(on bool) error
}

// choose asks until a key from 0 to n was typed, or u, or x.
func (g Stage) choose(l *lines, n int) (key int, word string, err error) {
	for {
		text, err := l.next()
		if err != nil || text == "u" || text == "x" {
			return 0, text, err
		}
		if key, err := strconv.Atoi(text); err == nil && key >= 0 && key <= n {
			return key, "", nil
		}
		g.say("%q is no answer: type a number from the list, u for back or x to end here.", text)
	}
}

func (g Stage) say(format string, args ...any) { fmt.Fprintf(g.Out, format+"\n", args...) }

func (g Stage) list(question string, answers []string) {
	g.say("%s", question)
	for i, a := range answers {
		g.say("  %d  %s", i+1, a)
	}
	g.say("  0  not sure")
}

func words[S ~string](in []S) []string {
	out := make([]string, len(in))
	for i, s := range in {
		out[i] = string(s)
	}
	return out
}

// Flex goes through a flex test in plain lines.
func (g Stage) Flex(f *joints.Flex) (End, error) {
	l := newLines(g.In)
	for {
		b, more := f.Next()
		if !more {
			return End{}, nil
		}
		g.Set(b.Show, joints.Level)
		g.list(fmt.Sprintf("Joint %d. %s", b.ID, b.Question), words(joints.Bendings))
		key, word, err := g.choose(l, len(joints.Bendings))
		switch {
		case err != nil || word == "x":
			return End{Left: true}, err
		case word == "u":
			f.Undo()
			continue
		}
		answer := joints.NotSure
		if key > 0 {
			answer = joints.Bendings[key-1]
		}
		if err := f.Answer(answer); err != nil {
			return End{Left: true}, err
		}
	}
}

// Load goes through a load test in plain lines.
func (g Stage) Load(t *joints.Load) (End, error) {
	l := newLines(g.In)
	g.say("Set the voltmeter to direct volts. Type each reading, such as 4.83; s skips a place, u takes one back, x ends here.")
	for {
		m, more := t.Next()
		if !more {
			return End{}, nil
		}
		g.Set(m.Show, m.Level)
		g.say("Reading %d of %d. %s", m.ID, m.Of, m.Question)
		text, err := l.next()
		switch {
		case err != nil || text == "x":
			return End{Left: true}, err
		case text == "u":
			t.Undo()
			continue
		case text == "s":
			t.Skip()
			continue
		}
		volts, err := readVolts(text)
		if err == nil {
			err = t.Volts(volts, g.level(m.Level))
		}
		if err != nil {
			g.say("%s", sentence(err))
		}
	}
}

// level is what the limiter left of the level asked for.
func (g Stage) level(asked float64) float64 {
	if g.Level == nil {
		return asked
	}
	if in := g.Level(); in > 0 {
		return min(in, asked)
	}
	return asked
}

// readVolts takes "4.83", "4,83" and "4.83 V".
func readVolts(text string) (float64, error) {
	clean := strings.TrimSpace(strings.TrimSuffix(strings.ToUpper(strings.ReplaceAll(text, ",", ".")), "V"))
	v, err := strconv.ParseFloat(clean, 64)
	if err != nil {
		return 0, fmt.Errorf("%q is no reading: type volts, such as 4.83", text)
	}
	return v, nil
}

// WriteFit says what a load test came to.
func (g Stage) WriteFit(r power.FitResult) {
	g.say("\n%s", r.Text)
	if r.Verdict == power.FitNone {
		return // the text has them all
	}
	for _, s := range r.Named() {
		g.say("  %.0f in 100: %s, %s", 100*s.Weight, s.Name, s.Much())
	}
}

// Bulb goes through a bulb's channels in plain lines.
func (g Stage) Bulb(s *bulb.Session) (End, error) {
	l := newLines(g.In)
	for n := 1; ; n++ {
		p, more := s.Next()
		if !more {
			return End{}, nil
		}
		g.Set(p.Show, p.Level)
		if p.End {
			if err := g.Stream(false); err != nil {
				return End{Left: true}, err
			}
		}
		g.list(fmt.Sprintf("Question %d. %s", n, p.Question), words(p.Answers))
		key, word, err := g.choose(l, len(p.Answers))
		if p.End && err == nil {
			err = g.Stream(true)
		}
		switch {
		case err != nil || word == "x":
			return End{Left: true}, err
		case word == "u":
			s.Undo()
			continue
		}
		saw := bulb.NotSure
		if key > 0 {
			saw = p.Answers[key-1]
		}
		if err := s.Answer(saw); err != nil {
			return End{Left: true}, err
		}
	}
}
