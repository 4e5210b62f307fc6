package dialog

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
	"example.org/ringout/patterns"
)

// The JSON lines. Each message is one line; what its fields mean is in
// internal/cli/pages/json-lines.md.
type (
	// Begin is the first line out.
	Begin struct {
		Say     string         `json:"say"` // "begin"
		Version int            `json:"version"`
		Prop    string         `json:"prop"`
		Chip    string         `json:"chip"`
		Order   string         `json:"order"`
		First   uint16         `json:"universe"` // of the first pixel
		Slot    int            `json:"slot"`     // of the first pixel, from 1
		Packing string         `json:"packing"`
		Runs    []BeginRun     `json:"runs"`            // in wiring order
		Empty   []BeginEmpty   `json:"empty,omitempty"` // pixels that are sent nothing and not looked at
		Hues    map[string]Hue `json:"hues"`            // the colours that probes send, at full
	}
	BeginRun struct {
		Name   string `json:"name"`
		Pixels int    `json:"pixels"`
	}
	// BeginEmpty is a row of pixels, from 0 in data order, both included.
	BeginEmpty struct {
		First int `json:"first"`
		Last  int `json:"last"`
	}
	// Hue is a colour by channels, 0 to 255.
	Hue struct {
		R uint8 `json:"r"`
		G uint8 `json:"g"`
		B uint8 `json:"b"`
		W uint8 `json:"w"`
		C uint8 `json:"c"`
	}
	// Question is a probe.
	Question struct {
		Say      string        `json:"say"` // "probe"
		ID       int           `json:"id"`
		Probe    checkout.Spec `json:"probe"`
		Question string        `json:"question"`
		Hint     string        `json:"hint,omitempty"`
		Answers  []Choice      `json:"answers"`
		Why      string        `json:"why,omitempty"`
		Seconds  float64       `json:"seconds"`
	}
	Choice struct {
		Key   int    `json:"key"`
		Press string `json:"press"` // what a person presses on the screen and in plain lines
		Sees  string `json:"sees"`
		Text  string `json:"text"`
	}
	// Lit says that the light of a probe has left for the prop.
	Lit struct {
		Say   string  `json:"say"` // "lit"
		ID    int     `json:"id"`
		Level float64 `json:"level"` // in force, after the limiter
	}
	// Remark is "refused" when the last line could not be used, and the probe
	// is still open; "mind" when it was, but something else is wrong; "wait" while
	// something takes long.
	Remark struct {
		Say  string `json:"say"`
		Text string `json:"text"`
	}
	// Done is the last line out.
	Done struct {
		Say      string    `json:"say"` // "end"
		Left     bool      `json:"left"`
		Stopped  string    `json:"stopped,omitempty"`
		Absent   bool      `json:"absent,omitempty"` // the prop is not there: stopped says why
		Answered int       `json:"answered"`
		Findings []Finding `json:"findings"`
	}
	Finding struct {
		Good    bool     `json:"good"`
		Title   string   `json:"title"`
		Sure    string   `json:"sure"`
		Percent int      `json:"percent"` // 1 to 99
		Causes  []Cause  `json:"causes"`
		Because []string `json:"because"`
		Rivals  []string `json:"rivals,omitempty"`
		Against []string `json:"against,omitempty"`
		Untried string   `json:"untried,omitempty"` // of a sound prop: what no look shows, and what tries it
		Unknown *Unknown `json:"unknown,omitempty"`
	}
	// Unknown is what can be said where nothing known explains the answers.
	Unknown struct {
		Closest Cause    `json:"closest"` // what fits most
		Against []string `json:"against"` // the answers that do not fit it
		First   int      `json:"first"`   // pixels to look at one by one, from 0 in data order
		Last    int      `json:"last"`
		Next    string   `json:"next"`
	}
	Cause struct {
		Faults []string `json:"faults"` // as "ringout strip --fault" takes them
		Text   string   `json:"text"`
		Where  string   `json:"where,omitempty"`
		Remedy string   `json:"remedy,omitempty"`
	}
	// Reply is a line in; one of its fields is set, ID beside them or not.
	Reply struct {
		ID     *int       `json:"id,omitempty"`     // of the probe that is meant
		Answer *int       `json:"answer,omitempty"` // a key; 0 is not sure
		Sees   *string    `json:"sees,omitempty"`   // a token instead of a key
		Change *NewAnswer `json:"change,omitempty"`
		Undo   bool       `json:"undo,omitempty"`
		Leave  bool       `json:"leave,omitempty"`
	}
	NewAnswer struct {
		ID  *int `json:"id"`
		Key *int `json:"key"`
	}
)

