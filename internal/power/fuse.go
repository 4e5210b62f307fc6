package power

import (
	"fmt"
	"math"
	"strings"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// BladeFuses are the usual sizes of blade fuses, amps, rated 32 V DC (common
// practice, from memory).
var BladeFuses = []float64{1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30}

// bladeVolts is the rated voltage of blade fuses, DC (common practice, from memory).
const bladeVolts = 32.0

// FuseShare is the continuous load of a fuse as a share of its rating: load /
// 0.8 <= fuse <= wire (common practice, 75 to 80 %).
const FuseShare = 0.8

// A Verdict is the result of a check. The zero value means that it was not made.
type Verdict int

// The verdicts.
const (
	NotChecked Verdict = iota
	Good
	Doubtful // good for one wire in free air, more than a cautious rule allows in a bundle or closed prop
	Bad
)

// String is the verdict in a word or two.
func (v Verdict) String() string {
	return [...]string{"not checked", "good", "doubtful", "not good"}[v]
}

func verdict(ok bool) Verdict {
	if ok {
		return Good
	}
	return Bad
}

// A Blow is how quickly a fuse opens on a dead short at the end of its wire.
type Blow int

// The classes of Blow, by the short's current over the fuse's rating; see blow.
const (
	BlowUnknown Blow = iota // no fuse
	BlowNever               // the short hardly passes its rating
	BlowSlow                // it may take minutes, or never open
	BlowSeconds             // it opens within seconds
	BlowFast                // about a second or less
)

// String is the result in plain words.
func (b Blow) String() string {
	return [...]string{"has no fuse to open", "may never open the fuse", "may take minutes to open the fuse, or never", "opens the fuse within seconds", "opens the fuse in about a second or less"}[b]
}

// MostShare is the largest current of a switched-mode supply on a short, over its
// rating, before it limits the current or switches itself off: 105 to 150 % in
// makers' sheets (from memory).
const MostShare = 1.5

// A FuseCheck is one feed's supply, wire and fuse, and the one verdict on them.
type FuseCheck struct {
	// The load of the wire whose conductor carries more, that of plus, in which the fuse
	// is, and the fuse's rating as given; 0 A when none is.
	Amps, Plus, FuseAmps float64
	// What the wire may carry, amps: by the cautious rule, 0 when the feed has no
	// wire, and alone in free air, 0 when the handbook's table has no row.
	WireAmps, FreeAmps float64
	// Plus / 0.8, the smallest blade fuse for it (0 when none is large enough),
	// that size against the wire, and against the thinnest lead after it.
	LeastFuse, Size     float64
	SizeFits, SizeLeads Verdict
	// The fuse given against load and wire; the wire against the load.
	Fuse, Wire Verdict
	// Both conductors of the wire, ohms.
	LoopOhms float64
	// A dead short at the wire's end, amps: the smaller of the copper's limit and
	// the supply's rating; and the same with the most that the supply may give,
	// MostShare of its rating.
	ShortAmps, MostAmps float64
	// The supply, not the copper, limits ShortAmps.
	BySupply bool
	// ShortAmps over the fuse's rating, and what the fuse does then.
	Times float64
	Blow  Blow
	// The thinnest lead after the fuse, and the fuse against what that carries in free
	// air; not checked without leads.
	LeadWire prop.Wire
	Leads    Verdict
	// The wire on a short: good when the fuse opens or the wire carries the short.
	Short Verdict
	// The worst of Fuse, Wire, Short and Leads; Bad without a fuse under load.
	Verdict Verdict
}

// CheckFuse checks a feed that carries a load from a supply, with its wire at a
// temperature. The fuse is in plus; the wire is judged by the conductor that carries more, which may
// be minus where plus is cut elsewhere. A short is taken to be fed through this feed alone.
func CheckFuse(f prop.Feed, s prop.Supply, load Rails, celsius float64) (FuseCheck, error) {
	amps := max(load.Plus, load.Minus)
	ohms, err := feedOhms(f, celsius)
	if err != nil {
		return FuseCheck{}, err
	}
	c := FuseCheck{Amps: amps, Plus: load.Plus, FuseAmps: f.FuseAmps, LeastFuse: load.Plus / FuseShare, LoopOhms: 2 * ohms}
	if CheckWire(f.Wire) == nil {
		c.WireAmps, c.FreeAmps = CautiousAmps(f.Wire), ChassisAmps(f.Wire)
		c.Wire = c.carries(amps)
	}
	for _, size := range BladeFuses {
		if c.holdsLoad(size) {
			c.Size, c.SizeFits = size, c.carries(size)
			break
		}
	}
	switch {
	case f.FuseAmps == 0:
	case !c.holdsLoad(f.FuseAmps):
		c.Fuse = Bad
	case c.WireAmps == 0:
		c.Fuse = Good
	default:
		c.Fuse = c.carries(f.FuseAmps)
	}
	c.short(s)
	c.Verdict = max(c.Fuse, c.Wire, c.Short)
	if c.FuseAmps == 0 && c.Amps > 0 {
		c.Verdict = Bad
	}
	return c, nil
}

// throughLeads checks the fuse against the leads that it feeds: a fuse protects the
// thinnest wire after it (common practice). A lead may be alone in free air, so only
// what is too much even there counts.
func (c *FuseCheck) throughLeads(w prop.Wire) {
	most := max(ChassisAmps(w), CautiousAmps(w))
	c.LeadWire, c.Leads, c.SizeLeads = w, verdict(c.FuseAmps <= most), verdict(c.Size <= most)
	c.Verdict = max(c.Verdict, c.Leads)
}

// short checks a dead short at the end of the wire.
func (c *FuseCheck) short(s prop.Supply) {
	copper := s.Volts / math.Max(c.LoopOhms, leastOhms)
	c.ShortAmps, c.MostAmps = min(copper, s.Amps), min(copper, MostShare*s.Amps)
	c.BySupply = s.Amps < copper
	c.Times, c.Blow = blow(c.ShortAmps, c.FuseAmps)
	switch {
	case c.Blow >= BlowSeconds:
		c.Short = Good
	case c.Blow != BlowUnknown:
		c.Short = c.carries(c.MostAmps)
	}
}

// holdsLoad reports whether a fuse of that rating is large enough for the load. The
// 1e-9 A added correct binary rounding only.
func (c FuseCheck) holdsLoad(rating float64) bool { return rating+1e-9 >= c.LeastFuse }

// carries judges amps against the wire.
func (c FuseCheck) carries(amps float64) Verdict {
	switch {
	case c.WireAmps == 0:
		return NotChecked
	case amps <= c.WireAmps:
		return Good
	case amps <= c.FreeAmps:
		return Doubtful
	}
	return Bad
}

// blow judges a short by how many times the fuse's rating it is. Blade fuses
// carry 1.1 times for 100 hours, may take ten minutes at 1.35 times and up to
// five seconds at twice their rating (from memory of ISO 8820-3); the fuse's
// own curve decides. 10 m of 18 AWG has 0.419 Ω there and back, so a dead short
// at 5 V draws 11.9 A: a 10 A fuse may never go. At 12 V it draws 28.6 A, which
// ends that fuse in about a second.
func blow(short, fuse float64) (times float64, b Blow) {
	if fuse <= 0 {
		return 0, BlowUnknown
	}
	times = short / fuse
	switch {
	case times < 1.1:
		b = BlowNever
	case times < 2:
		b = BlowSlow
	case times < 2.8:
		b = BlowSeconds
	default:
		b = BlowFast
	}
	return times, b
}

// LoadText is what the feed carries: "3.7 A", or with the fuse's amps beside it where minus carries
// more than plus.
func (c FuseCheck) LoadText() string {
	if words.Amps(c.Plus) == words.Amps(c.Amps) {
		return words.Amps(c.Amps)
	}
	return fmt.Sprintf("%s in minus, %s through the fuse", words.Amps(c.Amps), words.Amps(c.Plus))
}

// FuseText is the fuse as the file gives it: "fuse 7.5 A".
func (c FuseCheck) FuseText() string {
	if c.FuseAmps == 0 {
		return "no fuse given"
	}
	return fmt.Sprintf("fuse %s", words.Given(c.FuseAmps, "A"))
}

// Word is the verdict in a word or two.
func (c FuseCheck) Word() string {
	if c.FuseAmps == 0 && c.Amps > 0 && c.Wire != Bad {
		return "no fuse"
	}
	return c.Verdict.String()
}

// Why is the reason of a verdict that is not good, in a few words; empty for others.
func (c FuseCheck) Why() string {
	var all []string
	say := func(is bool, why string) {
		if is {
			all = append(all, why)
		}
	}
	say(c.Wire == Bad, "wire too thin for its amps")
	say(c.Wire == Doubtful, "wire good in free air only")
	say(c.FuseAmps > 0 && !c.holdsLoad(c.FuseAmps), "fuse too small for its amps")
	say(c.FuseAmps > 0 && c.holdsLoad(c.FuseAmps) && c.Fuse == Bad, "fuse too large for the wire")
	say(c.Fuse == Doubtful && c.Wire == Good, "fuse large for the wire")
	say(c.Leads == Bad, "fuse too large for the leads")
	say(c.Short == Bad || c.Short == Doubtful, "a short may not open the fuse")
	return strings.Join(all, "; ")
}

// ShortText is the current of a dead short at the end of the wire, in words.
func (c FuseCheck) ShortText() string {
	limit := "through this wire"
	if c.BySupply {
		limit = "the supply's rating"
	}
	return fmt.Sprintf("a dead short draws %s (%s), which %s", words.Amps(c.ShortAmps), limit, c.Blow)
}

// Sentences say what is not in order with the feed. There are some exactly when
// the verdict is not good.
func (c FuseCheck) Sentences(name string) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, name+fmt.Sprintf(format, args...)) }
	switch c.Wire {
	case Bad:
		say(" carries %s, more than its wire should carry even in free air (%s): power off, then use thicker wire or share the load with another feed.", words.Amps(c.Amps), c.wireText())
	case Doubtful:
		say(" carries %s: its wire is good for that in free air only (%s); in a bundle or a closed prop ask the cable's sheet; or power off and use thicker wire.", words.Amps(c.Amps), c.wireText())
	}
	switch {
	case c.FuseAmps == 0 && c.Amps > 0:
		say(" has no fuse in the file: power off, then fuse every feed at the supply end%s.", c.sizeText())
	case !c.holdsLoad(c.FuseAmps):
		say(": the %s fuse is too small for %s for hours on end: that needs at least %s%s.", words.Given(c.FuseAmps, "A"), words.Amps(c.Plus), words.Amps(c.LeastFuse), c.sizeText())
	case c.Fuse == Bad:
		say(": the %s fuse is larger than its wire may carry (%s): it does not protect it%s.", words.Given(c.FuseAmps, "A"), c.wireText(), c.sizeText())
	case c.Fuse == Doubtful && c.Wire == Good:
		say(": the %s fuse is larger than its wire should carry in a closed prop (%s)%s.", words.Given(c.FuseAmps, "A"), c.wireText(), c.sizeText())
	}
	if c.Leads == Bad {
		say(": the %s fuse does not protect the leads between runs, %s (%s): power off, then use thicker leads, or a smaller fuse where the load allows.",
			words.Given(c.FuseAmps, "A"), WireName(c.LeadWire), leadLimits(c.LeadWire).wireText())
	}
	if c.Short == Bad || c.Short == Doubtful {
		say(": %s: the wire is then left with up to %s%s (wire: %s).%s", c.ShortText(), words.Amps(c.MostAmps), c.mostWhy(), c.wireText(), c.shortCure())
	}
	return out
}

