package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/dialog"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/tui"
)

// checkFlags are what "ringout check" is told.
type checkFlags struct {
	plain, json, again, noRecord bool
	flex, load, bulb             bool
	takesOver                    bool
	overview, part               string
	fresh                        time.Duration
	camera                       cameraFlags
}

func newCheck() *cobra.Command {
	var f checkFlags
	c := &cobra.Command{
		Use:   "check FILE... | FOLDER",
		Short: "The check-out: a few questions, then what is wrong, where, and what to do",
		Long: "Light a prop, ask what you see, and find what is wrong with it to the pixel and the\n" +
			"joint. One file opens the bench at its Check screen. With --plain it asks in plain\n" +
			"lines, with --json in JSON lines on standard input and output. Several files, or a\n" +
			"folder of them, are worked through in turn, in plain lines: props checked lately are\n" +
			"passed over, an unfinished one is taken up again, and at the end stands one page.",
		Example: `  ringout check porthole.toml
  ringout check porthole.toml --plain
  ringout check porthole.toml --json < answers.jsonl
  ringout check porthole.toml --part "outer ring"
  ringout check props/ --overview season.md
  ringout check porthole.toml --sequence
  ringout check porthole.toml --camera film.mp4 --mark 1=320,134 --mark 144=310,420`,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) == 0 && f.camera.alone() {
				return nil
			}
			return atLeastOne("prop file")(c, args)
		},
		RunE: f.run,
	}
	fl := c.Flags()
	fl.BoolVar(&f.plain, "plain", false, "ask in plain lines")
	fl.BoolVar(&f.json, "json", false, "speak JSON lines")
	fl.BoolVar(&f.flex, "flex", false, "flex test: bend one joint after another under steady light, in plain lines")
	fl.BoolVar(&f.load, "load", false, "load test: type in voltmeter readings at rising levels, in plain lines")
	fl.BoolVar(&f.bulb, "bulb", false, "a bulb's channels, one slot at a time, in plain lines")
	fl.StringVar(&f.part, "part", "", "check this run or named part of the finished prop alone, in plain or JSON lines")
	fl.BoolVar(&f.again, "again", false, "begin anew: neither take up an unfinished check-out nor pass over a finished one")
	fl.BoolVar(&f.noRecord, "no-record", false, "write nothing into the bench record")
	fl.BoolVar(&f.takesOver, "take-over", false, "write what was found true (counts, colour order, run order, travel) into the prop file")
	fl.DurationVar(&f.fresh, "fresh", 7*24*time.Hour, "with several files, how old a check-out may be to be passed over")
	f.camera.add(c)
	fl.StringVar(&f.overview, "overview", "", "with several files, where to write the page (Markdown); empty prints it")
	return c
}

func (f *checkFlags) run(c *cobra.Command, args []string) error {
	if err := onlyOne(c, "plain", "json", "flex", "load", "bulb"); err != nil {
		return err
	}
	if f.fresh < 0 {
		return wrong(c, fmt.Errorf("--fresh %v: give an age, such as 168h", f.fresh))
	}
	if f.camera.given() {
		return f.byCamera(c, args)
	}
	paths, err := propFiles(args)
	if err != nil {
		return err
	}
	paths = once(c, paths)
	switch {
	case len(paths) > 1 && f.json:
		return wrong(c, errors.New("--json checks one prop at a time: give one file"))
	case len(paths) > 1 && f.part != "":
		return wrong(c, errors.New("--part checks one prop at a time: give one file"))
	case len(paths) > 1 && (f.flex || f.load || f.bulb):
		return wrong(c, errors.New("--flex, --load and --bulb test one prop at a time: give one file"))
	case f.flex || f.load || f.bulb:
		return f.single(c, paths[0])
	case len(paths) > 1:
		return f.season(c, paths)
	case f.plain || f.json || f.part != "":
		return f.one(c, paths[0])
	}
	cfg := benchConfig(c.Context())
	cfg.Connect = connectReal
	if err := openFile(c, &cfg, paths[0]); err != nil {
		return err
	}
	cfg.Start = "Check"
	return tui.Run(c.Context(), cfg)
}

