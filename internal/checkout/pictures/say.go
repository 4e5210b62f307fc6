package pictures

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"

	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/words"
)

// Text writes the proof in lines.
func (p *Proof) Text(w io.Writer) {
	say := func(format string, a ...any) { fmt.Fprintf(w, format+"\n", a...) }
	if unlit := p.Unlit(); unlit != "" {
		say("%s", unlit)
	} else {
		m := p.Result.Measures
		say("%.1f camera pixels between neighbours; light %.0f times the noise; %s of the spots too bright.", m.Spacing, m.Signal, words.WholePercent(m.Blown))
		say("Map: %s of the spots lie on a planned place.", words.WholePercent(m.Agree))
	}
	say("%s.", p.Summary())
	if beside := p.Beside(); beside != "" {
		say("%s", beside)
	}
	say("As built:")
	for _, t := range p.Built {
		say("  %s", p.Scene.Text(t))
	}
	p.sayAlong(say)
	if p.Findings != nil {
		say("What that comes to:")
		p.FindingLines(func(format string, a ...any) { say("  "+format, a...) })
	}
	for _, a := range p.Against {
		say("%s", a)
	}
	if p.Earlier != "" {
		say("%s", p.Earlier)
	}
	switch {
	case p.Good():
		say("Every place was read and is as planned. %s", p.Open())
	case p.AllRight():
		say("Every place was read and is as planned. %s", p.LeftWhy())
	}
	if n := p.Unread(); n > 0 {
		say("%d of %d places %s not read: this is no proof of the whole prop; come nearer to them, or run it again from another side.", n, len(p.Result.Places), words.Plural(n, "was", "were"))
	}
}

// Unlit says what pictures without light prove; empty when a place lights.
func (p *Proof) Unlit() string {
	if !p.Result.Unlit {
		return ""
	}
	return "No pixel lights in any look. " + p.UnlitDoubt()
}

// UnlitDoubt names other possible causes of such pictures; empty when a place lights.
func (p *Proof) UnlitDoubt() string {
	return "A camera that looks elsewhere gives the same pictures, as does a prop too dim: look whether the prop is in the picture and dark."
}

// Beside says that something other than a pixel changed in the picture; empty when nothing
// did.
func (p *Proof) Beside() string {
	n := p.Result.Beside
	if n == 0 {
		return ""
	}
	out := fmt.Sprintf("Something beside the prop changed in %d of %d looks: someone walks through, or a lamp is switched.", n, len(p.Scene.Looks))
	if p.Unread() == 0 {
		return out + " Every place could be read all the same."
	}
	return out + " Keep people and other light out of the picture; run it again for what was not read."
}

// sayAlong draws the light along the runs, and names those that sag.
func (p *Proof) sayAlong(say func(format string, a ...any)) {
	if len(p.Along) == 0 || p.Result.Unlit {
		return
	}
	say("Light along the runs; 1 at the middle place; a camera itself darkens towards the edges:")
	for _, a := range p.Along {
		read, planned := a.Text(40)
		say("  %s", a.Run)
		say("    %s", read)
		say("    %s", planned)
	}
	for _, s := range p.Sags() {
		say("%s", s)
	}
}

// Sags are sentences on the runs that lose clearly more light than planned.
func (p *Proof) Sags() []string {
	var out []string
	for _, a := range p.Along {
		first, last, pf, pl := a.Ends()
		switch {
		case a.Reddens():
			out = append(out, fmt.Sprintf("Along run %q the light gets redder and dimmer than planned, from %.2f to %.2f: the voltage falls there. The load test measures it.", a.Run, first, last))
		case a.Sags():
			out = append(out, fmt.Sprintf("Along run %q the light goes from %.2f to %.2f, planned is %.2f to %.2f: the voltage may fall there. The load test measures it.", a.Run, first, last, pf, pl))
		}
	}
	if all := whole(p.Along); len(p.Along) > 1 && len(out) == 0 && all.Reddens() {
		first, last, _, _ := all.Ends()
		out = append(out, fmt.Sprintf("From the first run to the last the light gets redder and dimmer than planned: from %.2f to %.2f; the voltage falls on the way. The load test measures it.", first, last))
	}
	return out
}

