package record

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/prop"
)

// edgeCaseProps are props that a page must take as well as the usual ones: stars, a
// lone pixel, a name for each of twelve parts, and names without end.
func edgeCaseProps(t *testing.T) (out []*prop.Prop) {
	t.Helper()
	const rest = "[supply]\nvolts = \"5 V\"\namps = \"20 A\"\n[address]\nhost = \"192.0.2.7\"\nuniverse = 4\n"
	parts := "name = \"Twelve parts\"\n[strip]\nchip = \"WS2812B\"\n" + rest + "[[run]]\nname = \"outline\"\npixels = 400\nshape = \"outline\"\n" +
		"corners = [\"0 m, 0 m\", \"2 m, 0 m\", \"2 m, 1 m\", \"0 m, 1 m\", \"0 m, 0 m\"]\n"
	for i := range 12 {
		parts += fmt.Sprintf("[[part]]\nname = \"letter %d of the harbour sign\"\nfirst = %d\nlast = %d\n", i+1, i*30+1, i*30+30)
	}
	long := "name = \"" + strings.TrimSpace(strings.Repeat("a lantern without end ", 7)) + "\"\n[strip]\nchip = \"WS2812B\"\n" + rest
	for i := range 3 {
		long += fmt.Sprintf("[[run]]\nname = \"ring %d, whose name goes on past any label a printer could make of it\"\npixels = 60\nshape = \"ring\"\n", i+1)
	}
	for _, text := range []string{
		"name = \"Star set\"\n[strip]\nchip = \"WS2812B\"\n" + rest +
			"[[run]]\nname = \"big star\"\nshape = \"star\"\npoints = 5\npixels = 150\n" +
			"[[run]]\nname = \"small star\"\nshape = \"star\"\npoints = 5\npixels = 75\n" +
			"[[run]]\nname = \"trail\"\nshape = \"line\"\npixels = 40\n",
		"name = \"Lone bulb\"\n[strip]\nchip = \"SK6812RGBW\"\n" + rest + "[[run]]\nname = \"bulb\"\npixels = 1\nshape = \"line\"\n",
		parts, long,
	} {
		p, _, err := prop.Parse([]byte(text), "odd.toml")
		require.NoError(t, err)
		out = append(out, p)
	}
	return out
}

// busy is a check-out that has something of everything.
func busy() Entry {
	return Entry{Kind: "check-out", At: evening, Verdict: Pass, Order: "GRB", Notes: "a damp evening",
		Findings: []Finding{{Kind: "open-joint", Text: "dark from pixel 37 on", Fixed: true}, {Kind: "dead-channel", Text: "pixel 97 has lost its blue", Fixed: true}},
		Runs:     []Run{{"inner ring", 36, 35, "reversed"}, {"middle ring", 48, 48, "as planned"}, {"outer ring", 60, 0, ""}},
		Joints:   []Joint{{"inner ring to middle ring", 0.05, 0.01}, {"middle ring to outer ring", 0.38, 0}},
		Volts:    []Reading{{144, 1, 4.32}, {72, 0.5, 4.8}, {9999, 1, 3}},
	}
}

// What was measured stands beside what was planned; what was not is left out.
func TestSheetSaysWhatWasFound(t *testing.T) {
	md := page(t, prop.Porthole(), busy()).Markdown()
	for _, want := range []string{
		"- inner ring: 35 pixels found, 36 planned\n- inner ring: travel found reversed\n",
		"- joints as estimated: J2 inner ring to middle ring 0.05 ± 0.01 Ω; J3 middle ring to outer ring 0.38 Ω\n",
		"4.32 V at pixel 144, level 100 % (", "; 3.00 V at pixel 9999, level 100 %\n", "- note: a damp evening",
	} {
		require.Contains(t, md, want)
	}
	require.NotContains(t, md, "outer ring: ")
	sound := Entry{Kind: "check-out", At: evening, Verdict: Pass}
	for _, r := range prop.Porthole().Runs {
		sound.Runs = append(sound.Runs, Run{r.Name, r.Pixels, r.Pixels, "as planned"})
	}
	require.Contains(t, page(t, prop.Porthole(), sound).Markdown(), "pixels counted and travel seen: as planned in every run")
	sound.Runs = sound.Runs[:2]
	require.NotContains(t, page(t, prop.Porthole(), sound).Markdown(), "every run", "one of them was not counted")
}
