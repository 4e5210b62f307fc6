package cli

import (
	"context"
	"fmt"
	"sync"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/settings"
	"example.org/ringout/protocol"
)

// A naming is the name that this ringout sends under (ANSI E1.31-2018 6.2.2).
// It goes to the senders in the context, since every command but a few sends.
type naming struct {
	mu   sync.Mutex
	name string
}

type namingKey struct{}

// sourceName is the name that a context carries.
func sourceName(ctx context.Context) string {
	n, ok := ctx.Value(namingKey{}).(*naming)
	if !ok {
		return settings.DefaultName
	}
	n.mu.Lock()
	defer n.mu.Unlock()
	return n.name
}

// rename changes the name from the next sender on, and keeps it. One of the
// command line that stays as it is holds for this time only.
func (n *naming) rename(name string) error {
	n.mu.Lock()
	defer n.mu.Unlock()
	if name == n.name {
		return nil
	}
	n.name = name
	folder, err := settings.Default()
	if err != nil {
		return err
	}
	return folder.KeepSourceName(name)
}

// named gives a command that sends the flag --source-name, and its context the
// name.
func named(c *cobra.Command) *cobra.Command {
	flag := c.Flags().String("source-name", "", "name that others on the network see, at most 63 bytes; without it the one kept by Set-up")
	c.PreRunE = func(c *cobra.Command, _ []string) error {
		n := &naming{name: *flag}
		switch {
		case c.Flags().Changed("source-name"):
			if err := protocol.CheckName(n.name); err != nil {
				return wrong(c, fmt.Errorf("--source-name: %w", err))
			}
		default:
			folder, err := settings.Default()
			if err != nil {
				n.name = settings.DefaultName // nowhere to keep another
				break
			}
			if n.name, err = folder.SourceName(); err != nil {
				return err
			}
		}
		c.SetContext(context.WithValue(c.Context(), namingKey{}, n))
		return nil
	}
	return c
}
