package tui

import (
	"cmp"
	"context"
	"errors"
	"io"
	"os"
	"regexp"
	"runtime/debug"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"
	"github.com/muesli/termenv"
	"golang.org/x/term"

	"example.org/ringout/internal/prop"
	"example.org/ringout/tui/ascii"
	"example.org/ringout/tui/bench"
	"example.org/ringout/tui/paint"
	"example.org/ringout/tui/style"

	_ "example.org/ringout/internal/background" // or the start may hang for seconds
)

// patience is how long a terminal that takes no more text may hold up the end,
// once the prop is dark.
const patience = 2 * time.Second

// ErrNoTerminal is the answer where there is no terminal to draw on.
var ErrNoTerminal = errors.New("the bench needs a terminal for keys and drawing: start it from one, or use ringout send in scripts")

// Run shows the bench until it is left, ctx ends, or the terminal is gone. By
// each of these roads the prop is dark and the stream terminated when Run
// returns, and the terminal is as it was before.
//
// The caller turns SIGTERM, SIGHUP and the like into the end of ctx. A fault
// of our own comes back as a *Crash.
func Run(ctx context.Context, cfg Config) error {
	in, out := cmp.Or(cfg.In, os.Stdin), cmp.Or(cfg.Out, os.Stdout)
	if !term.IsTerminal(int(in.Fd())) || !term.IsTerminal(int(out.Fd())) {
		return ErrNoTerminal
	}
	before, err := term.GetState(int(in.Fd()))
	if err != nil {
		return err
	}
	ctx, gone := context.WithCancel(ctx)
	defer gone()
	r := cfg.Renderer
	if r == nil {
		r = renderer(out, os.Getenv("TERM"))
	}
	if cfg.Path != "" || cfg.Prop == nil { // a demo begins as it always does
		cfg.kept = prop.FindUnsaved(cfg.Path, cfg.Spare)
	}
	cfg.Still = cfg.Still || os.Getenv("NO_MOTION") != ""
	debug.SetGCPercent(garbage)
	m, st := assemble(ctx, cfg, ascii.Styles(r, os.Getenv))
	g := &guard{bench: m}
	pt := paint.New(g, ascii.Output(out, os.Getenv))
	defer pt.Stop()
	p := pt.Program(tea.WithInput(&terminal{File: in, gone: gone}), tea.WithMouseCellMotion())
	st.send, g.quit = p.Send, p.Quit
	rescue := onlyOnce(func() string { return keepDrafts(g.now(), cfg.Spare) })
	saved, err := drive(ctx, p, st, rescue)
	if errors.Is(err, errStuck) {
		term.Restore(int(in.Fd()), before)
	}
	c := g.crashed()
	if saved == "" { // a crash, or the terminal went before its signal came
		saved = rescue()
	}
	if saved != "" && cfg.Notify != nil {
		cfg.Notify(saved)
	}
	if c != nil {
		return c
	}
	if ctx.Err() != nil {
		return nil // asked to end, and did
	}
	return err
}

// eightColours are terminals whose terminfo has eight colours (ncurses, colors#8)
// and of which the terminal library knows none, since their names say nothing of it.
var eightColours = regexp.MustCompile(`^(screen|tmux|rxvt|cygwin|Eterm)([-.].*)?$`)

// garbage is how much may be collected at once, in per cent of what is in use
// (runtime/debug.SetGCPercent): a moving page throws 4 MB a second away, and half
// as much again as usual has the collector run half as often.
const garbage = 150

// renderer draws on out with the colours its environment names. A dumb
// terminal has none, whatever COLORTERM says.
func renderer(out io.Writer, term string) *lipgloss.Renderer {
	r := lipgloss.NewRenderer(out)
	r.SetHasDarkBackground(true)
	switch {
	case term == "dumb":
		r.SetColorProfile(termenv.Ascii)
	case r.ColorProfile() == termenv.Ascii && eightColours.MatchString(term) && !r.Output().EnvNoColor():
		r.SetColorProfile(termenv.ANSI)
	}
	return r
}

// assemble makes the bench with its screens and its stage.
func assemble(ctx context.Context, cfg Config, s style.Styles) (bench.Model, *stage) {
	st := newStage(context.WithoutCancel(ctx), cfg.Connect)
	st.listen = cfg.Listen
	o := bench.Options{Screens: screens(cfg, s, st.Hear), Stage: st, Style: s, Prop: cfg.Prop, Path: cfg.Path, Version: cfg.Version,
		Seen: cfg.Seen, See: cfg.See, Still: cfg.Still, SetStill: cfg.SetStill, Simulate: cfg.Simulate}
	o.Start = cfg.Start
	if cfg.Prop != nil && o.Start == "" {
		o.Start = "Light"
	}
	return bench.New(o), st
}

var errStuck = errors.New("the terminal takes no more text")

// drive runs the program and looks after its end. Going dark does not wait for
// the terminal: one that is stuck or gone cannot keep the prop lit. Nor does it
// wait for the disk: what is not saved is kept by rescue meanwhile, as the
// program must end without asking; saved is what rescue says of it.
func drive(ctx context.Context, p *tea.Program, st *stage, rescue func() string) (saved string, err error) {
	done := make(chan error, 1)
	go func() {
		_, err := p.Run()
		done <- err
	}()
	defer st.relay.Wait() // the program has ended: nothing holds them up
	defer st.Close()
	select {
	case err := <-done:
		return "", err
	case <-ctx.Done():
	}
	kept := make(chan string, 1)
	go func() { kept <- rescue() }()
	defer func() {
		select {
		case saved = <-kept:
		case <-time.After(patience): // the disk hangs
		}
	}()
	go p.Send(bench.LeaveMsg{})
	st.Close()
	select {
	case err := <-done:
		return saved, err
	case <-time.After(patience):
	}
	go p.Kill()
	select {
	case err := <-done:
		return saved, err
	case <-time.After(patience):
		return saved, errStuck
	}
}

// terminal tells when the terminal is gone: reading from one that was closed
// gives an end of file, which Bubble Tea would wait out for good.
type terminal struct {
	*os.File
	gone func()
	pastes
}

func (t *terminal) Read(b []byte) (int, error) {
	half := make([]byte, max(1, len(b)/2)) // what ends a paste finds room in b
	n, err := t.File.Read(half[:min(len(half), len(b))])
	n = copy(b, t.pass(half[:n]))
	if err != nil || n == 0 && len(b) > 0 {
		t.gone()
		if err == nil {
			err = io.EOF
		}
	}
	return n, err
}