// mostWhy is why a wire may be left with more than the supply's rating; empty when the
// copper holds the short below it.
func (c FuseCheck) mostWhy() string {
	switch {
	case !c.BySupply:
		return ""
	case c.MostAmps < MostShare*c.ShortAmps:
		return ", its copper's limit: a supply may give more than its rating"
	}
	return fmt.Sprintf(": a supply may give %.3g times its rating", MostShare)
}

// shortCure is what makes a short harmless: a fuse rated at most half the
// short's current, if the load allows one, or a wire for the most that the
// supply gives.
func (c FuseCheck) shortCure() string {
	for _, size := range BladeFuses {
		if c.holdsLoad(size) && c.ShortAmps >= 2*size {
			return fmt.Sprintf(" A %s fuse would open.", words.Given(size, "A"))
		}
	}
	if c.BySupply {
		return fmt.Sprintf(" The supply opens no fuse for this load: power off, then use wire that carries %s; or a supply that by its sheet switches off on a short.", words.Amps(c.MostAmps))
	}
	return " Power off, then use thicker or shorter wire, or more feeds with smaller fuses."
}

// leadLimits is the check of a lead between runs, with what its wire carries and without a fuse.
func leadLimits(w prop.Wire) FuseCheck {
	return FuseCheck{WireAmps: CautiousAmps(w), FreeAmps: ChassisAmps(w)}
}

