package pictures

import (
	"fmt"
	"slices"
	"strings"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/checkout/dialog"
	"example.org/ringout/internal/checkout/single"
	"example.org/ringout/internal/eyes"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
)

// A Proof is the result of a camera's pictures of a prop.
type Proof struct {
	Prop     *prop.Prop // nil when only a kept scene was read
	Scene    *eyes.Scene
	Result   *eyes.Result
	Built    []eyes.Stretch
	Counts   map[eyes.Verdict]int
	Session  *checkout.Session // the check-out answered from the pictures; nil without a prop
	Findings []checkout.Finding
	Along    []Along  // the light along every run; none without a prop
	Against  []string // where the table and the findings disagree, a sentence each
	Earlier  string   // a load test before the pictures that counts, or why it does not; empty for none
	Source   string   // the camera, film or folder as it was named, for the record; set by who opened it

	found  []checkout.Finding   // the result of the questions, before temper
	tested map[single.Kind]bool // tests after the pictures that were good
}

// Weigh makes the proof of a result that has a map. It compares every place with the light
// of a simulated strip that has the faults of the findings.
func Weigh(p *prop.Prop, s *eyes.Scene, r *eyes.Result) (*Proof, error) {
	out := &Proof{Prop: p, Scene: s, Result: r, Built: eyes.AsBuilt(s, r.Places), Counts: s.Counts(r.Places)}
	if p == nil {
		return out, nil
	}
	var err error
	if out.Session, err = checkout.New(p, checkout.Options{ByCamera: true}); err != nil {
		return nil, err
	}
	if err := out.answer(); err != nil {
		return nil, err
	}
	out.found = out.findings()
	out.Findings = out.found
	out.Along = out.strengths()
	err = out.compare()
	out.temper()
	return out, err
}

// findings are the engine's findings. With unread places it has fewer answers, so open
// explanations may contradict places that were read: these are left out, and no finding is
// more than likely then.
func (p *Proof) findings() []checkout.Finding {
	all := p.Session.Findings()
	if p.tested[single.Load] && len(all) > 0 {
		all[0].Untried = ""
	}
	if p.Unread() == 0 || len(all) == 0 || all[0].Sure.Firm() {
		return all
	}
	all = p.Session.FindingsWhere(func(faults []strip.Fault) bool {
		model, err := strip.New(p.Prop, faults...)
		return err == nil && len(p.differingPlaces(model)) == 0
	})
	for i := range all {
		if all[i].Sure.Firm() {
			all[i].Sure, all[i].Percent = checkout.Certainty(all[i].Share, true)
		}
	}
	return all
}

// temper withdraws the finding that nothing is wrong when a place was not read,
// the table shows something else than planned, or a test is left.
func (p *Proof) temper() {
	switch {
	case len(p.Findings) == 0 || !p.Findings[0].Good || p.Good():
		return
	case p.AllRight():
		p.Findings = []checkout.Finding{p.unproved()}
		return
	}
	f := checkout.Finding{Sure: checkout.Unsettled, Share: 1, Because: p.Findings[0].Because}
	f.Title = fmt.Sprintf("Nothing I know explains this: %s.", p.Summary())
	cause := checkout.Cause{Text: "something that no list of faults has", Remedy: "The as-built table names the places: look at them one by one."}
	switch {
	case p.Wrong() == 0 && p.reddens():
		f.Title = "Every place is as planned, but the light gets redder and dimmer on its way: the voltage falls."
		if p.Unread() > 0 {
			f.Title = fmt.Sprintf("What was read is as planned; the light gets redder and dimmer on its way: the voltage falls, and %s.", p.unreadText())
		}
		cause = checkout.Cause{Text: "a voltage that falls on its way", Remedy: "Run the load test; it measures where. A feed more, or a joint with too much resistance, is the usual reason."}
	case p.Wrong() == 0:
		where := p.unreadText()
		f.Title = fmt.Sprintf("What was read is as planned, but %s.", where)
		cause = checkout.Cause{Text: where, Remedy: "Look closer or from another side, or answer the check-out's questions there."}
	}
	f.Causes = []checkout.Cause{cause} // without faults that could be mended or taken over
	p.Findings = []checkout.Finding{f}
}

// Wrong is the number of places that were read and are not as planned.
func (p *Proof) Wrong() int {
	return len(p.Result.Places) - p.Counts[eyes.Right] - p.Counts[eyes.Nothing] - p.Unread()
}

