package checkout

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/words"
)

// Options are what the builder may choose before a check-out.
type Options struct {
	Enough float64 // posterior at which one explanation stands well above the rest; 0 means 0.97
	Most   int     // answers after which to stop in any case; 0 means 40

	Without []strip.Kind // kinds of faults left out of the list; for tests of unknown faults
}

// A Session is one check-out under way. It is not safe for use by several
// goroutines at once.
type Session struct {
	field   *field
	opts    Options
	steps   []step
	seen    []*predictions // of each step, what hypotheses show in it
	belief  belief
	used    map[string]bool
	now     *posterior
	next    *choice
	stopped string // why no further probe is asked; empty while under way
	pending bool   // next and stopped must be worked out
	paired  int    // answers when pairs were last looked for
	covered pairProgress
	cut     bool             // the last search for pairs that fit was cut short
	tried   map[uint64]uint8 // pairs of hypotheses, and the misses that were allowed
	network Network
	pair    bool // the next probe is asked only to rule pairs of faults out
}

// A step is one probe that was asked and answered.
type step struct {
	spec      Spec
	answers   []Token
	given     int // index in answers; -1 for not sure
	pair      bool
	overruled bool // a later answer to the same question counts instead
}

// New begins a check-out of a prop.
func New(p *prop.Prop, opts Options) (*Session, error) {
	f, err := newField(p, opts.Without)
	if err != nil {
		return nil, err
	}
	if opts.Enough <= 0 || opts.Enough >= 1 {
		opts.Enough = 0.97
	}
	if opts.Most <= 0 {
		opts.Most = 40
	}
	return (&Session{field: f, opts: opts}).fresh(), nil
}

// fresh is the session with nothing answered.
func (s *Session) fresh() *Session {
	s.steps, s.seen, s.belief, s.used, s.pending = nil, nil, s.field.newBelief(), map[string]bool{}, true
	s.paired, s.now, s.cut = 0, nil, false
	s.forgetPairs()
	s.network.lean(&s.belief, s.field)
	return s
}

// Clone is an independent copy; what does not change is shared.
func (s *Session) Clone() *Session {
	c := *s
	c.steps, c.seen = slices.Clone(s.steps), make([]*predictions, len(s.steps))
	c.belief = s.belief.clone()
	c.used, c.tried, c.covered.by = maps.Clone(s.used), maps.Clone(s.tried), maps.Clone(s.covered.by)
	return &c
}

// shown is what hypotheses show in the probe of a step.
func (s *Session) shown(k int) *predictions {
	if s.seen[k] == nil {
		s.seen[k] = &predictions{}
	}
	return s.seen[k]
}

// Answered is the number of probes answered so far.
func (s *Session) Answered() int { return len(s.steps) }

// Done reports whether the check-out has ended.
func (s *Session) Done() bool {
	s.settle()
	return s.stopped != ""
}

// Stopped says in words why it ended; empty while under way.
func (s *Session) Stopped() string {
	s.settle()
	return s.stopped
}

// littleBits is the least expected information of a probe, bits.
const littleBits = 0.01

// nearly is the posterior from which on pairs of faults that might be taken
// for the likeliest explanation are ruled out, along with what else is open.
const nearly = 0.8

// unknownAt is the posterior of a fault outside the list from which further
// questions are useless.
const unknownAt = 0.9

// unknownAfter is the least number of answers before that verdict.
const unknownAfter = 6

// unknownEnds is how many answers are asked for at most while nothing that is
// known fits them all, and none of the list is likelier than any of it.
const unknownEnds = 12

// unknownMore is how many more are asked for while two faults at once fit.
const unknownMore = 8

// settle works out what to ask next or why to stop.
func (s *Session) settle() {
	if !s.pending {
		return
	}
	s.pending, s.next, s.stopped, s.pair = false, nil, "", false
	s.now = s.belief.posterior()
	if why, absent := s.network.Absent(); absent {
		s.stopped = why
		return
	}
	if len(s.steps) >= s.opts.Most {
		s.stopped = words.Count(len(s.steps), "answer") + " did not settle it"
		return
	}
	s.next = s.slip()
	if s.considerPairs(s.now) { // also before a question is asked once more: what leads now may not later
		s.now = s.belief.posterior()
	}
	if s.next == nil {
		s.weighUp()
	}
}

// slip is a question to be asked once more: when nothing known fits all
// answers, or when what is about to stand contradicts one.
func (s *Session) slip() *choice {
	if p := s.now; len(s.steps) > 1 && (!s.belief.fits(p) || p.share >= s.opts.Enough || p.unknown > p.share) {
		return s.again(p.top)
	}
	return nil
}

// weighUp finds the next probe, or why there is none.
func (s *Session) weighUp() {
	p := s.now
	settled := p.share >= s.opts.Enough
	w, tie := p.each, false
	if p.share >= nearly {
		w, tie = s.ruleOut(p, settled)
	}
	if s.lost(p) {
		s.stopped = "nothing that is known explains the answers"
		return
	}
	if !settled || tie {
		s.next = s.choose(p.ofKnown(w), p.top, tie)
	}
	if s.next != nil && s.next.bits < littleBits {
		s.next = nil
	}
	if s.next == nil && settled {
		s.next = s.unasked(p.top)
	}
	if s.next == nil && p.share > confirmAt*(1-p.unknown) {
		if s.next = s.confirm(p); s.next == nil {
			s.next = s.onceMore(p.top)
		}
	}
	switch {
	case s.next != nil:
	case settled:
		s.stopped = "one explanation stands well above the rest"
	default:
		s.stopped = "no further look could tell the rest apart"
	}
}

