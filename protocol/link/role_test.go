package link

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"net"
	"os"
	"strings"
	"time"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip/node"
	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/protocol"
)

// A part is what a process on another host of a test network is told to do.
type part struct {
	Config Config
	Listen ListenConfig
	Change bool // put new values at 44 Hz
	Watch  bool // tell of rivals

	Ours protocol.Ours // whom a listener's sentences are for
	Host int           // which host of the foreign cases this is
	Zero time.Time     // when they begin
}

// A seen is what such a process tells, a line of JSON every 50 ms.
type seen struct {
	At       time.Time
	Links    []linkSeen
	Streams  map[string]streamSeen // "source name/universe"
	Listed   map[string][]protocol.Universe
	Says     []string // sentences about the traffic
	Events   []string
	Received map[string]uint64
	Error    string
}

type linkSeen struct {
	State    State
	Sentence string
	Packets  uint64
	Refused  uint64
	Local    string
}

type streamSeen struct {
	State    protocol.StreamState
	From     string
	Priority uint8
	Packets  uint64
	Missing  uint64
	Twice    uint64
	Jumps    uint64
	Rate     float64
	Group    bool
	Iface    string
}

// play acts out a part until standard input ends.
func play(role string) int {
	var p part
	in := bufio.NewReader(os.Stdin)
	line, _ := in.ReadString('\n')
	if err := json.Unmarshal([]byte(line), &p); err != nil {
		return say(seen{Error: err.Error()}, 1)
	}
	ctx, cancel := context.WithCancel(context.Background())
	go func() {
		in.ReadString('\n') // until it is closed
		cancel()
	}()
	switch role {
	case "send":
		return playSender(ctx, p)
	case "hog":
		return playExclusive(ctx)
	case "strip":
		return playStrip(ctx)
	case "foreign":
		return playForeign(ctx, p)
	default:
		return playListener(ctx, p)
	}
}

// playExclusive is a program that has the port for itself.
func playExclusive(ctx context.Context) int {
	udp, err := net.ListenUDP("udp4", &net.UDPAddr{Port: protocol.Port})
	if err != nil {
		return say(seen{Error: err.Error()}, 1)
	}
	say(seen{Says: []string{"here"}}, 0)
	<-ctx.Done()
	udp.Close()
	return 0
}

func say(s seen, code int) int {
	s.At = time.Now()
	b, _ := json.Marshal(s)
	fmt.Println(string(b))
	return code
}

func playSender(ctx context.Context, p part) int {
	s, err := Open(p.Config)
	if err != nil {
		return say(seen{Error: err.Error()}, 1)
	}
	var watch *Listener
	slots := make([][]byte, len(p.Config.Targets))
	for n := 0; ctx.Err() == nil; n++ {
		for i := range slots {
			slots[i] = []byte{byte(n), 1, 2}
		}
		if p.Change || n == 0 {
			s.Put(slots)
		}
		if p.Watch && watch == nil {
			if watch, err = s.Watch(context.Background()); err != nil {
				return say(seen{Error: err.Error()}, 1)
			}
		}
		if n%4 == 0 {
			say(tellSender(s, watch), 0)
		}
		sleepFor(ctx, 12*time.Millisecond)
	}
	if watch != nil {
		watch.Close()
	}
	closing, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	if err := s.Close(closing); err != nil {
		return say(seen{Error: err.Error()}, 1)
	}
	return say(tellSender(s, nil), 0)
}

func tellSender(s *Sender, watch *Listener) seen {
	var v seen
	for _, st := range s.Status() {
		v.Links = append(v.Links, linkSeen{st.State, st.Sentence(), st.Packets, st.Refused, st.Local.String()})
	}
	for _, e := range s.Events() {
		v.Events = append(v.Events, e.String())
	}
	if watch != nil {
		r := watch.Report()
		v.Streams = streamsSeen(r)
		for _, t := range advice.Sentences(r, s.Ours()) {
			v.Says = append(v.Says, t.Text)
		}
	}
	return v
}

func playListener(ctx context.Context, p part) int {
	l, err := Listen(ctx, p.Listen)
	if err != nil {
		return say(seen{Error: err.Error()}, 1)
	}
	for ctx.Err() == nil {
		say(tellListener(l, p.Ours), 0)
		sleepFor(ctx, 50*time.Millisecond)
	}
	l.Close()
	return 0
}

func tellListener(l *Listener, ours protocol.Ours) seen {
	r := l.Report()
	v := seen{Streams: streamsSeen(r), Listed: map[string][]protocol.Universe{}}
	for _, s := range r.Sources {
		v.Listed[s.Name] = s.Listed
	}
	for _, t := range advice.Sentences(r, ours) {
		v.Says = append(v.Says, t.Text)
	}
	for _, e := range l.Events() {
		v.Events = append(v.Events, e.String())
	}
	return v
}

func streamsSeen(r *protocol.Report) map[string]streamSeen {
	out := map[string]streamSeen{}
	for _, s := range r.Sources {
		for _, st := range s.Streams {
			out[fmt.Sprintf("%s/%d", s.Name, st.Universe)] = streamSeen{
				st.State, s.From.Addr().String(), st.Priority, st.Packets, st.Missing, st.Twice, st.Jumps, st.Rate, st.Multicast, st.Interface,
			}
		}
	}
	return out
}

// playStrip is a simulated strip on 127.0.0.1, with the port of the standard.
func playStrip(ctx context.Context) int {
	p := &prop.Prop{Name: "Buoy lamp", Chip: prop.Chip{Order: "RGB", Volts: 5, LightsPerMetre: 60},
		Runs: []prop.Run{{Name: "lamp", Pixels: 1}}, Address: prop.Address{Universe: 1}}
	node, err := node.Start(ctx, p, node.Options{})
	if err != nil {
		return say(seen{Error: err.Error()}, 1)
	}
	for ctx.Err() == nil {
		say(seen{Streams: map[string]streamSeen{"bench/1": {Packets: node.History().Packets[1], Twice: node.History().OutOfTurn}}}, 0)
		sleepFor(ctx, 50*time.Millisecond)
	}
	node.Close()
	return 0
}

// anyContains is true when one of the lines has the words.
func anyContains(lines []string, words string) bool {
	return strings.Contains(strings.Join(lines, "\n"), words)
}
