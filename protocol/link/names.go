package link

import (
	"net"
	"time"
)

// names remembers the names of interfaces by index.
type names struct {
	at   time.Time
	list map[int]string
}

// of is the name; empty if there is none.
func (n *names) of(index int) string {
	if index == 0 {
		return ""
	}
	if n.list == nil || time.Since(n.at) > 10*time.Second {
		n.list, n.at = make(map[int]string), time.Now()
	}
	name, known := n.list[index]
	if !known {
		if ifi, err := net.InterfaceByIndex(index); err == nil {
			name = ifi.Name
		}
		n.list[index] = name
	}
	return name
}
