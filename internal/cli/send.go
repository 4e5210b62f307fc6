package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/show"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
	"example.org/ringout/protocol/link"
)

// sendFlags are the flags of "ringout send".
type sendFlags struct {
	own           *identity
	strip         addressFlags
	how           sending
	level, speed  float64
	colour        string
	reverse, json bool
	step          int
	length        time.Duration
}

func newSend(own *identity) *cobra.Command {
	f := sendFlags{own: own}
	c := &cobra.Command{
		Use:   "send PATTERN",
		Short: "Light a pattern without a screen",
		Long: "Send a pattern to a strip without opening the bench, for scripts. Once a second a\n" +
			"status line goes to standard error, or with --json a JSON object to standard\n" +
			"output. At the end the strip goes black and the stream is terminated.\n\nPatterns:\n" + patternList(),
		Example: `  ringout send chase --to 10.0.0.5 --universe 1 --pixels 144 --order GRB --for 5s
  ringout send colours --to multicast --interface eth0 --universe 7 --slot 1 --pixels 50
  ringout send chase --file sign.toml --part "left word" --for 10s
  ringout send black --to 10.0.0.5 --universe 1 --for 3s
  ringout send single --step 97 --to bulb.example --universe 3 --pixels 170 --level 3 --json`,
		Args:      exactly(1, "one pattern: "+strings.Join(patternIDs(), ", ")),
		RunE:      func(c *cobra.Command, args []string) error { return f.run(c, args[0]) },
		ValidArgs: patternIDs(),
	}
	f.strip.flags(c)
	fl := c.Flags()
	fl.Float64Var(&f.level, "level", 20, "level in percent, 0 to 100")
	fl.Float64Var(&f.speed, "speed", 5, "steps per second")
	fl.StringVar(&f.colour, "colour", "", "colour of patterns that have one: "+strings.Join(colourNames(), ", "))
	fl.BoolVar(&f.reverse, "reverse", false, "run from the last pixel to the first")
	fl.IntVar(&f.step, "step", 0, "hold a stepped pattern at this step, from 1; 0 lets it walk")
	fl.DurationVar(&f.length, "for", 0, "how long, such as 5s or 10m; 0 until stopped")
	fl.BoolVar(&f.how.steady, "steady", false, "keep a full refresh rate even when nothing changes, for lossy wireless hosts")
	fl.BoolVar(&f.how.preview, "preview", false, "set the preview flag: not for live output")
	fl.BoolVar(&f.json, "json", false, "status as JSON lines on standard output")
	return c
}

func patternIDs() (ids []string) {
	for _, p := range patterns.All() {
		ids = append(ids, p.ID)
	}
	return ids
}

func patternList() string {
	var b strings.Builder
	for _, p := range patterns.All() {
		fmt.Fprintf(&b, "  %-10s %s\n", p.ID, p.About)
	}
	return b.String()
}

func colourNames() (names []string) {
	for _, c := range patterns.Palette {
		names = append(names, c.Name)
	}
	return names
}

// want is the state that the flags ask for.
func (f *sendFlags) want(id string) (show.Want, error) {
	w := show.Want{Pattern: id, Level: f.level / 100, Auto: f.step == 0,
		Settings: patterns.Settings{Speed: f.speed, Reverse: f.reverse}}
	if _, ok := patterns.ByID(id); !ok {
		return w, fmt.Errorf("pattern %q is not known: give one of %s", id, strings.Join(patternIDs(), ", "))
	}
	if !(f.level >= 0 && f.level <= 100) {
		return w, fmt.Errorf("--level %g: give 0 to 100 percent", f.level)
	}
	if !(f.speed > 0 && f.speed <= patterns.MaxSpeed) {
		return w, fmt.Errorf("--speed %g: give more than 0 and at most %d steps per second", f.speed, patterns.MaxSpeed)
	}
	if f.step < 0 {
		return w, fmt.Errorf("--step %d: give 1 or more", f.step)
	}
	w.Step = max(0, f.step-1)
	if f.colour == "" {
		return w, nil
	}
	for _, c := range patterns.Palette {
		if strings.EqualFold(c.Name, f.colour) {
			w.Settings.Colour = c.Colour
			return w, nil
		}
	}
	return w, fmt.Errorf("--colour %q is not known: give one of %s", f.colour, strings.Join(colourNames(), ", "))
}

func (f *sendFlags) run(c *cobra.Command, id string) error {
	w, err := f.want(id)
	if err != nil {
		return wrong(c, err)
	}
	if f.length < 0 {
		return wrong(c, fmt.Errorf("--for %v: give a time from now on, such as 5s", f.length))
	}
	if id == patterns.Black.ID && f.strip.file == "" && !c.Flags().Changed("pixels") && f.strip.slot > 0 {
		f.strip.wholeUniverse()
	}
	p, err := f.strip.prop(c)
	if err != nil {
		return err
	}
	if err := f.stepOf(w, p); err != nil {
		return wrong(c, err)
	}
	f.warn(c.ErrOrStderr(), p, w.Level)
	ctx := c.Context()
	if f.length > 0 {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, f.length)
		defer cancel()
	}
	now := time.Now()
	st := status{prop: p, began: now, said: now, json: f.json, out: c.ErrOrStderr()}
	if f.json {
		st.out = c.OutOrStdout()
	}
	err = f.own.light(ctx, p, f.how, w, st.watch)
	var bad *link.ConfigError
	if errors.As(err, &bad) {
		return wrong(c, err)
	}
	if err != nil {
		return err
	}
	return st.verdict()
}