// reddens reports whether the colours show a fall of voltage.
func (p *Proof) reddens() bool {
	return whole(p.Along).Reddens() || slices.ContainsFunc(p.Along, Along.Reddens)
}

// Summary is the counts in a sentence.
func (p *Proof) Summary() string {
	out := fmt.Sprintf("%d places: %d as planned", len(p.Result.Places), p.Counts[eyes.Right])
	for _, v := range []eyes.Verdict{eyes.Other, eyes.Lost, eyes.NoLight, eyes.Always, eyes.Unsteady, eyes.Unknown, eyes.Nothing} {
		if n := p.Counts[v]; n > 0 {
			out += fmt.Sprintf(", %d %s", n, verdictWords[v])
		}
	}
	return out
}

var verdictWords = map[eyes.Verdict]string{
	eyes.Other: "with other data or another order", eyes.Lost: "without a colour", eyes.NoLight: "dark",
	eyes.Always: "lit though black is sent", eyes.Unsteady: "whose light comes and goes", eyes.Unknown: "unread", eyes.Nothing: "empty as planned",
}

// A jsonProof is the proof for machines.
type jsonProof struct {
	Say      string        `json:"say"` // "camera"
	Note     string        `json:"note"`
	Prop     string        `json:"prop"`
	Refusal  string        `json:"refusal,omitempty"` // why nothing was mapped
	Reason   string        `json:"refusal_kind,omitempty"`
	Mark     []int         `json:"mark_places,omitempty"` // that want to be marked, from 1
	Measures jsonMeasures  `json:"measures"`
	Unlit    string        `json:"unlit,omitempty"` // no place lit in any look, and what that is worth
	Order    string        `json:"usual_order,omitempty"`
	Places   []jsonPlace   `json:"places,omitempty"`
	Spots    []jsonSpot    `json:"spots"`
	Built    []string      `json:"as_built,omitempty"`
	Along    []jsonAlong   `json:"light_along,omitempty"`
	Sags     []string      `json:"sags,omitempty"`
	Findings []jsonFinding `json:"findings,omitempty"`
	Against  []string      `json:"disagree,omitempty"`
	Open     string        `json:"open,omitempty"`
	Beside   int           `json:"looks_disturbed_beside,omitempty"` // in which something changed that is no pixel
	Watched  bool          `json:"watched"`                          // light that comes and goes would have shown
	Right    bool          `json:"all_right"`
	Left     []single.Kind `json:"tests_left,omitempty"`   // before it is signed off
	Earlier  string        `json:"earlier_test,omitempty"` // whether a load test in the record counts
	Good     bool          `json:"good"`                   // it is signed off
}

type jsonMeasures struct {
	Spacing float64 `json:"spacing_px"`
	Blown   float64 `json:"blown"`
	Signal  float64 `json:"signal_to_noise"`
	Still   float64 `json:"still"`
	Agree   float64 `json:"agree"`
	OffMark float64 `json:"off_mark"`
}

type jsonPlace struct {
	Place    int        `json:"place"`
	Run      string     `json:"run"`
	X        *float64   `json:"x"` // null where no place is known in the picture
	Y        *float64   `json:"y"`
	State    eyes.State `json:"state"`
	Verdict  string     `json:"verdict"`
	Slot     *int       `json:"slot"`
	Pixel    int        `json:"data_index,omitempty"`
	Chip     int        `json:"slots_per_pixel,omitempty"`
	Order    string     `json:"order,omitempty"`
	Strength []float64  `json:"strength_rgbw,omitempty"`
	Flickers bool       `json:"flickers,omitempty"`       // some looks do not fit its word
	Unsteady int        `json:"unsteady_looks,omitempty"` // looks in which its light came and went
}

type jsonSpot struct {
	X     float64 `json:"x"`
	Y     float64 `json:"y"`
	Slot  *int    `json:"slot"`
	Order string  `json:"order,omitempty"`
	Sure  bool    `json:"sure"`
}

type jsonAlong struct {
	Run     string     `json:"run"`
	Read    []*float64 `json:"read"` // 1 at the middle place of the prop; null where nothing was read
	Planned []float64  `json:"planned"`
}

