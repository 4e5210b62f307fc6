package cli

import (
	"encoding/json"
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/shopping"
)

// printList writes what to buy for all props, with prices from a file where
// one is named.
func printList(c *cobra.Command, props []*prop.Prop, prices string, asJSON, asCSV bool) error {
	list, err := shopping.For(props)
	if err != nil {
		return err
	}
	if prices != "" {
		text, err := os.ReadFile(prices)
		if err != nil {
			return fmt.Errorf("the prices cannot be read: %w", err)
		}
		each, err := shopping.ParsePrices(text, prices)
		if err != nil {
			return err
		}
		for _, name := range list.Price(each) {
			fmt.Fprintf(c.ErrOrStderr(), "ringout: %s has a price for %q, which is not on this list\n", prices, name)
		}
	}
	switch {
	case asJSON:
		enc := json.NewEncoder(c.OutOrStdout())
		enc.SetEscapeHTML(false)
		enc.SetIndent("", "  ")
		return enc.Encode(list)
	case asCSV:
		return list.WriteCSV(c.OutOrStdout())
	}
	_, err = fmt.Fprint(c.OutOrStdout(), list.Text())
	return err
}
