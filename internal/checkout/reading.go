package checkout

import (
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// A sight is everything a person has before their eyes when they answer.
type sight struct {
	light  *strip.Pieces
	hidden maskedPlaces // places no one looks at
	look   *look
	sparks bool  // pixels flash in random colours
	letGo  *look // in the moments when a loose contact is open; nil when it is steady
	wanted *look // the picture, as a sound prop shows it
}

// A reading is what a person answers who sees this and nothing else. None of
// them knows of faults.
type reading func(s *Spec, see *sight) Token

// fewPixels is the most that a person calls "one or a few".
const fewPixels = 3

// readEven: none lit; or (no telling) it comes and goes; or the far end is dark
// while what is lit before it is not many colours (tail); or all alike, in the
// colour sent or another; or all alike but for up to three pixels (few); else
// mixed. The first that fits counts.
func readEven(s *Spec, see *sight) Token {
	by, all := see.look.counts()
	lit := all - by[Dark]
	switch {
	case lit == 0:
		return SeesNone
	case see.sparks:
		return SeesSparkles
	case see.letGo != nil:
		return seesPerhaps // at a glance it may look whole
	}
	most := Red
	for n := Red; n <= White; n++ {
		if by[n] > by[most] {
			most = n
		}
	}
	tail := int(see.look.tail())
	switch {
	case tail > 0 && all-tail-by[most] <= fewPixels:
		return SeesTail
	case by[most] == all && most == s.Base.name():
		return SeesAll
	case by[most] == all:
		return SeesOther
	case all-by[most] <= fewPixels:
		return SeesFew
	}
	return SeesMixed
}

// tail is the number of dark pixels at the far end.
func (l *look) tail() (n int32) {
	for i := len(l.all) - 1; i >= 0 && l.all[i].name == Dark; i-- {
		n += l.all[i].n
	}
	return n
}

// readLastLit: the name of the last lit pixel along the data, or none.
func readLastLit(_ *Spec, see *sight) Token {
	for i := len(see.look.all) - 1; i >= 0; i-- {
		if n := see.look.all[i].name; n != Dark {
			return Token(n)
		}
	}
	return SeesNone
}

// A walker goes along the data over stretches, joining equal neighbours across
// the ends of runs.
type walker struct {
	st []stretch
	at int
}

// next is the next stretch's name; false at the end.
func (w *walker) next() (Name, bool) {
	if w.at >= len(w.st) {
		return Dark, false
	}
	n := w.st[w.at].name
	for w.at < len(w.st) && w.st[w.at].name == n {
		w.at++
	}
	return n, true
}

// firstOdd walks along the data and along the picture, stretch by stretch,
// whatever their lengths, to the first stretch whose colour is not the
// picture's. It gives the colour before that stretch (first when there is
// none) and its own (missing when the light ends first); both are as-drawn
// when all agree.
func firstOdd(see *sight) (before, odd Token) {
	got, want := walker{st: see.look.all}, walker{st: see.wanted.all}
	before = SeesFirst
	for {
		g, gok := got.next()
		w, wok := want.next()
		switch {
		case !gok && !wok:
			return SeesAsDrawn, SeesAsDrawn
		case !gok:
			return before, SeesMissing
		case !wok || g != w:
			return before, Token(g)
		}
		before = Token(g)
	}
}

// readMark: the same walk; the last colour passed that is not the base, first
// when there is none.
func readMark(s *Spec, see *sight) Token {
	got, want := walker{st: see.look.all}, walker{st: see.wanted.all}
	mark, base := SeesFirst, s.Base.name()
	for {
		g, gok := got.next()
		w, wok := want.next()
		switch {
		case !gok && !wok:
			return SeesAsDrawn
		case !gok || !wok || g != w:
			return mark
		case g != base:
			mark = Token(g)
		}
	}
}

// readRuns: the first run whose stretches are not the picture's: other
// colours, one or two pixels where more or fewer are drawn, or a longer
// stretch off by more than a quarter and three pixels.
func readRuns(_ *Spec, see *sight) Token {
	for r := range len(see.wanted.runAt) - 1 {
		if !alike(see.look.run(r), see.wanted.run(r)) {
			return seesRun + Token(r)
		}
	}
	return SeesAsDrawn
}

func alike(got, want []stretch) bool {
	if len(got) != len(want) {
		return false
	}
	for i, w := range want {
		off := got[i].n - w.n
		slack := slackFor(w.n)
		if got[i].name != w.name || off > slack || -off > slack {
			return false
		}
	}
	return true
}

// slackFor is by how many pixels a stretch drawn with so many may be off.
func slackFor(n int32) int32 {
	if n <= 2 {
		return 0
	}
	return 3 + n/4
}

// readSequence: the names of the first three stretches along the data, and
// whether there are more.
func readSequence(_ *Spec, see *sight) Token {
	w := walker{st: see.look.all}
	var names [3]Name
	for i := range names {
		n, ok := w.next()
		if !ok {
			return sequenceToken(names[:i], false)
		}
		names[i] = n
	}
	_, more := w.next()
	return sequenceToken(names[:], more)
}

// readSteady: watched for some seconds while it is bent: steady; all of it
// comes and goes; or a part does.
func readSteady(_ *Spec, see *sight) Token {
	switch {
	case see.sparks:
		return SeesSparkles
	case see.letGo == nil:
		return SeesSteady
	}
	if by, all := see.letGo.counts(); by[Dark] == all {
		return SeesComesAll
	}
	return SeesComes
}

// readStaysLit: the name of the last pixel that stays lit; steady when nothing
// comes and goes, none when nothing stays.
func readStaysLit(s *Spec, see *sight) Token {
	if see.letGo == nil || see.sparks {
		return SeesSteady
	}
	held := *see
	held.look = see.letGo
	return readLastLit(s, &held)
}

// Where the far end of a prop has this part of the brightness of the near one,
// someone who compares them surely sees a difference, and no longer does
// (common practice).
const (
	surelySeen = 0.6
	barelySeen = 0.92
)

// readFade compares the first pixel of the first run with the last of the last:
// fades when the last is lit but has another name or less than six tenths of
// the brightness.
func readFade(_ *Spec, see *sight) Token {
	switch fall := see.fall(); {
	case fall < 0:
		return SeesElse
	case fall < surelySeen:
		return SeesFades
	}
	return SeesAlike
}

// fall is the brightness of the last pixel as a part of the first one's: 0 when
// it has another name, negative when either is dark.
func (see *sight) fall() float64 {
	a, b, ok := see.ends()
	switch {
	case !ok || NameOf(a) == Dark || NameOf(b) == Dark:
		return -1
	case NameOf(a) != NameOf(b):
		return 0
	}
	return float64(strongest(b)) / float64(strongest(a))
}

// ends are the first pixel that is looked at and the last; false when there is
// none.
func (see *sight) ends() (a, b patterns.Colour, ok bool) {
	for r, run := range see.light.Runs {
		see.hidden.each(r, run, func(pc strip.Piece) {
			if !ok {
				a, ok = pc.Colour, true
			}
			b = pc.Colour
		})
	}
	return a, b, ok
}
