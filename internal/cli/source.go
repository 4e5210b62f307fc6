package cli

import (
	"crypto/rand"
	"fmt"
	"io"
	"sync"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/settings"
	"example.org/ringout/protocol"
)

// An identity is the source name (ANSI E1.31-2018 6.2.2) and the CID (5.6) that
// this program sends with, both kept in the settings.
type identity struct {
	warn io.Writer // gets warnings about the kept CID

	mu        sync.Mutex
	name      string
	component *settings.Component // nil until something is sent
}

func (own *identity) sourceName() string {
	own.mu.Lock()
	defer own.mu.Unlock()
	return own.name
}

// cid returns the CID, the same until the command ends. It reports a problem with
// the kept CID once.
func (own *identity) cid() protocol.CID {
	own.mu.Lock()
	defer own.mu.Unlock()
	if own.component != nil {
		return own.component.CID
	}
	folder, _ := settings.Default() // without one, Component reports it
	component, err := folder.Component(rand.Reader)
	if err != nil {
		fmt.Fprintf(own.warn, "ringout: %v\n", err)
	}
	own.component = component
	return component.CID
}

// release frees the CID for another ringout.
func (own *identity) release() {
	own.mu.Lock()
	defer own.mu.Unlock()
	own.component.Release()
}

// rename changes the name from the next sender on, and saves it. An unchanged
// name from the command line is not saved.
func (own *identity) rename(name string) error {
	own.mu.Lock()
	defer own.mu.Unlock()
	if name == own.name {
		return nil
	}
	own.name = name
	folder, err := settings.Default()
	if err != nil {
		return err
	}
	return folder.KeepSourceName(name)
}

// named gives a command that sends under an identity the flag --source-name.
func (own *identity) named(c *cobra.Command) *cobra.Command {
	flag := c.Flags().String("source-name", "", "name that others on the network see, at most 63 bytes; without it the one kept by Set-up")
	c.PreRunE = func(c *cobra.Command, _ []string) error {
		name, err := chosenName(c, *flag)
		if err != nil {
			return err
		}
		own.mu.Lock()
		defer own.mu.Unlock()
		own.name = name
		return nil
	}
	return c
}

// chosenName is the name of the flag, or the kept one.
func chosenName(c *cobra.Command, flag string) (string, error) {
	if c.Flags().Changed("source-name") {
		if err := protocol.CheckName(flag); err != nil {
			return "", wrong(c, fmt.Errorf("--source-name: %w", err))
		}
		return flag, nil
	}
	folder, err := settings.Default()
	if err != nil {
		return settings.DefaultName, nil // without a folder no other name can be kept
	}
	return folder.SourceName()
}
