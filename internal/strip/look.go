package strip

import "time"

// A Look is what a strip lights at one moment. It is never written once handed
// out.
type Look struct {
	Light  Light
	At     time.Time
	Serial uint64 // counts looks from 1
	Driven bool   // a source drives at least one universe
}
