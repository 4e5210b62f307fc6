//go:build !linux || portable

package link

// A changes socket reports nothing on these systems: the sockets are checked
// every second.
type changes struct{}

func newChanges() *changes { return new(changes) }

func (*changes) heard() bool { return false }

func (*changes) any() bool { return false }

func (*changes) close() {}
