package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/prop"
)

func newNew() *cobra.Command {
	var yes bool
	c := &cobra.Command{
		Use:   "new NAME",
		Short: "Write a commented prop file from a few questions",
		Long: "Ask a few questions about a prop and write NAME.toml, full of comments, to go on\n" +
			"with in an editor. An empty answer takes what stands in brackets.",
		Example: `  ringout new porthole
  ringout new pennant --defaults`,
		Args: exactly(1, "a name for the prop"),
		RunE: func(c *cobra.Command, args []string) error {
			path, err := newPath(args[0])
			if err != nil {
				return err
			}
			a := prop.Answers{Name: strings.TrimSuffix(filepath.Base(path), ".toml")}
			if !yes {
				err := untilEnd(c.Context(), func() error { return ask(c.InOrStdin(), c.OutOrStdout(), &a) })
				if err != nil {
					return err
				}
			}
			text := prop.Template(a)
			if _, _, err := prop.Parse([]byte(text), path); err != nil {
				return fmt.Errorf("these answers do not make a prop, so nothing was written:\n%w", err)
			}
			if err := prop.WriteFile(path, []byte(text)); err != nil {
				return err
			}
			fmt.Fprintf(c.OutOrStdout(), "Wrote %s. Next: ringout plan %s\n", path, path)
			return nil
		},
	}
	c.Flags().BoolVar(&yes, "defaults", false, "ask nothing and take every usual answer")
	return c
}

// newPath returns the file for a name, if it can be written.
func newPath(name string) (string, error) {
	path := strings.TrimSuffix(name, ".toml") + ".toml"
	if filepath.Base(path) == ".toml" {
		return "", fmt.Errorf("%q has no name in it: give one, such as porthole", name)
	}
	if _, err := os.Stat(path); err == nil {
		return "", fmt.Errorf("%s is there already: choose another name, or edit it", path)
	}
	if st, err := os.Stat(filepath.Dir(path)); err != nil || !st.IsDir() {
		return "", fmt.Errorf("there is no folder %s: make it first, or give a name alone", filepath.Dir(path))
	}
	return path, nil
}

// ask asks the questions, a line each, and fills in a.
func ask(in io.Reader, out io.Writer, a *prop.Answers) error {
	q := &questions{in: bufio.NewScanner(in), out: out}
	a.Chip = q.text("Chip, one of "+strings.Join(chipNames(), ", "), "WS2812B", func(s string) error {
		if _, ok := prop.ChipByName(s); !ok {
			return fmt.Errorf("chip %q is not known", s)
		}
		return nil
	})
	a.Inches = strings.EqualFold(q.text("Inches or metric", "metric", oneOf("inches", "metric")), "inches")
	runs := q.number("How many runs of strip, one after another", 1, 1, 100)
	for i := range runs {
		a.Runs = append(a.Runs, q.run(i, a.Inches))
	}
	a.Amps = q.text("Supply rating, such as \"10 A\"", "5 A", func(s string) error { return reads(prop.Answers{Amps: s}) })
	a.Host = q.text("Controller's host name or address, or multicast (127.0.0.1 is this computer: nothing goes out)", prop.ThisComputer, func(s string) error { return reads(prop.Answers{Host: s}) })
	a.Universe = q.number("Universe", 1, 1, prop.MaxUniverse)
	a.Slot = q.number("Slot of the first pixel", 1, 1, prop.SlotsPerUniverse)
	return q.err
}

func (q *questions) run(i int, inches bool) prop.AnswerRun {
	example := "2.36 m"
	if inches {
		example = "93 in"
	}
	r := prop.AnswerRun{Name: q.text(fmt.Sprintf("Run %d, name", i+1), fmt.Sprint("run ", i+1), nil)}
	r.Shape = prop.ShapeKind(strings.ToLower(q.text("  shape: line, ring or star", "line", oneOf("line", "ring", "star"))))
	size := q.text(fmt.Sprintf("  pixels, or the length of its tube such as %q", example), "50", func(s string) error {
		if n, err := strconv.Atoi(s); err == nil {
			if n < 1 || n > prop.MaxPixels {
				return fmt.Errorf("%d pixels: give 1 to %d", n, prop.MaxPixels)
			}
			return nil
		}
		_, _, err := prop.ParseLength(s)
		return err
	})
	if n, err := strconv.Atoi(size); err == nil {
		r.Pixels = n
	} else {
		r.Length = size
	}
	if r.Shape == prop.Star {
		r.Points = q.number("  points of the star", 5, 3, 50)
	}
	return r
}

// reads returns the problem that an answer would cause in the file, before the
// next question is asked.
func reads(a prop.Answers) error {
	_, _, err := prop.Parse([]byte(prop.Template(a)), "")
	var bad prop.Problems
	if errors.As(err, &bad) && len(bad) > 0 {
		return fmt.Errorf("%s: %s", bad[0].Text, bad[0].Hint)
	}
	return err
}

// questions asks until an answer is good, or the input ends.
type questions struct {
	in  *bufio.Scanner
	out io.Writer
	err error
}

// text asks for a word; an empty answer is usual. check may be nil.
func (q *questions) text(question, usual string, check func(string) error) string {
	for q.err == nil {
		fmt.Fprintf(q.out, "%s [%s]: ", question, usual)
		if !q.in.Scan() {
			if q.err = q.in.Err(); q.err == nil {
				q.err = errors.New("the answers ended too early, so nothing was written; --defaults asks nothing")
			}
			break
		}
		s := strings.TrimSpace(q.in.Text())
		if s == "" {
			return usual
		}
		if check == nil {
			return s
		}
		err := check(s)
		if err == nil {
			return s
		}
		fmt.Fprintf(q.out, "  %v\n", err)
	}
	return usual
}

func (q *questions) number(question string, usual, least, most int) int {
	s := q.text(question, strconv.Itoa(usual), func(s string) error {
		if n, err := strconv.Atoi(s); err != nil || n < least || n > most {
			return fmt.Errorf("%q is not a number from %d to %d", s, least, most)
		}
		return nil
	})
	n, _ := strconv.Atoi(s) // checked, or usual
	return n
}

func oneOf(words ...string) func(string) error {
	return func(s string) error {
		for _, w := range words {
			if strings.EqualFold(s, w) {
				return nil
			}
		}
		return fmt.Errorf("%q is not one of %s", s, strings.Join(words, ", "))
	}
}