// jsonVersion changes when a line's meaning does.
const jsonVersion = 2

// hues are the colours that probes may send.
var hues = []checkout.Hue{checkout.HueDark, checkout.HueRed, checkout.HueGreen, checkout.HueYellow, checkout.HueBlue,
	checkout.HueMagenta, checkout.HueCyan, checkout.HueWhite, checkout.HueWarm, checkout.HueCool}

// JSON runs a check-out in JSON lines until the check-out is done or left.
func (b Bench) JSON(s *checkout.Session) (End, error) {
	d := &machine{Bench: b, s: s, lines: newLines(b.In), enc: json.NewEncoder(b.Out)}
	d.enc.SetEscapeHTML(false)
	if err := d.enc.Encode(d.begin()); err != nil {
		return End{Left: true}, err
	}
	end, err := d.ask()
	if err == nil || Gone(err) {
		d.settle()
		if absent := d.present(s); absent != nil {
			err = absent
		}
	}
	if gone := (*AbsentError)(nil); err != nil && !Gone(err) && !errors.As(err, &gone) {
		return end, err
	}
	if werr := d.enc.Encode(d.done(end)); werr != nil {
		return end, werr
	}
	return end, err
}

type machine struct {
	Bench
	s     *checkout.Session
	lines *lines
	enc   *json.Encoder
}

func (d *machine) begin() Begin {
	out := Begin{Say: "begin", Version: jsonVersion, Prop: d.Prop.Name, Order: string(d.Prop.Chip.Order), Hues: map[string]Hue{},
		Chip: d.Prop.Chip.Name, First: d.Prop.Address.Universe, Slot: d.Prop.Address.Slot + 1, Packing: string(cmp.Or(d.Prop.Address.Packing, prop.Whole))}
	for _, r := range d.Prop.Runs {
		out.Runs = append(out.Runs, BeginRun{r.Name, r.Pixels})
	}
	for _, t := range d.Prop.Parts {
		if t.Empty {
			out.Empty = append(out.Empty, BeginEmpty{t.First, t.Last})
		}
	}
	for _, h := range hues {
		out.Hues[string(h)] = hueOf(h.Colour())
	}
	return out
}

func hueOf(c patterns.Colour) Hue { return Hue{c.R, c.G, c.B, c.W, c.C} }

// ask asks one probe after another.
func (d *machine) ask() (End, error) {
	for {
		var p checkout.Probe
		var more bool
		d.wait(func() { p, more = d.s.Next() }, func() { _ = d.enc.Encode(Remark{"wait", working}) })
		if !more {
			return End{}, nil
		}
		if err := d.shown(p); err != nil {
			return End{Left: true}, err
		}
		if left, err := d.answer(p); left || err != nil {
			return End{Left: true}, err
		}
	}
}

// shown lights a probe, and writes it once its light has been sent.
func (d *machine) shown(p checkout.Probe) (err error) {
	d.wait(func() { err = d.light(p.Show, p.Level, false) },
		func() { _ = d.enc.Encode(Remark{"wait", holds}) })
	if err == nil {
		err = d.present(d.s)
	}
	if err == nil {
		err = d.enc.Encode(d.question(p))
	}
	if err == nil {
		err = d.enc.Encode(Lit{"lit", p.ID, d.level(p.Level)})
	}
	return err
}

// answer reads lines until another probe is due, or the end.
func (d *machine) answer(p checkout.Probe) (left bool, err error) {
	for {
		text, err := d.lines.next()
		long := errors.Is(err, longError{})
		if err != nil && !long {
			return true, err
		}
		if text == "" && !long {
			continue
		}
		if err := d.present(d.s); err != nil {
			return true, err
		}
		if !long {
			left, err = d.take(p, text)
		}
		switch {
		case left && err == nil:
			return true, nil
		case err != nil:
			if err := d.remark("refused", err); err != nil {
				return true, err
			}
			continue
		}
		if err := d.keep(); err != nil {
			return false, d.remark("mind", fmt.Errorf("the answers so far could not be kept: %w", err))
		}
		return false, nil
	}
}

func (d *machine) remark(say string, err error) error {
	return d.enc.Encode(Remark{say, words.Sentence(err.Error())})
}

func (d *machine) question(p checkout.Probe) Question {
	q := Question{Say: "probe", ID: p.ID, Probe: p.Spec, Question: p.Question, Hint: p.Hint, Why: p.Why, Seconds: p.Seconds}
	for _, a := range p.Answers {
		q.Answers = append(q.Answers, Choice{a.Key, a.Press, a.Sees.String(), a.Text})
	}
	return q
}