type jsonFinding struct {
	Title     string   `json:"title"`
	Certainty string   `json:"certainty"`
	Good      bool     `json:"good"`
	Causes    []string `json:"causes,omitempty"`
}

const jsonNote = "place and data_index count from 1, slot is the 0-based octet of the data that arrives first, null where that is not known; x, y are camera pixels"

// JSON writes the proof as one line.
func (p *Proof) JSON(w io.Writer) error {
	out := header(p.Scene, p.Result)
	names := runNames(p.Scene)
	for i, one := range p.Result.Places {
		out.Places = append(out.Places, p.place(i, names[i], one))
	}
	for _, t := range p.Built {
		out.Built = append(out.Built, p.Scene.Text(t))
	}
	for _, f := range p.Findings {
		one := jsonFinding{Title: f.Title, Certainty: f.Certainty(), Good: f.Good}
		for _, c := range f.Causes {
			one.Causes = append(one.Causes, c.Text)
		}
		out.Findings = append(out.Findings, one)
	}
	for _, a := range p.Along {
		one := jsonAlong{Run: a.Run}
		for i, v := range a.Read {
			one.Planned = append(one.Planned, round(a.Planned[i]))
			if v = round(v); math.IsNaN(a.Read[i]) {
				one.Read = append(one.Read, nil)
			} else {
				one.Read = append(one.Read, &v)
			}
		}
		out.Along = append(out.Along, one)
	}
	out.Sags, out.Unlit, out.Earlier = p.Sags(), p.Unlit(), p.Earlier
	out.Beside = p.Result.Beside
	out.Against, out.Good, out.Watched, out.Right, out.Left = p.Against, p.Good(), p.Result.Watched, p.AllRight(), p.Left()
	if out.Good {
		out.Open = p.Open()
	}
	return json.NewEncoder(w).Encode(out)
}

// RefusalJSON writes what is known without a map. wanted are the places, from 0,
// that want to be marked.
func RefusalJSON(w io.Writer, s *eyes.Scene, r *eyes.Result, wanted []int) error {
	out := header(s, r)
	for _, i := range wanted {
		out.Mark = append(out.Mark, i+1)
	}
	return json.NewEncoder(w).Encode(out)
}

func header(s *eyes.Scene, r *eyes.Result) jsonProof {
	m := r.Measures
	out := jsonProof{Say: "camera", Note: jsonNote, Prop: s.Prop, Order: r.Usual, Spots: []jsonSpot{},
		Measures: jsonMeasures{m.Spacing, m.Blown, m.Signal, m.Still, m.Agree, m.OffMark}}
	if r.Refusal != nil {
		out.Refusal, out.Reason = r.Refusal.Text, string(r.Refusal.Kind)
	}
	for _, one := range r.Spots {
		spot := jsonSpot{X: round(one.At.X), Y: round(one.At.Y), Sure: one.Reading.Sure}
		if spot.Sure {
			slot := one.Reading.Slot
			spot.Slot, spot.Order = &slot, one.Reading.Order
		}
		out.Spots = append(out.Spots, spot)
	}
	return out
}

func (p *Proof) place(i int, run string, one eyes.Place) jsonPlace {
	out := jsonPlace{Place: i + 1, Run: run, State: one.State, Verdict: string(p.Scene.Verdict(i, one)), Unsteady: one.Unsteady}
	if x, y := round(one.At.X), round(one.At.Y); !p.Result.Unlit {
		out.X, out.Y = &x, &y
	}
	if one.State != eyes.Read {
		return out
	}
	x := one.Reading
	out.Slot, out.Pixel, out.Chip, out.Order, out.Flickers = &x.Slot, x.Slot/p.Scene.Slots+1, x.Chip, x.Order, x.Left > 0
	for _, v := range x.Strength {
		out.Strength = append(out.Strength, round(v))
	}
	return out
}

func round(v float64) float64 { return float64(int(v*100+0.5)) / 100 }

func runNames(s *eyes.Scene) []string {
	var out []string
	for _, r := range s.Runs {
		for range r.Places {
			out = append(out, r.Name)
		}
	}
	return out
}
