package checkout

import (
	"fmt"
	"strings"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/words"
)

// mostUntried is the largest number of joints and feeds that are named.
const mostUntried = 4

// untried names the resistances that no look tests; empty where the copper is not
// known. 1 Ω in a joint between two feeds takes less than a tenth of the light
// (testdata/eyes-proofs.md), which no one sees but a voltmeter shows.
func untried(p *prop.Prop) string {
	if _, err := power.NetworkOf(p); err != nil || p.Bulb() {
		return ""
	}
	var all []string
	for i := 1; i < len(p.Runs); i++ {
		all = append(all, p.RunName(i-1)+" to "+p.RunName(i))
	}
	for _, f := range p.Feeds {
		all = append(all, fmt.Sprintf("feed at pixel %d", f.Pixel+1))
	}
	if len(all) == 0 {
		all = []string{"the supply's lead"}
	}
	names := strings.Join(all, ", ")
	if n := len(all) - mostUntried; n > 0 {
		names = fmt.Sprintf("%s and %s", strings.Join(all[:mostUntried], ", "), words.Count(n, "other"))
	}
	return fmt.Sprintf(notTried+": too much resistance in a joint or a feed, which hardly dims the light. Do the load test with a voltmeter before you close it up; without a meter this stays untried. Places to measure: %s.", names)
}
