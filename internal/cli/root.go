package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"example.org/ringout/internal/words"
)

const about = `ringout is a terminal bench tester for addressable-LED pixel strips driven over
the network with streaming ACN (ANSI E1.31). It plans a prop, lights it with
known patterns, finds what is wrong to the pixel and the joint, watches the
traffic, keeps a record and makes the sheet that is handed over.

Cautions. Power off before you cut, solder or join. Fuse every feed. The mains
side of a supply is for licensed people and local codes. Don't stare into a strip
at full white. Flashing light can set off seizures; ringout stays under three
flashes a second. Where this differs from local codes or the maker's
instructions, they hold.`

// newRoot makes the command line; packets are sent under the identity own. To
// add a command: 1. write its file here, a few lines over a package; 2. add it
// to the list below; 3. give it an Example that runs unchanged; 4. describe it
// in pages/commands.md.
func newRoot(own *identity) *cobra.Command {
	f := benchFlags{own: own}
	root := &cobra.Command{
		Use:   "ringout [FILE]",
		Short: "Plan, light, check and record pixel strips on the bench",
		Long:  about,
		Example: `  ringout demo                    the bench on a simulated prop, no hardware needed
  ringout                         the bench; set a strip up by hand
  ringout porthole.toml           the bench on a prop file
  ringout porthole.toml --simulate --fault random
  ringout send chase --to 10.0.0.5 --universe 1 --pixels 144 --order GRB --for 5s`,
		Args:          atMostOne("prop file"),
		SilenceUsage:  true,
		SilenceErrors: true,
		RunE:          f.open,
	}
	root.SetFlagErrorFunc(wrongFlag)
	f.add(root)
	root.AddCommand(own.named(newCheck(own)), own.named(newDemo(own)), newListen(), newNew(), newPlan(), newRecord(), own.named(newSend(own)), newSheet(), newStrip(), newMan())
	root.SetHelpCommand(newHelp())
	countInTens(root)
	return own.named(root)
}

// atMostOne allows one argument or none.
func atMostOne(what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) > 1 {
			return wrong(c, fmt.Errorf("%s given: give one %s at most", words.Count(len(args), "argument"), what))
		}
		return nil
	}
}