// UnreadRuns are the runs that have a place which was not read, from 0.
func (p *Proof) UnreadRuns() []int {
	var out []int
	for _, t := range p.Built {
		if t.Verdict == eyes.Unknown && !slices.Contains(out, t.Run) {
			out = append(out, t.Run)
		}
	}
	return out
}

// mostNamed is how many stretches of places a sentence names.
const mostNamed = 4

// unreadText names the places that were not read.
func (p *Proof) unreadText() string {
	var all []string
	for _, t := range p.Built {
		if t.Verdict != eyes.Unknown {
			continue
		}
		text := fmt.Sprintf("pixels %d to %d of run %q", t.First+1, t.Last+1, p.Scene.Runs[t.Run].Name)
		if t.First == t.Last {
			text = fmt.Sprintf("pixel %d of run %q", t.First+1, p.Scene.Runs[t.Run].Name)
		}
		all = append(all, text)
	}
	verb := words.Plural(p.Unread(), "was", "were")
	if spare := len(all) - mostNamed; spare > 0 {
		return fmt.Sprintf("%d places %s not read, the first of them %s", p.Unread(), verb, all[0])
	}
	return fmt.Sprintf("%s %s not read", words.And(all), verb)
}

// Unread is the number of places whose data is not known.
func (p *Proof) Unread() int { return p.Counts[eyes.Unknown] }

// Open names what the pictures and the tests after them do not show.
func (p *Proof) Open() string {
	if p.tested[single.Flex] {
		return "Every joint was bent, and the copper is as planned."
	}
	return "All light was steady while it was watched, and the copper is as planned. A joint that gives way when it is bent does not show so: the flex test finds it."
}

func (p *Proof) allRight() bool {
	return p.Counts[eyes.Right]+p.Counts[eyes.Nothing] == len(p.Result.Places)
}

// A guess is the assumed light of a place that was not read.
type guess uint8

// The guesses. A question whose answer differs between them is not answered.
const (
	asPlanned guess = iota
	asDark
	asNeighbours // the data that continues from the places beside it
)

// answer answers the engine's questions from the pictures.
func (p *Proof) answer() error {
	for {
		if _, more := p.Session.Next(); !more {
			return nil
		}
		sent := p.Session.Sent()
		key := p.keyFor(sent, asPlanned)
		for _, g := range []guess{asDark, asNeighbours} {
			if p.Unread() > 0 && key != p.keyFor(sent, g) {
				key = checkout.NotSure
			}
		}
		if err := p.Session.Answer(key); err != nil {
			return err
		}
	}
}

// keyFor is the key of the answer by the places read, a guess for the others, and the
// unsteady places.
func (p *Proof) keyFor(sent patterns.Frame, g guess) int {
	light := p.light(sent, g)
	if p.Result.Unsteady() == 0 {
		return p.Session.KeyFor(light)
	}
	gone := p.light(sent, g)
	for i, one := range p.Result.Places {
		if run, at := p.Scene.RunOf(i); one.Unsteady > 0 {
			gone[run][at] = patterns.Colour{}
		}
	}
	return p.Session.KeyForMoving(light, gone, p.Result.Sparks)
}

// light is the light of a frame by the places read, and a guess for the others.
func (p *Proof) light(sent patterns.Frame, g guess) strip.Light {
	data := slotsOf(sent, p.Prop.Chip.Order.Channels())
	out := make(strip.Light, len(p.Scene.Runs))
	at := 0
	for r, run := range p.Scene.Runs {
		out[r] = make([]patterns.Colour, len(run.Places))
		for i := range run.Places {
			out[r][i] = p.placeLight(at, data, sent, g)
			at++
		}
	}
	return out
}

func (p *Proof) placeLight(place int, data []uint8, sent patterns.Frame, g guess) patterns.Colour {
	one := p.Result.Places[place]
	beside, known := eyes.Reading{}, false
	if one.State != eyes.Read && g == asNeighbours {
		beside, known = p.beside(place)
	}
	switch {
	case one.State == eyes.Read:
		return lit(one.Reading, data)
	case one.State == eyes.Dark || g == asDark:
	case known:
		return lit(beside, data)
	case place < len(sent):
		return sent[place]
	}
	return patterns.Colour{}
}

// lit is the light of a place with a reading, for the data.
func lit(x eyes.Reading, data []uint8) (c patterns.Colour) {
	for k, letter := range x.Order {
		if slot := x.Slot + k; slot >= 0 && slot < len(data) && letter != '.' {
			c = c.With(channelOf(letter), data[slot])
		}
	}
	return c
}

