package patterns

// To add a pattern:
//  1. Write its Pattern value in a file of its own or beside its kin
//     (walk.go, marks.go, sweep.go or whole.go), with Expect and Frame; Frame
//     must give the same frame for the same arguments.
//     It is a row of facts: pattern.go says what each means. With a Number, say
//     whether it Counts; with ByPixel a click on a pixel goes to its step; OnePixel
//     offers it for a bulb too.
//  2. Give it a Fastest (steps a second) if a quarter of the pixels or more
//     change at once on any strip, be it of 1 to 8 pixels only. speed.go has
//     the constants; walkLimit is for one pixel that walks, passLimit for a
//     tail, and two that walk need shortLimit up to 8 pixels. TestNothingFlashes
//     says at which length and speed a pattern is too fast.
//  3. Name it in all below: the tests then check its steps, its words and
//     that it never flashes, at every speed and on every length. The number
//     keys of the Light screen follow this order: put it after the ones that
//     are there, before Black, whose key moves by one. The tenth has 0, and there
//     is no key for an eleventh.
//  4. Pages that list the patterns change: run ".ci/goldens ./tui ./tui/light"
//     before your change, which must leave nothing to commit, and after it. The list
//     is a row longer then, and what is under it moves.
//
// The tests of this package, ./tui/light and ./tui then pass; ringout send, its help,
// the manual and the completions list it by themselves.
//
// A pattern with colours of its own passes over Settings.Colour, and one that
// looks the same from both ends over Settings.Reverse, as Ends does; Ends also
// shows how to go through the runs.

// all is in the order in which the builder is likely to want them.
var all = []Pattern{Chase, CountUp, Single, Ends, Ruler, Sweep, Colours, Even, Black}

// All is every pattern, in the order to list them. The slice is the caller's.
func All() []Pattern { return append([]Pattern(nil), all...) }

// ByID returns the pattern with an ID.
func ByID(id string) (Pattern, bool) {
	for _, p := range all {
		if p.ID == id {
			return p, true
		}
	}
	return Pattern{}, false
}
