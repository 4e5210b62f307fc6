package check

import (
	"fmt"
	"slices"

	"example.org/ringout/internal/checkout"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/traffic"
	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/tui/style"
)

// unsteady are the causes of flicker, the quickest to check first, each with its symptom
// and remedy (common practice). A second source on the universe comes before them, see
// secondSource.
var unsteady = []string{
	"A loose joint or feed: it follows movement or heat. The flex test bends one joint after another.",
	"Grounds that are not joined: it changes when controller or strip is touched. Run a ground wire beside the data.",
	"A long data lead, or one beside mains: sparkles, worse when cold. Shorten it, and put 33 to 470 Ω at its start.",
	"A weak supply: all dims or blinks out at high white and comes back. Look whether it is gone at a low level.",
}

// flickers reports whether the likeliest finding is flickering light.
func flickers(found []checkout.Finding) bool {
	return len(found) > 0 && slices.ContainsFunc(found[0].Causes, func(c checkout.Cause) bool {
		return slices.ContainsFunc(c.Faults, func(f strip.Fault) bool { return strip.FactsOf(f.Kind).Unsteady })
	})
}

// unsteady lists the causes of flicker, and what the traffic watch heard.
func (t *lineWriter) unsteady(m Model) {
	if !flickers(m.st.findings) {
		return
	}
	t.head("What makes light come and go")
	list := append(slices.Clone(unsteady), "A second source on the universe: "+secondSource(m))
	for i, text := range list {
		t.hang(fmt.Sprintf("%d. ", i+1), edge, text, plain)
	}
}

// secondSource is a sentence on a second source: heard, not heard, or not checked.
func secondSource(m Model) string {
	n := m.bench.news
	universes := advice.Named(n.Ours.Universes)
	switch {
	case n.Report == nil && n.Trouble != nil:
		return "not checked, since nothing can listen here. The Traffic page says why."
	case n.Report == nil:
		return "not checked, since nothing has been listened to yet."
	}
	for _, s := range traffic.Sources(n.Report, n.Ours) {
		name := style.Clean(s.Name)
		if name == "" {
			name = "a source without a name"
		}
		at := ""
		if s.Address != "" {
			at = " at " + s.Address
		}
		switch {
		case !s.Rival:
		case s.Heard:
			return fmt.Sprintf("checked, and there is one: %s%s drives %s too. Stop it, then look again.", name, at, universes)
		default:
			return fmt.Sprintf("checked, and %s%s says that it sends to %s too. Stop it, then look again.", name, at, universes)
		}
	}
	if m.met != "" {
		return fmt.Sprintf("checked, and %s drove %s during this check-out. It is gone now: look again.", m.met, universes)
	}
	if m.bench.prop.Address.Host != "" {
		return fmt.Sprintf("checked, and none is heard on %s. What is sent straight to %s does not pass by this computer.", universes, style.Clean(m.bench.prop.Address.Host))
	}
	return fmt.Sprintf("checked, and none is heard on %s.", universes)
}
