package link_test

import (
	"context"
	"fmt"
	"time"

	"example.org/ringout/internal/traffic/advice"
	"example.org/ringout/protocol"
	"example.org/ringout/protocol/link"
)

// Two pixels on universe 1 of a bulb's own address, red and green, for five
// seconds; then black and the end of the stream.
func ExampleOpen() {
	s, err := link.Open(link.Config{
		CID:      protocol.CID{0x5a, 1, 2, 3, 4, 5, 0x46, 7, 0x88, 9, 10, 11, 12, 13, 14, 15},
		Source:   "bench",
		Priority: link.DefaultPriority,
		Targets:  []link.Target{{Universe: 1, Host: "192.0.2.10"}},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	s.Put([][]byte{{255, 0, 0, 0, 255, 0}})
	time.Sleep(5 * time.Second)
	for _, st := range s.Status() {
		fmt.Println(st.Sentence())
	}
	if err := s.Close(context.Background()); err != nil {
		fmt.Println(err)
	}
}

// Everybody who drives universe 3 by multicast, or announces what they drive.
func ExampleListen() {
	ctx, cancel := context.WithTimeout(context.Background(), 15*time.Second)
	defer cancel()
	l, err := link.Listen(ctx, link.ListenConfig{Universes: []protocol.Universe{3}})
	if err != nil {
		fmt.Println(err)
		return
	}
	for report := range l.Reports() {
		for _, s := range advice.Sentences(report, protocol.Ours{}) {
			fmt.Println(s.Text)
		}
	}
}