// propFiles are the files named, and those in folders named.
func propFiles(args []string) ([]string, error) {
	var out []string
	for _, a := range args {
		info, err := os.Stat(a)
		if err != nil || !info.IsDir() {
			out = append(out, a) // Load tells what is the matter with it
			continue
		}
		in, err := filepath.Glob(filepath.Join(a, "*.toml"))
		if err != nil || len(in) == 0 {
			return nil, fmt.Errorf("the folder %s has no prop files (*.toml)", a)
		}
		slices.Sort(in)
		out = append(out, in...)
	}
	return out, nil
}

// one checks one prop without a screen.
func (f *checkFlags) one(c *cobra.Command, path string) error {
	p, doc, err := load(c, path)
	if err != nil {
		return err
	}
	first := 0
	if f.part != "" {
		section, err := p.Section(f.part)
		if err != nil {
			return wrong(c, fmt.Errorf("--part: %w", err))
		}
		first, f.part = section.First, section.Name
		if p, err = prop.Sub(p, section); err != nil {
			return err
		}
	}
	s, err := f.session(c, p, path)
	if err != nil {
		return err
	}
	lamp, err := newLamp(c.Context(), p)
	if err != nil {
		return err
	}
	b := dialog.Bench{In: c.InOrStdin(), Out: c.OutOrStdout(), Prop: p,
		Light: func(pr checkout.Probe) {
			lamp.set(pr.Show, pr.Level)
			lamp.reach()
		},
		Keep: func(l checkout.Log) error {
			return record.WriteUnfinished(f.unfinished(path), record.Unfinished{Log: l, At: time.Now(), Run: f.part, Alone: f.part != ""})
		},
		Network: lamp.network,
		Settle:  lamp.settle,
	}
	var end dialog.End
	err = lamp.whileLit(func() (err error) {
		if f.json {
			end, err = b.JSON(s)
		} else {
			end, err = b.Plain(s)
		}
		return err
	})
	err = errors.Join(err, lamp.close())
	absent := (*dialog.AbsentError)(nil)
	if errors.As(err, &absent) {
		fmt.Fprintf(c.ErrOrStderr(), "ringout: no check-out of %s: %v\n", p.Name, err)
		err = errAbsent
	}
	if dialog.Gone(err) || errors.Is(err, errStopped) || errors.Is(err, errAbsent) {
		if u, _, _ := record.ReadUnfinished(f.unfinished(path)); len(u.Log.Steps) == 0 {
			return fmt.Errorf("%w; nothing was answered, so nothing is recorded", err)
		}
		return fmt.Errorf("%w; what was answered is kept in %s, and the next check takes it up again", err, f.unfinished(path))
	}
	if err != nil {
		return err
	}
	if err := f.record(c, path, p, first, doc, s, end); err != nil || f.part != "" {
		return err // what was found of a part says too little of the whole plan
	}
	return f.takeOver(c, path, p, doc, s.Findings())
}

// session begins a check-out or takes up the unfinished one.
func (f *checkFlags) session(c *cobra.Command, p *prop.Prop, path string) (*checkout.Session, error) {
	if f.again {
		return checkout.New(p, checkout.Options{})
	}
	u, ok, err := record.ReadUnfinished(f.unfinished(path))
	if err != nil {
		return nil, err
	}
	if !ok || u.Alone != (f.part != "") {
		return checkout.New(p, checkout.Options{})
	}
	s, err := checkout.Restore(p, checkout.Options{}, u.Log)
	var changed *checkout.ChangedError
	if errors.As(err, &changed) {
		if err := f.putBy(c, path, u, p.Name); err != nil {
			return nil, err
		}
		return checkout.New(p, checkout.Options{})
	}
	if err == nil {
		fmt.Fprintf(c.ErrOrStderr(), "ringout: taking up the check-out of %s after %s; --again begins anew\n",
			u.At.Format("2 January 15:04"), answers(s.Answered()))
	}
	return s, err
}

func answers(n int) string {
	if n == 1 {
		return "1 answer"
	}
	return fmt.Sprintf("%d answers", n)
}