// lost reports whether further questions are useless: the fault is not in the
// list.
func (s *Session) lost(p *posterior) bool {
	n := len(s.steps)
	switch {
	case refuted(s.steps) >= mostRefuted:
		return true
	case p.unknown <= p.share || n < unknownAfter:
		return false
	case s.belief.anyFits(p):
		return n >= unknownEnds+unknownMore
	}
	return p.unknown >= unknownAt || n >= unknownEnds
}

// confirmAt is the posterior from which on an explanation is worth a confirming
// look.
const confirmAt = 0.3

// ruleOut turns the weights so that the next probe tells the likeliest from
// those that fit the answers as well. Once it is settled, that is all that is
// still asked, if there are any.
func (s *Session) ruleOut(p *posterior, settled bool) ([]float64, bool) {
	odds, singles, couples := s.belief.tieBreak(p)
	couples = couples && s.pairSteps() < mostPairSteps
	s.pair = couples && !singles && settled
	switch {
	case !singles && !couples:
		return p.each, false
	case settled:
		return odds, true
	}
	for i := range odds {
		odds[i] = (odds[i] + p.each[i]) / 2
	}
	return odds, false
}

// mostPairSteps is how many answers are asked for only to rule pairs out.
const mostPairSteps = 1

func (s *Session) pairSteps() int {
	n := 0
	for i := range s.steps {
		if s.steps[i].pair {
			n++
		}
	}
	return n
}

// unasked is a probe no prop is signed off without, if one is left: every colour
// evenly, the wiring, whether it holds when it is bent, and the far end. What
// the list of faults lacks must show in one of them.
func (s *Session) unasked(top int) *choice {
	if !s.belief.hyps[top].sound() {
		return nil
	}
	p := &proposer{f: s.field}
	for _, spec := range p.plain() {
		if s.used[spec.key()] {
			continue
		}
		answers := questions[spec.Kind].answers
		if answers == nil {
			answers = s.field.confirmAnswers() // run by run
		}
		return &choice{spec: spec, answers: answers, why: "no prop is signed off without this look"}
	}
	return nil
}

// Next is the probe to show now; false when the check-out is done.
func (s *Session) Next() (Probe, bool) {
	s.settle()
	if s.next == nil {
		return Probe{}, false
	}
	return s.field.probe(len(s.steps)+1, s.next), true
}

// Answer takes the key of the answer to the probe Next gave: 1 and up, or
// NotSure. It refuses a key that was not offered, and nothing is lost by it.
func (s *Session) Answer(key int) error {
	s.settle()
	if s.next == nil {
		return fmt.Errorf("the check-out is done: there is no question to answer")
	}
	if key < 0 || key > len(s.next.answers) {
		return fmt.Errorf("there is no answer %d: give 1 to %d, or 0 for not sure", key, len(s.next.answers))
	}
	s.take(step{spec: *s.next.spec, answers: s.next.answers, given: key - 1, pair: s.pair})
	return nil
}

// take adds a step and weighs the hypotheses by it.
func (s *Session) take(st step) {
	s.used[st.spec.key()] = true
	s.steps, s.seen = append(s.steps, st), append(s.seen, nil)
	s.weighAll()
	s.overrule()
	s.seen[max(0, len(s.seen)-1-keptShown)] = nil
	s.pending = true
}

// keptShown is how many of the last probes are kept with what all hypotheses
// show in them.
const keptShown = 3

// weighAll weighs what has not been weighed.
func (s *Session) weighAll() {
	all := make([]*predictions, len(s.steps))
	for k := range all {
		all[k] = s.shown(k)
	}
	s.belief.unknown = math.Log(priorUnknown / 100.0)
	for k := range s.steps {
		s.belief.weighUnknown(s.steps, k)
	}
	s.belief.catchUp(s.field, s.steps, all)
}

// Undo takes the last answer back. It reports false when there is none.
func (s *Session) Undo() bool {
	if len(s.steps) == 0 {
		return false
	}
	s.replay(s.steps[:len(s.steps)-1])
	return true
}

// Change gives another answer to probe number id, counted from 1. Answers
// given after it still count: they say what was seen.
func (s *Session) Change(id, key int) error {
	switch {
	case len(s.steps) == 0:
		return fmt.Errorf("no question was answered yet: there is no answer to change")
	case id < 1 || id > len(s.steps):
		return fmt.Errorf("question %d was not answered: give one of 1 to %d", id, len(s.steps))
	}
	if n := len(s.steps[id-1].answers); key < 0 || key > n {
		return fmt.Errorf("question %d has no answer %d: give 1 to %d, or 0 for not sure", id, key, n)
	}
	steps := slices.Clone(s.steps)
	steps[id-1].given = key - 1
	s.replay(steps)
	return nil
}

// replay weighs these steps from the start.
func (s *Session) replay(steps []step) {
	s.fresh()
	for _, st := range steps {
		st.overruled = false
		if p := s.belief.posterior(); len(s.steps) > 0 {
			s.now = p
			s.considerPairs(p)
		}
		s.take(st)
	}
}