// warn writes what is to be known of a prop before it is lit at a level.
func (f *sendFlags) warn(out io.Writer, p *prop.Prop, level float64) {
	if patch, err := prop.PatchFor(p); err == nil && patch.Moved() != "" {
		fmt.Fprintln(out, "ringout: "+patch.Moved())
	}
	if f.strip.file == "" { // no wires are known
		return
	}
	if text := thinWires(p, level); text != "" {
		fmt.Fprintln(out, "ringout: "+text)
	}
}

// thinWires warns of a level, 0 to 1, that is more in white than the wires of the prop
// carry; empty when there is nothing to warn of. The limiter knows the supply only.
func thinWires(p *prop.Prop, level float64) string {
	most, err := power.WireLevel(p)
	if err != nil || level <= most {
		return ""
	}
	return fmt.Sprintf("the wires of %s carry level %d %% of white at most: stay below, or power off and use thicker wire, as ringout plan says", p.Name, power.FloorPercent(most))
}

// stepOf refuses a step that the pattern does not have on the prop: another pixel would be
// lit than the one that was asked for.
func (f *sendFlags) stepOf(w show.Want, p *prop.Prop) error {
	pattern, _ := patterns.ByID(w.Pattern)
	n := patterns.Steps(pattern, patterns.Settings{Pixels: p.Pixels(), Channels: p.Chip.Order.Channels()})
	if !pattern.Stepped || f.step <= n {
		return nil
	}
	return fmt.Errorf("--step %d: %s has %s here: give 1 to %d", f.step, w.Pattern, words.Count(n, "step"), n)
}

// A status writes one line a second about a running show.
type status struct {
	prop  *prop.Prop
	began time.Time
	said  time.Time
	json  bool
	out   io.Writer
	last  show.Snapshot
	any   bool // at least one packet has been sent
}

// statusLine is the JSON form of a status; one a second, fields always there.
type statusLine struct {
	Seconds float64      `json:"seconds"` // since the start
	Pattern string       `json:"pattern"`
	Step    int          `json:"step"`     // from 1
	Level   float64      `json:"level"`    // percent, after the limiter
	Limited bool         `json:"limited"`  // the limiter lowers the level
	Amps    float64      `json:"amps"`     // estimated
	MaxAmps float64      `json:"max_amps"` // what the limiter allows
	Links   []statusLink `json:"links"`
}

type statusLink struct {
	Universe int     `json:"universe"`
	Host     string  `json:"host"` // "multicast" for multicast
	State    string  `json:"state"`
	Packets  uint64  `json:"packets"`
	Refused  uint64  `json:"refused"`
	Rate     float64 `json:"packets_per_second"`
	Trouble  string  `json:"trouble,omitempty"`
}

func (s *status) watch(snap show.Snapshot) {
	now := time.Now()
	if snap.Want.Pattern != "" {
		s.last = snap
	}
	for _, l := range snap.Links {
		s.any = s.any || l.Packets > 0
	}
	if now.Sub(s.said) < time.Second || len(snap.Links) == 0 {
		return
	}
	s.said = now
	if s.json {
		s.writeJSON(now)
		return
	}
	fmt.Fprintln(s.out, s.line(now))
}

func (s *status) line(now time.Time) string {
	n := s.last
	limited := ""
	if n.Limited {
		limited = " (limited)"
	}
	var rate float64
	states := map[string]bool{}
	var told []string
	for _, l := range n.Links {
		rate += l.Rate
		if text := l.Sentence(); !states[text] {
			states[text] = true
			told = append(told, text)
		}
	}
	return fmt.Sprintf("%.0f s  %s, step %d, level %s%s, about %s of %s, %.0f packets/s; %s",
		now.Sub(s.began).Seconds(), n.Want.Pattern, n.Moment.Step+1, words.Percent(n.Level), limited, words.Figure(n.Amps), words.Amps(n.MaxAmps), rate, strings.Join(told, "; "))
}

func (s *status) writeJSON(now time.Time) {
	n := s.last
	line := statusLine{Seconds: now.Sub(s.began).Seconds(), Pattern: n.Want.Pattern, Step: n.Moment.Step + 1,
		Level: 100 * n.Level, Limited: n.Limited, Amps: n.Amps, MaxAmps: n.MaxAmps, Links: []statusLink{}}
	for _, l := range n.Links {
		host := l.Target.Host
		if host == "" {
			host = "multicast"
		}
		out := statusLink{Universe: int(l.Target.Universe), Host: host, State: l.State.String(),
			Packets: l.Packets, Refused: l.Refused, Rate: l.Rate}
		if l.Err != nil {
			out.Trouble = l.Sentence()
		}
		line.Links = append(line.Links, out)
	}
	_ = json.NewEncoder(s.out).Encode(line) // exits.Output ends the command if a write fails
}

// verdict returns an error if no packet was sent.
func (s *status) verdict() error {
	if s.any {
		return nil
	}
	for _, l := range s.last.Links {
		if l.Err != nil {
			return fmt.Errorf("nothing was sent: %s", l.Sentence())
		}
	}
	return nil
}
