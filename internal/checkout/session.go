package checkout

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/words"
)

// Options are the settings of a check-out.
type Options struct {
	Enough float64 // posterior at which an explanation is settled; 0 means 0.97
	Most   int     // largest number of answers; 0 means 40

	Without []strip.Kind // kinds of faults left out of the list; for tests of unknown faults

	// A camera answers, and tests after it stand in for the looks that it cannot take: those keep no prop from being signed off.
	ByCamera bool
}

// A Session is one check-out under way. It is not safe for use by several
// goroutines at once.
type Session struct {
	field           *field
	opts            Options
	steps           []step
	seen            []*predictions // of each step; nil when not worked out or dropped
	belief          belief
	used            map[string]bool
	now             *posterior
	next            *choice
	stopped         string // why no further probe is asked; empty while under way
	pending         bool   // next and stopped must be worked out
	pairsSearchedAt int    // number of answers when pairs were last searched
	covered         pairProgress
	searchCut       bool             // the last search for pairs that fit was cut short
	tried           map[uint64]uint8 // by pair of hypotheses: contradictions allowed when it was tried
	network         Network
	pair            bool    // the next probe is asked only to rule pairs of faults out
	second          *choice // the second look to ask for; nil when not worked out
}

// A step is one probe with the answer given.
type step struct {
	spec      Spec
	answers   []Token
	given     int // index in answers; -1 for not sure
	pair      bool
	overruled bool // a later answer to the same question counts instead
}

// New begins a check-out of a prop. It refuses a prop that cannot be simulated.
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
	return (&Session{field: f, opts: opts}).reset(), nil
}

// reset drops all answers and returns the session.
func (s *Session) reset() *Session {
	s.steps, s.seen, s.belief, s.used, s.pending = nil, nil, s.field.newBelief(), map[string]bool{}, true
	s.pairsSearchedAt, s.now, s.searchCut, s.second = 0, nil, false, nil
	s.forgetPairs()
	s.network.raise(&s.belief, s.field)
	return s
}

// Clone is an independent copy; both share the field, which does not change.
func (s *Session) Clone() *Session {
	c := *s
	c.steps, c.seen = slices.Clone(s.steps), make([]*predictions, len(s.steps))
	c.belief = s.belief.clone()
	c.used, c.tried, c.covered.by = maps.Clone(s.used), maps.Clone(s.tried), maps.Clone(s.covered.by)
	return &c
}

// predictionsOf are the predicted answers to the probe of step k.
func (s *Session) predictionsOf(k int) *predictions {
	if s.seen[k] == nil {
		s.seen[k] = &predictions{}
	}
	return s.seen[k]
}

// Answered is the number of probes answered so far.
func (s *Session) Answered() int { return len(s.steps) }

// Done reports whether the check-out has ended.
func (s *Session) Done() bool {
	s.decide()
	return s.stopped != ""
}

// Stopped is the reason why the check-out ended; empty while under way.
func (s *Session) Stopped() string {
	s.decide()
	return s.stopped
}

// leastBits is the least expected information of a probe that is asked, in bits.
const leastBits = 0.01

// ruleOutAt is the posterior of the likeliest explanation from which pairs of
// faults are searched, and its rivals get more weight, see ruleOut.
const ruleOutAt = 0.8

// unknownAt is the posterior of a fault outside the list from which further
// questions are useless.
const unknownAt = 0.9

// unknownLeast is the least number of answers before unknownAt counts.
const unknownLeast = 6

// unknownMost is the number of answers after which the check-out stops when no
// listed hypothesis fits them all and an unlisted fault is likeliest.
const unknownMost = 12

// unknownPairs is the number of further answers while a listed hypothesis, such
// as a pair, still fits.
const unknownPairs = 8

// decide finds the next probe or the reason to stop, once after each change.
func (s *Session) decide() {
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
	s.next = s.questionToRepeat()
	if s.considerPairs(s.now) { // also before a repeated question: a pair may become the likeliest
		s.now = s.belief.posterior()
	}
	if s.next == nil {
		s.chooseNext()
	}
}

// questionToRepeat is a question to be asked once more, when no listed
// hypothesis fits all answers or an answer contradicts the one about to be
// accepted; else nil.
func (s *Session) questionToRepeat() *choice {
	if p := s.now; len(s.steps) > 1 && (!s.belief.fits(p) || p.share >= s.opts.Enough || p.unknown > p.share) {
		return s.contradictedQuestion(p.top)
	}
	return nil
}

