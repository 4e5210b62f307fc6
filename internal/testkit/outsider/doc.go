// Package outsider is a builder who takes part in a check-out in JSON lines.
// It is written from internal/cli/pages/json-lines.md alone and imports nothing of
// ringout, so one misreading cannot pass at both ends: it has a model of its
// own of a chain of addressable pixels and of what can be wrong with it, it
// turns what a probe sends into light, and answers by the table of that page.
//
// Units: a channel of light is 0 to 255. Runs, pixels of a run and planned
// pixels count from 0; fault names count from 1, as ringout strip has them.
//
// What a pixel does with the data: it takes the octets of its own channels
// from the front and passes on the rest, re-made (datasheets of the WS2811 and
// the WS2812B). What the faults look like is common practice at the bench
// unless it follows from that.
package outsider