// putBy moves an unfinished check-out of a prop that has changed since out of
// the way of the new one.
func (f *checkFlags) putBy(c *cobra.Command, path string, u record.Unfinished, name string) error {
	from := f.unfinished(path)
	to := strings.TrimSuffix(from, ".json") + u.At.Format("-2006-01-02-150405") + ".json"
	if err := os.Rename(from, to); err != nil {
		return fmt.Errorf("the unfinished check-out in %s is of another version of %q, and can't be moved aside: move it, or give --again to begin over it", from, name)
	}
	fmt.Fprintf(c.ErrOrStderr(), "ringout: %q has changed since its unfinished check-out of %s, so a new one begins; the old answers are kept in %s, to be named %s again should the prop file be put back\n",
		name, u.At.Format("2 January 15:04"), to, filepath.Base(from))
	return nil
}

// unfinished is where an unfinished check-out is kept; one of a part lies in a
// file of its own.
func (f *checkFlags) unfinished(path string) string {
	if f.part == "" {
		return record.UnfinishedBeside(path)
	}
	name := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return '-'
	}, f.part)
	return record.UnfinishedBeside(strings.TrimSuffix(path, filepath.Ext(path)) + "." + name + ".toml")
}

// record puts the check-out into the bench record and forgets the unfinished
// one. Of a part, first is its first pixel in the whole prop.
func (f *checkFlags) record(c *cobra.Command, path string, p *prop.Prop, first int, doc *prop.Document, s *checkout.Session, end dialog.End) error {
	if f.noRecord {
		return os.RemoveAll(f.unfinished(path))
	}
	if s.Answered() == 0 {
		fmt.Fprintln(c.ErrOrStderr(), "ringout: nothing was answered, so nothing is recorded")
		return os.RemoveAll(f.unfinished(path))
	}
	e := record.FromCheckout(p, s.Asked(), s.Findings(), end.Left)
	e.At, e.Ringout, e.PropFile = time.Now().Truncate(time.Second), versionText(), doc.Text()
	if f.part != "" {
		e.Test, e.Only = record.RunTest, f.part
		for i := range e.Findings {
			if e.Findings[i].Pixel > 0 {
				e.Findings[i].Pixel += first
			}
		}
	}
	file := record.Beside(path)
	if err := appendTo(c, file, e); err != nil {
		return fmt.Errorf("%w; the answers are kept in %s, so mend that and run the check again", err, f.unfinished(path))
	}
	fmt.Fprintf(c.ErrOrStderr(), "ringout: recorded in %s\n", file.Path)
	return os.RemoveAll(f.unfinished(path))
}

// season works through many props and ends with one page.
func (f *checkFlags) season(c *cobra.Command, paths []string) error {
	var stopped error
	for i, path := range paths {
		s := standing(path)
		fmt.Fprintf(c.ErrOrStderr(), "ringout: %d of %d, %s: %s\n", i+1, len(paths), s.Name, s.Word())
		if s.Err != nil || !f.again && s.Checked && s.Last.Verdict != record.Stopped && time.Since(s.Last.At) < f.fresh {
			continue
		}
		if stopped = f.one(c, path); stopped != nil {
			break // the page still comes, and the next time goes on from here
		}
	}
	var all []record.Standing
	for _, path := range paths {
		all = append(all, standing(path))
	}
	page := record.Overview(all, time.Now())
	if f.overview == "" {
		fmt.Fprint(c.OutOrStdout(), "\n"+page)
		return stopped
	}
	if err := prop.WriteFile(f.overview, []byte(page)); err != nil {
		return errors.Join(stopped, fmt.Errorf("the page can't be written: %w", err))
	}
	fmt.Fprintln(c.OutOrStdout(), "Wrote "+f.overview)
	return stopped
}

// standing reads how a prop stands.
func standing(path string) record.Standing {
	p, doc, err := prop.Load(path)
	if err != nil {
		return record.Standing{File: path, Name: filepath.Base(path), Err: err}
	}
	h, err := record.Beside(path).Read(p.Name)
	if err != nil {
		return record.Standing{File: path, Name: p.Name, Err: err}
	}
	return record.StandingOf(path, p.Name, doc.Text(), h, time.Now())
}