func (c FuseCheck) wireText() string {
	if c.FreeAmps == 0 {
		return fmt.Sprintf("%s by a cautious rule", words.Amps(c.WireAmps))
	}
	return fmt.Sprintf("%s by a cautious rule, %s in free air", words.Amps(c.WireAmps), words.Given(math.Round(c.FreeAmps*10)/10, "A"))
}

func (c FuseCheck) sizeText() string {
	switch {
	case c.Size == 0:
		return "; no blade fuse is large enough: power off, then split the load among more feeds"
	case c.SizeFits == Bad:
		return fmt.Sprintf("; %s suits the load but not the wire: power off, then use thicker wire or more feeds", words.Given(c.Size, "A"))
	case c.Size == c.FuseAmps:
		return ""
	case c.SizeLeads == Bad:
		return fmt.Sprintf("; %s suits the load but not the leads between runs, %s (%s): power off, then use thicker leads or more feeds",
			words.Given(c.Size, "A"), WireName(c.LeadWire), leadLimits(c.LeadWire).wireText())
	}
	return fmt.Sprintf("; %s suits the load", words.Given(c.Size, "A"))
}

// A SupplyLoad is the prop's current against the supply's rating.
//
// The continuous load is at most 80 % of the plate (common practice); NEC
// 210.20(A) sizes protection at 125 % of a load of 3 h and more, the same ratio
// (from memory).
type SupplyLoad struct {
	// Amps drawn, and amps on the plate.
	Amps, Rated float64
	// The share of Rated for continuous load, above 0 to 1, and Rated times it.
	Continuous, Limit float64
	// Amps / Limit: above 1 is too much.
	Share float64
	Load  Verdict
}

// CheckSupply compares a current with a supply. It refuses a rating or a share
// out of range.
func CheckSupply(s prop.Supply, amps float64) (SupplyLoad, error) {
	if !(s.Amps > 0) || math.IsInf(s.Amps, 0) {
		return SupplyLoad{}, fmt.Errorf("the supply is rated %s: give the amps on its plate", words.Given(s.Amps, "A"))
	}
	share := s.Share()
	if !(share > 0 && share <= 1) {
		return SupplyLoad{}, fmt.Errorf("the supply's continuous share is %g: give more than 0, at most 1, such as 0.8", share)
	}
	limit := s.Amps * share
	return SupplyLoad{amps, s.Amps, share, limit, amps / limit, verdict(amps <= withRounding(limit))}, nil
}

// withRounding raises a limit in amps for rounding, for a sum of pixels equal
// to the limit: 20 times 40 mA is over 0.8 A by one bit.
func withRounding(limit float64) float64 { return limit * (1 + 1e-9) }
