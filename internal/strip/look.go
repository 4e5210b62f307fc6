package strip

import "time"

// A Look is the light of a strip at one moment. It is never changed once sent.
type Look struct {
	Light  Light
	At     time.Time
	Serial uint64 // counts looks from 1
	Driven bool   // a source drives at least one universe
}
