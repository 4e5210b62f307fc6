package checkout

import (
	"example.org/ringout/internal/strip"
	"example.org/ringout/patterns"
)

// A sight is everything a person sees when they answer.
type sight struct {
	light       *strip.Pieces
	hidden      maskedPlaces
	look        *look
	sparks      bool  // pixels flash in random colours
	contactOpen *look // the look while a loose contact is open; nil when the light is steady
	wanted      *look // the picture to compare with
}

// A reading returns the answer of a person who sees this. It gets no faults.
type reading func(s *Spec, see *sight) Token

// fewPixels is the most that a person calls "one or a few".
const fewPixels = 3

// readEven returns the first that applies: none when no pixel is lit; sparkles;
// seesPerhaps when it flickers; tail when the far end is dark and at most three
// pixels before it do not have the main colour; all or other when every pixel
// has the main colour, which is the one sent or not; few when at most three
// pixels do not have it; mixed.
func readEven(s *Spec, see *sight) Token {
	by, all := see.look.counts()
	lit := all - by[Dark]
	switch {
	case lit == 0:
		return SeesNone
	case see.sparks:
		return SeesSparkles
	case see.contactOpen != nil:
		return seesPerhaps // a glance may miss the flicker
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

// readLastLit returns the colour name of the last lit pixel in data order, or
// none.
func readLastLit(_ *Spec, see *sight) Token {
	for i := len(see.look.all) - 1; i >= 0; i-- {
		if n := see.look.all[i].name; n != Dark {
			return Token(n)
		}
	}
	return SeesNone
}

// A walker goes over stretches in data order and joins equal neighbours across
// the ends of runs.
type walker struct {
	st []stretch
	at int
}

// next returns the name of the next stretch; false at the end.
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

// firstOdd compares the look with the picture, stretch by stretch without their
// lengths, up to the first stretch of another colour. before is the colour of
// the stretch before it (first when there is none), odd its own (missing when
// the light ends first); both are as-drawn when all agree.
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

// readMark compares as firstOdd does, and returns the last colour before the odd
// stretch that is not the base, or first when there is none.
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

// readRuns returns the first run whose stretches differ from the picture's in
// colour, number, or length beyond slackFor.
func readRuns(_ *Spec, see *sight) Token {
	for r := range len(see.wanted.runAt) - 1 {
		if !alike(see.look.run(r), see.wanted.run(r)) {
			return seesRun + Token(r)
		}
	}
	return SeesAsDrawn
}

// alike reports whether the stretches of a run match the picture's.
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

// slackFor is the tolerance, in pixels, of the length of a stretch drawn with n
// pixels: people count one or two exactly and estimate longer stretches (assumed).
func slackFor(n int32) int32 {
	if n <= 2 {
		return 0
	}
	return 3 + n/4
}

// readSequence returns the names of the first three stretches in data order, and
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

// readSteady returns what is seen while the prop is bent: sparkles; steady;
// comes-all when all pixels go dark at times; comes when some do.
func readSteady(_ *Spec, see *sight) Token {
	switch {
	case see.sparks:
		return SeesSparkles
	case see.contactOpen == nil:
		return SeesSteady
	}
	if by, all := see.contactOpen.counts(); by[Dark] == all {
		return SeesComesAll
	}
	return SeesComes
}

// readStaysLit returns the name of the last pixel that stays lit; steady when no
// pixel flickers, none when no pixel stays lit.
func readStaysLit(s *Spec, see *sight) Token {
	if see.contactOpen == nil || see.sparks {
		return SeesSteady
	}
	held := *see
	held.look = see.contactOpen
	return readLastLit(s, &held)
}

// The brightness of the far end, as a part of the near end's, below which
// everyone sees a difference, and above which no one does (common practice).
const (
	surelySeen = 0.6
	barelySeen = 0.92
)

// readFade compares the first pixel of the first run with the last pixel of the
// last run: fades when both are lit and the last has another name or less than
// surelySeen of the brightness; else alike. SeesElse when either is dark.
func readFade(_ *Spec, see *sight) Token {
	switch fall := see.fall(); {
	case fall < 0:
		return SeesElse
	case fall < surelySeen:
		return SeesFades
	}
	return SeesAlike
}

// fall is the brightness of the last pixel as a part of the first one's; 0 when
// their names differ, -1 when either is dark.
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

// ends are the colours of the first and the last visible pixel; ok is false when
// there is none.
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
