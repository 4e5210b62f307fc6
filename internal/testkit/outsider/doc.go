// Package outsider simulates a builder and a prop in a check-out by JSON lines.
// It is written from internal/cli/pages/json-lines.md alone and imports nothing of
// ringout, so one misreading cannot pass at both ends. It has its own model of a
// chain of addressable pixels and of its faults, computes the light from what a
// probe sends, and answers by the table of that page.
//
// Units: a channel of light is 0 to 255. Runs, pixels of a run and planned
// pixels count from 0; fault names count from 1, as in ringout strip --fault.
//
// A pixel takes the octets of its own channels from the front of the data and
// passes on the rest, regenerated (datasheets of WS2811 and WS2812B). Effects of
// faults that do not follow from that are common practice.
package outsider