// chooseNext finds the next probe, or the reason to stop.
func (s *Session) chooseNext() {
	p := s.now
	settled := p.share >= s.opts.Enough
	w, tie := p.each, false
	if p.share >= ruleOutAt {
		w, tie = s.ruleOut(p, settled)
	}
	if s.noneExplains(p) {
		s.stopped = "nothing that is known explains the answers"
		return
	}
	if !settled || tie {
		s.next = s.choose(p.givenKnown(w), p.top, tie)
	}
	if s.next != nil && s.next.bits < leastBits {
		s.next = nil
	}
	if s.next == nil && settled {
		s.next = s.signOffLook(p.top)
	}
	if s.next == nil && p.share > confirmAt*(1-p.unknown) {
		s.next = cmp.Or(s.confirm(p), s.staysLook(p), s.repeatedYes(p.top), s.openLook(p.top), s.steadyLook(p.top))
	}
	switch {
	case s.next != nil:
	case settled:
		s.stopped = "one explanation stands well above the rest"
	default:
		s.stopped = "no further look could tell the rest apart"
	}
}

// noneExplains reports whether to stop because the fault is not in the list.
func (s *Session) noneExplains(p *posterior) bool {
	n := len(s.steps)
	switch {
	case refuted(s.steps) >= mostRefuted:
		return true
	case p.unknown <= p.share || n < unknownLeast:
		return false
	case s.belief.anyFits(p):
		return n >= unknownMost+unknownPairs
	}
	return p.unknown >= unknownAt || n >= unknownMost
}

// confirmAt is the posterior, among the listed hypotheses, from which an
// explanation gets a confirming look.
const confirmAt = 0.3

// ruleOut returns weights with which the next probe separates the likeliest
// explanation from its rivals that fit as well, and whether only that counts:
// the tie-break of a settled explanation. Before that, it averages the weights of
// the tie-break with the posterior.
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

// mostPairSteps is the largest number of probes asked only to rule pairs out.
const mostPairSteps = 1

// pairSteps is the number of such probes so far.
func (s *Session) pairSteps() int {
	n := 0
	for i := range s.steps {
		if s.steps[i].pair {
			n++
		}
	}
	return n
}

// Next is the next probe; false when the check-out is done.
func (s *Session) Next() (Probe, bool) {
	s.decide()
	if s.next == nil {
		return Probe{}, false
	}
	return s.field.probe(len(s.steps)+1, s.next), true
}

// Answer records the answer to the probe that Next returned, by its key: 1 and
// up, or NotSure. A key that was not offered is an error and changes nothing.
func (s *Session) Answer(key int) error {
	s.decide()
	if s.next == nil {
		return fmt.Errorf("the check-out is done: there is no question to answer")
	}
	if key < 0 || key > len(s.next.answers) {
		return fmt.Errorf("there is no answer %d: give 1 to %d, or 0 for not sure", key, len(s.next.answers))
	}
	s.take(step{spec: *s.next.spec, answers: s.next.answers, given: key - 1, pair: s.pair})
	return nil
}

// take appends a step and weighs the hypotheses by it.
func (s *Session) take(st step) {
	s.used[st.spec.key()] = true
	s.steps, s.seen = append(s.steps, st), append(s.seen, nil)
	s.weighAll()
	s.overrule()
	s.dropPredictions()
	s.pending, s.second = true, nil
}

// keptPredictions is the number of last steps whose predictions stay in memory.
const keptPredictions = 3

// dropPredictions frees the predictions of the steps before those.
func (s *Session) dropPredictions() { clear(s.seen[:max(0, len(s.seen)-keptPredictions)]) }

// weighAll brings all weights up to date with the steps.
func (s *Session) weighAll() {
	all := make([]*predictions, len(s.steps))
	for k := range all {
		all[k] = s.predictionsOf(k)
	}
	s.belief.unknown = math.Log(priorUnknown / 100.0)
	for k := range s.steps {
		s.belief.weighUnknown(s.steps, k)
	}
	s.belief.weighAnswers(s.field, s.steps, all)
}

// Undo removes the last answer. It reports false when there is none.
func (s *Session) Undo() bool {
	if len(s.steps) == 0 {
		return false
	}
	s.replay(s.steps[:len(s.steps)-1])
	return true
}

// Change replaces the answer to probe number id, counted from 1, by the one with
// this key. Later answers stay. It refuses an id or key that does not exist.
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

// replay resets the session and takes these steps again.
func (s *Session) replay(steps []step) {
	s.reset()
	for _, st := range steps {
		st.overruled = false
		if p := s.belief.posterior(); len(s.steps) > 0 {
			s.now = p
			s.considerPairs(p)
		}
		s.take(st)
	}
}