// read reads a line in. Just one of its fields but id must be set.
func read(text string) (r Reply, err error) {
	dec := json.NewDecoder(strings.NewReader(text))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&r); err != nil || dec.More() {
		return r, fmt.Errorf("%q is no JSON object with one of answer, sees, change, undo and leave: write such as {\"answer\":1}", short(text))
	}
	if name := misnamed([]byte(text)); name != "" {
		return r, fmt.Errorf("the field %q stands twice or has capitals: write such as {\"answer\":1}", short(name))
	}
	if c := r.Change; c != nil && (c.ID == nil || c.Key == nil) {
		return r, errors.New(`change wants a question and a key: write such as {"change":{"id":3,"key":1}}`)
	}
	set := 0
	for _, is := range []bool{r.Answer != nil, r.Sees != nil, r.Change != nil, r.Undo, r.Leave} {
		if is {
			set++
		}
	}
	if set != 1 {
		return r, fmt.Errorf("the line sets %d of answer, sees, change, undo and leave: set one", set)
	}
	return r, nil
}

// misnamed is a field of a valid line that occurs twice, or whose name has capitals, which
// the decoder accepts; empty when there is none.
func misnamed(object []byte) string {
	dec, seen := json.NewDecoder(bytes.NewReader(object)), map[string]bool{}
	if _, err := dec.Token(); err != nil { // the opening brace
		return ""
	}
	for dec.More() {
		t, err := dec.Token()
		name, _ := t.(string)
		if err != nil || seen[name] || name != strings.ToLower(name) {
			return name
		}
		seen[name] = true
		var value json.RawMessage
		if err := dec.Decode(&value); err != nil {
			return name
		}
		if name == "change" {
			if in := misnamed(value); in != "" {
				return in
			}
		}
	}
	return ""
}

// take acts on a line in.
func (d *machine) take(p checkout.Probe, text string) (left bool, err error) {
	r, err := read(text)
	switch {
	case err != nil:
		return false, err
	case r.ID != nil && *r.ID != p.ID:
		return false, fmt.Errorf("the line is for probe %d, and probe %d waits", *r.ID, p.ID)
	case r.Leave:
		return true, nil
	case r.Undo && !d.s.Undo():
		return false, errors.New("there is no answer to take away")
	case r.Change != nil:
		return false, d.s.Change(*r.Change.ID, *r.Change.Key)
	case r.Answer != nil:
		return false, d.s.Answer(*r.Answer)
	case r.Sees != nil:
		return false, d.sees(p, *r.Sees)
	}
	return false, nil
}

// sees answers by token. One that is not offered means "something else", or "not sure"
// where that is not offered either.
func (d *machine) sees(p checkout.Probe, text string) error {
	t, err := checkout.ParseToken(text)
	if err != nil {
		return err
	}
	key := checkout.NotSure
	for _, a := range p.Answers {
		if a.Sees == t {
			return d.s.Answer(a.Key)
		}
		if a.Sees == checkout.SeesElse {
			key = a.Key
		}
	}
	return d.s.Answer(key)
}

func (d *machine) done(end End) Done {
	out := Done{Say: "end", Left: end.Left, Stopped: d.s.Stopped(), Answered: d.s.Answered(), Findings: []Finding{}}
	if why, remedy := d.s.Network().Advice(); why != "" {
		out.Absent, out.Stopped = true, why+" "+remedy
		return out
	}
	if out.Answered == 0 {
		return out // before any answer there are only priors
	}
	for _, f := range d.s.Findings() {
		g := Finding{Good: f.Good, Title: f.Title, Sure: string(f.Sure), Percent: f.Percent, Causes: []Cause{}, Because: append([]string{}, f.Because...), Rivals: f.Rivals, Against: f.Against, Untried: f.Untried}
		for _, c := range f.Causes {
			g.Causes = append(g.Causes, causeOf(c))
		}
		if u := f.Unknown; u != nil {
			g.Unknown = &Unknown{causeOf(u.Closest), append([]string{}, u.Against...), u.Walk.First, u.Walk.Last, u.Next}
		}
		out.Findings = append(out.Findings, g)
	}
	return out
}

func causeOf(c checkout.Cause) Cause {
	out := Cause{Faults: []string{}, Text: c.Text, Where: c.Where, Remedy: c.Remedy}
	for _, ft := range c.Faults {
		out.Faults = append(out.Faults, ft.String())
	}
	return out
}
