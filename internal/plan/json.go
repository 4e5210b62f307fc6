package plan

import (
	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
)

// JSONVersion is that of JSON: another number means that a field of before has another meaning.
// In 1 joints counted from 0; now they have the numbers of text, sheet and screens (J1 is the
// lead from the controller).
const JSONVersion = 2

// JSON is a plan in JSON. Lengths are metres, currents amps; pixels, slots, universes and
// joints count from 1.
type JSON struct {
	Version  int             `json:"version"`
	Prop     string          `json:"prop"`
	Pixels   int             `json:"pixels"`
	Lights   int             `json:"lights"` // pixels that give light, so without empty parts
	Runs     []prop.Row      `json:"runs"`
	Other    []prop.Row      `json:"runs_other_packing,omitempty"`
	Reels    []jsonReel      `json:"reels,omitempty"`
	Proven   bool            `json:"reels_proven,omitempty"` // no plan needs fewer
	TooLong  []jsonPiece     `json:"longer_than_a_reel,omitempty"`
	Coils    []jsonReel      `json:"coils,omitempty"`
	TooLongC []jsonPiece     `json:"longer_than_a_coil,omitempty"`
	Backbone []jsonMark      `json:"backbone,omitempty"`
	Route    *jsonRoute      `json:"route,omitempty"`
	Wiring   []LeadConductor `json:"wiring"`
	Data     *jsonData       `json:"data,omitempty"`
	Heat     []jsonHeat      `json:"heat"`
	Power    jsonPower       `json:"power"`
}

type jsonReel struct {
	Pieces []jsonPiece `json:"pieces"`
	Left   float64     `json:"left_m"`
}

type jsonPiece struct {
	Run    string  `json:"run"`
	Metres float64 `json:"length_m"`
}

type jsonMark struct {
	Run string  `json:"run"`
	At  float64 `json:"at_m"`
}

type jsonPower struct {
	Level     float64      `json:"level"` // percent
	Amps      float64      `json:"amps"`
	DarkAmps  float64      `json:"dark_amps"`
	Limit     float64      `json:"supply_limit_amps"`
	Lowest    float64      `json:"lowest_volts"`         // at constant current, the cautious case
	Sagging   float64      `json:"lowest_volts_sagging"` // estimate of real strip, which draws less as volts fall
	At        int          `json:"lowest_at_pixel"`
	MinVolts  float64      `json:"chip_needs_volts"`
	HoldLevel float64      `json:"holds_up_to_level"`        // percent
	Wires     float64      `json:"wires_carry_up_to_level"`  // percent, in free air
	Allowed   float64      `json:"supply_gives_up_to_level"` // percent
	Highest   float64      `json:"highest_level"`            // the lowest of the three
	Band      []jsonBand   `json:"band,omitempty"`           // lowest and highest, where chips of one name differ
	Feeds     []jsonFeed   `json:"feeds"`
	Extra     []int        `json:"extra_feeds_at_pixels"`      // for full level
	After     []jsonFeed   `json:"feeds_with_extra,omitempty"` // every feed at full level with the extra feeds
	Possible  bool         `json:"extra_feeds_suffice"`
	Supplies  []jsonSupply `json:"supplies,omitempty"`          // for full level, when one is not enough
	Least     int          `json:"supplies_at_least,omitempty"` // by current alone
	Findings  []string     `json:"findings"`
	Assumed   []string     `json:"assumed"`
}

// A jsonSupply is one of several supplies; the plus rail is cut before its first pixel.
type jsonSupply struct {
	First int        `json:"first_pixel"`
	Last  int        `json:"last_pixel"`
	Amps  float64    `json:"amps"`
	Feeds []jsonFeed `json:"feeds"`
}

// A jsonHeat is an estimate: watts, watts a metre, and kelvins above the air in a
// closed tube.
type jsonHeat struct {
	Run   string  `json:"run"`
	Watts float64 `json:"watts"`
	Metre float64 `json:"watts_per_m,omitempty"`
	Rise  float64 `json:"closed_tube_rise_k,omitempty"`
}

type jsonBand struct {
	Idle      float64 `json:"idle_amps"`
	Channel   float64 `json:"channel_amps"`
	Amps      float64 `json:"amps"`
	SagAmps   float64 `json:"amps_sagging"`
	Lowest    float64 `json:"lowest_volts"`
	Sagging   float64 `json:"lowest_volts_sagging"`
	HoldLevel float64 `json:"holds_up_to_level"` // percent
}