// beside is the reading that continues the data at a place, from the two nearest read
// places of its run on one side; false when there are none.
func (p *Proof) beside(place int) (eyes.Reading, bool) {
	run, at := p.Scene.RunOf(place)
	first, n := place-at, len(p.Scene.Runs[run].Places)
	for _, side := range []int{-1, 1} {
		var found []int
		for i := place + side; i >= first && i < first+n && len(found) < 2; i += side {
			if p.Result.Places[i].State == eyes.Read {
				found = append(found, i)
			}
		}
		if len(found) == 2 {
			a, b := p.Result.Places[found[0]].Reading, p.Result.Places[found[1]].Reading
			step := (a.Slot - b.Slot) / (found[0] - found[1])
			a.Slot += step * (place - found[0])
			return a, true
		}
	}
	return eyes.Reading{}, false
}

func channelOf(letter rune) patterns.Channel {
	return patterns.Channel(strings.IndexRune("RGBWC", letter))
}

// slotsOf is a frame as the octets of the data, pixel after pixel.
func slotsOf(f patterns.Frame, channels []patterns.Channel) []uint8 {
	out := make([]uint8, 0, len(f)*len(channels))
	for _, c := range f {
		for _, ch := range channels {
			out = append(out, c.Get(ch))
		}
	}
	return out
}

// compare compares every look as read with the light of a simulated strip that has the
// faults of the first finding.
func (p *Proof) compare() error {
	if len(p.Findings) == 0 {
		return nil
	}
	f := p.Findings[0]
	var faults []strip.Fault
	if len(f.Causes) > 0 {
		faults = f.Causes[0].Faults
	}
	model, err := strip.New(p.Prop, faults...)
	if err != nil {
		return err
	}
	differing := p.differingPlaces(model)
	switch {
	case len(differing) == 0:
	case f.Good:
		p.Against = append(p.Against, fmt.Sprintf("The questions find nothing wrong, but %s something else than planned: see the table.", places(differing, "shows", "show")))
	default:
		p.Against = append(p.Against, fmt.Sprintf("%q does not explain all: with that fault alone %s something else than was read. There is more wrong, or something no list has: see the table.",
			f.Title, places(differing, "would show", "would show")))
	}
	return nil
}

// differingPlaces are the places, from 1, that differ from a simulated strip.
func (p *Proof) differingPlaces(model *strip.Strip) []int {
	odd := map[int]bool{}
	channels := p.Prop.Chip.Order.Channels()
	buffers := model.Buffers()
	patch, err := prop.PatchFor(p.Prop)
	if err != nil {
		return nil
	}
	for _, look := range p.Scene.Looks {
		sent := p.Scene.Frame(nil, look, channels)
		patch.Fill(buffers, sent)
		p.differ(model.Light(buffers), p.light(sent, asPlanned), odd)
	}
	var out []int
	for place := range odd {
		out = append(out, place+1)
	}
	slices.Sort(out)
	return out
}

// differ marks the read places at which two lights differ.
func (p *Proof) differ(a, b strip.Light, odd map[int]bool) {
	at := 0
	for r := range b {
		for i := range b[r] {
			known := p.Result.Places[at].State == eyes.Read || p.Result.Places[at].State == eyes.Dark
			if known && (i >= len(a[r]) || !alike(a[r][i], b[r][i])) {
				odd[at] = true
			}
			if p.Result.Places[at].State == eyes.Stuck {
				odd[at] = true
			}
			at++
		}
	}
}

// alike reports whether two colours have the same channels lit.
func alike(a, b patterns.Colour) bool {
	for ch := range patterns.Channel(patterns.NumChannels) {
		if (a.Get(ch) > 0) != (b.Get(ch) > 0) {
			return false
		}
	}
	return true
}

// places names places, the first ones of many.
func places(all []int, one, many string) string {
	if len(all) == 1 {
		return fmt.Sprintf("place %d %s", all[0], one)
	}
	if all[len(all)-1]-all[0] == len(all)-1 {
		return fmt.Sprintf("places %d to %d %s", all[0], all[len(all)-1], many)
	}
	return fmt.Sprintf("%d places, the first of them %d, %s", len(all), all[0], many)
}

// FindingLines writes the findings as a check-out by questions does.
func (p *Proof) FindingLines(say func(format string, a ...any)) {
	dialog.WriteFindings(say, p.Findings)
}
