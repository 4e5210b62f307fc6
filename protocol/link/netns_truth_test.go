//go:build linux

package link

import (
	"fmt"
	"os/exec"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/ringout/internal/testkit/foreign"
	"example.org/ringout/internal/testkit/wirecheck"
	"example.org/ringout/protocol"
)

// All foreign cases at once on a network with a switch that forwards a group
// only to who joined it: what the listener says of them, at every moment, is
// so. The octets of the cases owe nothing to package protocol, and tshark reads
// off the wire what the cases say.
func TestSentencesAreTrueOnTheNetwork(t *testing.T) {
	t.Parallel()
	cases := foreign.Cases()
	n := newLAN(t, 3)
	p := listening()
	p.Listen.Discover = true
	p.Ours = protocol.Ours{CID: protocol.CID{200}, Priority: 100}
	for _, c := range cases {
		if c.Ours {
			p.Ours.Universes = append(p.Ours.Universes, protocol.Universe(c.Universe))
		}
		if !c.Announced {
			p.Listen.Universes = append(p.Listen.Universes, protocol.Universe(c.Universe))
		}
	}
	l, _ := n.start(0, "listen", p)
	stop, path := n.capture(0, "quay0")
	zero := time.Now().Add(2 * time.Second)
	var senders []*player
	for host := 1; host <= 2; host++ {
		s, _ := n.start(host, "foreign", part{Host: host, Zero: zero})
		senders = append(senders, s)
	}
	for _, s := range senders {
		s.until(30*time.Second, "all is sent", func(v seen) bool { return anyContains(v.Says, "done") })
	}
	time.Sleep(500 * time.Millisecond) // dumpcap writes now and then
	stop()
	wire := dissectNumbers(t, path)
	if late := n.late.Worst(); late > time.Second {
		t.Skipf("this machine was late by %v: the cases did not happen as they say", late)
	}
	history := l.history()
	for _, c := range cases {
		t.Run(c.Name, func(t *testing.T) {
			requireTruth(t, c, zero, history)
			requireWire(t, c, wire[c.Universe])
		})
	}
}

// requireTruth looks for what a case says, and for what it never says.
func requireTruth(t *testing.T, c foreign.Case, zero time.Time, history []seen) {
	fill := func(p string) *regexp.Regexp {
		p = strings.ReplaceAll(p, "universe N", "universe "+strconv.Itoa(int(c.Universe)))
		return regexp.MustCompile(strings.ReplaceAll(p, "universe S", "universe "+strconv.Itoa(int(c.SyncAddress()))))
	}
	about := regexp.MustCompile(fmt.Sprintf(`universe %d\b|(Pier|Quay) %d\b|no proper E1\.31`, c.Universe, c.Universe-101))
	end := zero.Add(c.Events[len(c.Events)-1].At + protocol.LossTimeout - 200*time.Millisecond)
	said := map[string][]string{} // what was said in place of what should be
	wanted := map[string]*regexp.Regexp{}
	for _, p := range c.Says {
		said[p], wanted[p] = nil, fill("^"+p+"$")
	}
	never := map[string]*regexp.Regexp{}
	for _, p := range c.Never {
		never[p] = fill(p)
	}
	concerns := map[string]bool{} // most sentences are said again and again
	for _, v := range history {
		var texts []string
		for _, text := range v.Says {
			yes, known := concerns[text]
			if !known {
				yes = about.MatchString(text)
				concerns[text] = yes
			}
			if yes {
				texts = append(texts, text)
			}
		}
		if v.At.Before(end) {
			requireNever(t, c, never, texts, v.At.Sub(zero))
		}
		if v.At.Sub(zero.Add(c.Look)).Abs() < 700*time.Millisecond {
			compare(said, wanted, texts)
		}
	}
	require.Empty(t, said, "%s: %s (%s)", c.Name, c.Truth, c.Clause)
	if c.Announced { // its group was joined, and kept though the list forgot it
		st := history[len(history)-1].Streams[fmt.Sprintf("Pier %d/%d", c.Universe-101, c.Universe)]
		require.Greater(t, st.Packets, uint64(200))
		require.Zero(t, st.Missing)
	}
}

// requireNever fails for a sentence that is not so.
func requireNever(t *testing.T, c foreign.Case, never map[string]*regexp.Regexp, texts []string, after time.Duration) {
	for _, text := range texts {
		for p, re := range never {
			malformed := strings.Contains(text, "no proper E1.31") && p == "."
			if !malformed && re.MatchString(text) {
				require.Fail(t, "said what is not so", "%s: %s: %q, after %v (%s)", c.Name, c.Truth, text, after, c.Clause)
			}
		}
	}
}

// compare takes off what was said as it should be, and keeps what was said in place
// of the rest.
func compare(said map[string][]string, wanted map[string]*regexp.Regexp, texts []string) {
	for _, text := range texts {
		for p, instead := range said {
			if wanted[p].MatchString(text) {
				delete(said, p)
			} else if !slices.Contains(instead, text) {
				said[p] = append(instead, text)
			}
		}
	}
}

// dissectNumbers has tshark read the data packets of a capture: source, sequence
// number and priority, by universe.
func dissectNumbers(t *testing.T, path string) map[uint16][]string {
	fields := []string{"acn.dmx.universe", "ip.src", "acn.dmx.seq_number", "acn.dmx.priority"}
	out, err := exec.Command(needTool(t, "tshark", ""), wirecheck.DissectArgs(path, fields, "-Y", "acn.dmx.universe")...).Output()
	require.NoError(t, err)
	got := map[uint16][]string{}
	for _, line := range strings.Split(strings.TrimSpace(string(out)), "\n") {
		number, rest, _ := strings.Cut(line, "\t")
		u, err := strconv.ParseUint(number, 10, 16)
		require.NoError(t, err)
		got[uint16(u)] = append(got[uint16(u)], rest)
	}
	return got
}

// requireWire compares what tshark read with octets 111 and 108 of what was to
// be sent.
func requireWire(t *testing.T, c foreign.Case, got []string) {
	var want []string
	for _, e := range c.Events {
		if len(e.Octets) >= 126 && e.Octets[21] == 4 { // root vector of data
			want = append(want, fmt.Sprintf("%s\t%d\t%d", foreign.Addr(e.Host), e.Octets[111], e.Octets[108]))
		}
	}
	slices.Sort(want)
	slices.Sort(got)
	if c.Announced { // before its group is joined the switch keeps it away
		require.Subset(t, want, got)
		return
	}
	require.Equal(t, want, got, "every packet of the case is on the wire as it says")
}
