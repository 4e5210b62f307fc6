package cli

import (
	"fmt"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// everyFlag calls with each flag of each command that is not a plain text.
func everyFlag(f func(c *cobra.Command, flag *pflag.Flag)) {
	root := newRoot(new(identity))
	for _, c := range append(root.Commands(), root) {
		c.LocalFlags().VisitAll(func(flag *pflag.Flag) {
			if t := flag.Value.Type(); t != "string" && t != "stringSlice" && t != "stringArray" {
				f(c, flag)
			}
		})
	}
}

// Every numeric flag reports an invalid value in one sentence: which flag, what was
// written, what to write.
func TestEveryNumericFlagRefusesInOneSentence(t *testing.T) {
	says := map[string]map[string]string{
		"int": {"x": "is not a whole number: write only its digits", "": "is not a whole number: write only its digits",
			"1.5": "is not a whole number: write only its digits", "99999999999999999999": "is far too large: write a smaller number",
			"-99999999999999999999": "is far too large: write a smaller number", "灯": "is not a whole number: write only its digits"},
		"uint64": {"x": "is not a whole number: write only its digits", "-1": "is below 0: write 0 or more"},
		"float64": {"x": "is not a number: write such as 20 or 2.5", "2,5": "has a comma: write a point, such as 2.5",
			"2,5,1": "is not a number: write such as 20 or 2.5", "": "is not a number: write such as 20 or 2.5"},
		"duration": {"x": "is not a length of time: write a number with its unit, such as 5s, 10m or 1h30m",
			"5": "has no unit: write such as 5s or 5m", "-5": "has no unit: write such as 5s or 5m",
			"9999999999h": "is not a length of time", "": "is not a length of time"},
		"intSlice": {"x": "is not a list of whole numbers: write them with commas between, such as 1,2,3", "1,,2": "is not a list of whole numbers",
			"1-3": "is not a list of whole numbers"},
		"bool": {"x": "is neither true nor false: leave the value out to turn it on"},
	}
	seen := map[string]int{}
	everyFlag(func(c *cobra.Command, flag *pflag.Flag) {
		rows, ok := says[flag.Value.Type()]
		require.True(t, ok, "a kind of flag without a sentence: %s of --%s", flag.Value.Type(), flag.Name)
		seen[flag.Value.Type()]++
		for value, want := range rows {
			args := append(strings.Fields(c.CommandPath())[1:], fmt.Sprintf("--%s=%s", flag.Name, value))
			code, out, errs := command(t, "", args...)
			assert.Equal(t, 2, code, "%v", args)
			assert.Empty(t, out)
			first, rest, _ := strings.Cut(errs, "\n")
			assert.Contains(t, first, fmt.Sprintf("ringout: --%s %q %s", flag.Name, value, want))
			assert.Contains(t, first, "("+flag.Usage+")")
			assert.Equal(t, "Try: "+c.CommandPath()+" --help\n", rest, "one sentence and where to read on")
			for _, theirs := range []string{"strconv", "parsing", "invalid argument", "syntax", ": time", "duration"} {
				assert.NotContains(t, first, theirs)
			}
		}
	})
	for kind := range says {
		assert.NotZero(t, seen[kind], "no flag of kind %s", kind)
	}
}

// 010 is ten, not octal eight; other bases and formats are refused.
func TestWholeNumbersAreInTens(t *testing.T) {
	for value, want := range map[string]string{"010": "10", "0008": "8", "0": "0", "00": "0", "+07": "7"} {
		everyFlag(func(c *cobra.Command, flag *pflag.Flag) {
			switch flag.Value.Type() {
			case "int", "uint64":
			case "intSlice":
			default:
				return
			}
			require.NoError(t, c.Flags().Set(flag.Name, value), "%s --%s=%s", c.Name(), flag.Name, value)
			assert.Equal(t, want, strings.Trim(flag.Value.String(), "[]"), "%s --%s=%s", c.Name(), flag.Name, value)
		})
	}
	for _, value := range []string{"0x1F", "0b1", "0o7", "1_000", "-", "1e3"} {
		code, _, errs := command(t, "", "send", "chase", "--slot="+value)
		assert.Equal(t, 2, code, value)
		assert.Contains(t, errs, fmt.Sprintf("--slot %q is not a whole number: write only its digits", value))
	}
}

// A number outside its range is refused, and the error names the range.
func TestEveryNumericFlagHasItsRange(t *testing.T) {
	t.Chdir(t.TempDir())
	code, _, errs := command(t, "", "new", "porthole", "--defaults")
	require.Zero(t, code, errs)
	code, _, errs = command(t, "", "record", "porthole.toml", "--note", "x")
	require.Zero(t, code, errs)
	send := "send chase --to 127.0.0.1 --pixels 10 --for 1ms "
	rows := map[string]map[string]string{ // command, flag: arguments and what is said
		"send": {
			"port": send + "--port 65536|--port 65536 does not exist: give 1 to 65535", "universe": send + "--universe 64000|give 1 to 63999",
			"slot": send + "--slot 0|give 1 to 512", "pixels": send + "--pixels -1|give 1 to 100000", "priority": send + "--priority 201|give 0 to 200",
			"sync": send + "--sync 64000|give 1 to 63999, or 0 for none", "volts": send + "--volts -1|--volts -1: give the supply's voltage, more than 0",
			"amps": send + "--amps Inf|--amps +Inf: give the rating", "level": send + "--level -1|give 0 to 100 percent",
			"speed": send + "--speed Inf|give more than 0", "step": send + "--step -1|--step -1: give 1 or more", "for": send + "--for -1s|--for -1s: give a time from now on",
		},
		"listen": {
			"universe": "listen --universe 0|universe 0 does not exist: give 1 to 63999", "port": "listen --port 0|--port 0 does not exist: give 1 to 65535",
			"slots": "listen --slots 64000|universe 64000 does not exist", "for": "listen --for -1s|--for -1s: give a time from now on",
			"every": "listen --every 1ms|--every 1ms is too often: give 100ms or more",
		},
		"plan":   {"level": "plan porthole.toml --level 101|--level 101: give 0 to 100 percent"},
		"record": {"entry": "record porthole.toml --entry 9|there is no entry 9: give 1 to 1"},
		"check": {"fresh": "check porthole.toml --fresh -1h|--fresh -1h0m0s: give an age, such as 168h",
			"camera-level": "check porthole.toml --camera list --camera-level 101|--camera-level 101: give more than 0 and at most 100 percent"},
		"strip":   {"seed": "strip --seed -1|is below 0: write 0 or more"},
		"demo":    {"seed": "demo --seed -1|is below 0: write 0 or more"},
		"ringout": {"seed": "porthole.toml --simulate --seed -1|is below 0: write 0 or more"},
	}
	everyFlag(func(c *cobra.Command, flag *pflag.Flag) {
		if flag.Value.Type() == "bool" {
			return
		}
		row, ok := rows[c.Name()][flag.Name]
		require.True(t, ok, "no row for %s --%s", c.Name(), flag.Name)
		args, want, _ := strings.Cut(row, "|")
		code, _, errs := command(t, "", strings.Fields(args)...)
		assert.NotZero(t, code, args)
		assert.Contains(t, errs, want, args)
	})
}

func TestFlagsWithoutAValueOrTogether(t *testing.T) {
	for _, row := range []struct{ args, want string }{
		{"send chase --level", "--level needs a value after it (level in percent, 0 to 100)"},
		{"record a.toml --note", "--note needs a value after it (add a note to the record)"},
		{"check a.toml --plain --json", "--plain and --json together: give one of them"},
		{"check a.toml --flex --load --bulb", "--flex and --load and --bulb together: give one of them"},
	} {
		code, _, errs := command(t, "", strings.Fields(row.args)...)
		assert.Equal(t, 2, code, row.args)
		assert.Contains(t, errs, row.want)
	}
}