func jsonBands(b *power.Band) (out []jsonBand) {
	if b == nil {
		return nil
	}
	for _, e := range b {
		out = append(out, jsonBand{e.IdleAmps, e.ChannelAmps, e.Amps, e.SagAmps, e.Lowest, e.SagLowest, 100 * e.HoldLevel})
	}
	return out
}

// A jsonFeed is a feed, as in the text.
type jsonFeed struct {
	Name      string  `json:"name"`
	Pixel     int     `json:"pixel"`
	Place     string  `json:"place"`
	Wire      string  `json:"wire"`
	Amps      float64 `json:"amps"`
	Drop      float64 `json:"drop_volts"`
	Fuse      float64 `json:"fuse_amps,omitempty"`
	FuseSize  float64 `json:"fuse_for_load_amps,omitempty"` // smallest blade fuse for the load
	Verdict   string  `json:"verdict"`                      // of supply, wire and fuse together
	ShortAmps float64 `json:"dead_short_amps"`
	Short     string  `json:"on_a_dead_short"`
}

func jsonFeeds(feeds []power.FeedReport) (out []jsonFeed) {
	for _, f := range feeds {
		out = append(out, jsonFeed{f.Name, f.Pixel + 1, f.Place, f.Wire, f.Amps, f.Drop, f.Check.FuseAmps, f.Check.Size,
			f.Check.Word(), f.Check.ShortAmps, f.Check.ShortText()})
	}
	return out
}

// JSON returns the plan in JSON.
func (pl *Plan) JSON() JSON {
	j := JSON{Version: JSONVersion, Prop: pl.Prop.Name, Pixels: pl.Prop.Pixels(), Lights: pl.Power.Lights, Runs: pl.Rows, Other: pl.Other, Wiring: pl.Wiring, Data: pl.jsonData(), Power: pl.jsonPower()}
	for _, h := range pl.Heat {
		j.Heat = append(j.Heat, jsonHeat{pl.Prop.Runs[h.Run].Name, h.Watts, h.Metre, h.Rise})
	}
	if pl.String != nil {
		j.Route = pl.String.json()
	}
	if pl.Strip != nil {
		j.Proven = pl.Strip.Proven
		j.Reels, j.TooLong = jsonReels(pl.Strip), jsonPieces(pl.Strip.TooLong)
	}
	if pl.Coil != nil {
		j.Coils, j.TooLongC = jsonReels(pl.Coil), jsonPieces(pl.Coil.TooLong)
	}
	for _, m := range pl.Backbone {
		j.Backbone = append(j.Backbone, jsonMark{pl.Prop.Runs[pl.Nest[m.Ring].Run].Name, m.At})
	}
	return j
}

func jsonReels(c *prop.CutPlan) (out []jsonReel) {
	for _, r := range c.Reels {
		out = append(out, jsonReel{jsonPieces(r.Pieces), r.Left})
	}
	return out
}

func jsonPieces(pieces []prop.Piece) (out []jsonPiece) {
	for _, p := range pieces {
		out = append(out, jsonPiece{p.Name, p.Metres})
	}
	return out
}

func (pl *Plan) jsonPower() jsonPower {
	r := pl.Power
	out := jsonPower{Level: 100 * r.Level, Amps: r.Amps, DarkAmps: r.DarkAmps, Limit: r.Supply.Limit,
		Lowest: r.Constant.Lowest, Sagging: r.Sagging.Lowest, At: r.Constant.At + 1, MinVolts: r.MinVolts,
		HoldLevel: 100 * r.HoldLevel, Wires: 100 * r.WireLevel, Allowed: 100 * r.SupplyLevel, Highest: 100 * r.Highest(), Extra: []int{}, Possible: r.Extra.Possible, Least: r.SuppliesLeast, Findings: r.Findings, Assumed: r.Assumed,
		Band: jsonBands(r.Band), Feeds: jsonFeeds(r.Feeds), After: jsonFeeds(r.After)}
	for _, s := range r.Supplies {
		out.Supplies = append(out.Supplies, jsonSupply{s.First + 1, s.Last + 1, s.Amps, jsonFeeds(s.Feeds)})
	}
	for _, p := range r.Extra.Pixels {
		out.Extra = append(out.Extra, p+1)
	}
	return out
}
