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

// patience is the time that a terminal which takes no text, or a disk, may delay the end
// once the prop is dark.
const patience = 2 * time.Second

// ErrNoTerminal is returned when there is no terminal to draw on.
var ErrNoTerminal = errors.New("the bench needs a terminal for keys and drawing: start it from one, or use ringout send in scripts")

// Run shows the bench until it is left, ctx ends, or the terminal is gone. In each case
// the prop is dark, the stream terminated and the terminal restored when Run returns.
//
// The caller ends ctx on SIGTERM, SIGHUP and the like. A panic of the program is
// returned as a *Crash.
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
	if cfg.Path != "" || cfg.Prop == nil { // not in a demo, which always begins the same
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
	if saved == "" { // after a crash, or when the terminal closed before its signal
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

// garbage is the argument of runtime/debug.SetGCPercent: a moving page allocates 4 MB a
// second, and at 150 % in place of 100 the collector runs less often.
const garbage = 150

// renderer is a renderer for out with the colours of its environment. A terminal "dumb"
// has none, whatever COLORTERM is.
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

// drive runs the program to its end. Making the prop dark waits neither for the terminal,
// which may be stuck or gone, nor for the disk: rescue saves unsaved changes at the same
// time. saved is its sentence.
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
		case <-time.After(patience): // the disk does not answer
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

// terminal reports when the terminal is gone: a read from a closed one gives an end of
// file, after which Bubble Tea would wait for ever.
type terminal struct {
	*os.File
	gone func()
	pastes
}

func (t *terminal) Read(b []byte) (int, error) {
	half := make([]byte, max(1, len(b)/2)) // so that inserted end marks fit in b
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
