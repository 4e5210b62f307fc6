package cli

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/record"
	"example.org/ringout/tui"
)

// checkFlags are the flags of "ringout check".
type checkFlags struct {
	own                          *identity
	plain, json, again, noRecord bool
	takesOver                    bool
	tests                        [4]bool // in the order of testFlags
	overview, part, alone        string
	fresh                        time.Duration
	camera                       cameraFlags
}

func newCheck(own *identity) *cobra.Command {
	f := checkFlags{own: own, camera: cameraFlags{own: own}}
	c := &cobra.Command{
		Use:   "check FILE... | FOLDER",
		Short: "The check-out: a few questions, then what is wrong, where, and what to do",
		Long: "Light a prop, ask what you see, and find what is wrong with it to the pixel and the\n" +
			"joint. One file opens the bench at its Check page. With --plain it asks in plain\n" +
			"lines, with --json in JSON lines on standard input and output. Several files, or a\n" +
			"folder of them, are worked through in turn, in plain lines: props checked lately and\n" +
			"not changed since are passed over, an unfinished one is taken up again, and at the\n" +
			"end stands one page.",
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
	for i, t := range testFlags {
		fl.BoolVar(&f.tests[i], string(t.kind), false, t.help+", in plain lines")
	}
	fl.StringVar(&f.part, "part", "", "check this run or named part of the finished prop alone, in plain or JSON lines")
	fl.StringVar(&f.alone, "run", "", "check this run alone on the bench, before it is joined to others, in plain or JSON lines")
	fl.BoolVar(&f.again, "again", false, "begin again: put an unfinished check-out aside, and pass over no finished one")
	fl.BoolVar(&f.noRecord, "no-record", false, "write nothing into the bench record")
	fl.BoolVar(&f.takesOver, "take-over", false, "write what was found true (counts, colour order, run order, travel) into the prop file")
	fl.DurationVar(&f.fresh, "fresh", 7*24*time.Hour, "with several files, how old a check-out may be to be passed over")
	f.camera.add(c)
	fl.StringVar(&f.overview, "overview", "", "with several files, where to write the page (Markdown); empty prints it")
	return c
}

func (f *checkFlags) run(c *cobra.Command, args []string) error {
	if err := onlyOne(c, "plain", "json", "flex", "load", "bulb", "count"); err != nil {
		return err
	}
	if err := onlyOne(c, "part", "run"); err != nil {
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
	test := f.test()
	if len(paths) > 1 {
		if err := f.fitsMany(c, test); err != nil {
			return err
		}
		return f.season(c, paths)
	}
	switch {
	case test != "":
		return f.single(c, paths[0], test, nil)
	case f.plain || f.json || f.part != "" || f.alone != "":
		return f.one(c, paths[0])
	}
	cfg := f.own.benchConfig()
	cfg.Connect, cfg.Listen = f.own.connectReal, listenToAll
	if err := openFile(c, &cfg, paths[0]); err != nil {
		return err
	}
	cfg.Start = "Check"
	return tui.Run(c.Context(), cfg)
}

// testFlags are the single tests that can be asked for.
var testFlags = [...]struct {
	kind single.Kind
	help string
}{
	{single.Flex, "flex test: bend one joint after another under steady light"},
	{single.Load, "load test: type in voltmeter readings at rising levels"},
	{single.Bulb, "a bulb's channels, one slot at a time"},
	{single.Count, "roll call: count the pixels in a few looks"},
}

// test is the single test that is asked for; empty for none.
func (f *checkFlags) test() single.Kind {
	for i, wanted := range f.tests {
		if wanted {
			return testFlags[i].kind
		}
	}
	return ""
}

// fitsMany refuses flags that are for a single prop.
func (f *checkFlags) fitsMany(c *cobra.Command, test single.Kind) error {
	return refuse(c,
		flagConflict{f.json, "--json checks one prop at a time: give one file"},
		flagConflict{f.part != "", "--part checks one prop at a time: give one file"},
		flagConflict{f.alone != "", "--run checks one prop at a time: give one file"},
		flagConflict{test != "", "--flex, --load, --bulb and --count test one prop at a time: give one file"})
}

// propFiles are the files named, and those in folders named.
func propFiles(args []string) ([]string, error) {
	var out []string
	for _, a := range args {
		info, err := os.Stat(a)
		if err != nil || !info.IsDir() {
			out = append(out, a) // Load reports what is wrong with it
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

// season checks many props in turn and ends with one page about all.
func (f *checkFlags) season(c *cobra.Command, paths []string) error {
	var stopped error
	oneInput(c)
	for i, path := range paths {
		s := standing(path)
		fmt.Fprintf(c.ErrOrStderr(), "ringout: %d of %d, %s: %s\n", i+1, len(paths), s.Name, s.Word())
		if s.Err != nil || !f.again && s.Checked && s.Fresh(f.fresh, time.Now()) {
			continue
		}
		err := f.one(c, path)
		stopped = errors.Join(stopped, err)
		if err != nil && !errors.Is(err, errAbsent) {
			break // the page is still written, and the next call continues from here
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

// oneInput leaves answers that one test does not read to the next: each reads ahead.
func oneInput(c *cobra.Command) { c.SetIn(bufio.NewReaderSize(c.InOrStdin(), 1<<13)) }

// standing reads a prop's state from its record.
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
