package cli

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// wrongFlag turns an error of the flag library into one sentence: which flag,
// what is wrong with it, what to write instead.
func wrongFlag(c *cobra.Command, err error) error {
	var value *pflag.InvalidValueError
	var missing *pflag.ValueRequiredError
	switch {
	case errors.As(err, &value):
		f := value.GetFlag()
		err = fmt.Errorf("--%s %q %s (%s)", f.Name, value.GetValue(), valueFault(f.Value.Type(), value.GetValue()), f.Usage)
	case errors.As(err, &missing):
		f := missing.GetFlag()
		err = fmt.Errorf("--%s needs a value after it (%s)", f.Name, f.Usage)
	}
	return wrong(c, err)
}

// valueFault says what is wrong with a value for a kind of flag, and what to
// do.
func valueFault(kind, value string) string {
	switch kind {
	case "int", "uint64":
		return wholeFault(kind, value)
	case "float64":
		if strings.Count(value, ",") == 1 && isNumber(strings.Replace(value, ",", ".", 1)) {
			return "has a comma: write a point, such as " + strings.Replace(value, ",", ".", 1)
		}
		return "is not a number: write such as 20 or 2.5"
	case "duration":
		if isNumber(value) {
			return fmt.Sprintf("has no unit: write such as %ss or %[1]sm", strings.TrimPrefix(value, "-"))
		}
		return "is not a length of time: write a number with its unit, such as 5s, 10m or 1h30m"
	case "intSlice":
		return "is not a list of whole numbers: write them with commas between, such as 1,2,3"
	case "bool":
		return "is neither true nor false: leave the value out to turn it on"
	}
	return "does not read well: write another value"
}

func wholeFault(kind, value string) string {
	_, err := strconv.ParseInt(value, 10, 64)
	switch {
	case errors.Is(err, strconv.ErrRange):
		return "is far too large: write a smaller number"
	case kind == "uint64" && strings.HasPrefix(value, "-") && err == nil:
		return "is below 0: write 0 or more"
	}
	return "is not a whole number: write only its digits"
}

func isNumber(s string) bool {
	_, err := strconv.ParseFloat(s, 64)
	return err == nil
}

// countInTens makes every flag of whole numbers decimal: the flag library reads
// 010 as eight and accepts 0x1F, but to a builder 010 is ten.
func countInTens(root *cobra.Command) {
	for _, c := range append(root.Commands(), root) {
		c.Flags().VisitAll(func(f *pflag.Flag) {
			if t := f.Value.Type(); t == "int" || t == "uint64" {
				f.Value = digitsOnly{f.Value}
			}
		})
	}
}

// digitsOnly is a flag of a whole number in decimal digits.
type digitsOnly struct{ pflag.Value }

// Set takes such as 12, 010 or -3.
func (v digitsOnly) Set(s string) error {
	sign, digits := "", s
	switch {
	case strings.HasPrefix(s, "-"):
		sign, digits = "-", s[1:]
	case strings.HasPrefix(s, "+"):
		digits = s[1:]
	}
	if digits == "" || strings.Trim(digits, "0123456789") != "" {
		return strconv.ErrSyntax
	}
	if digits = strings.TrimLeft(digits, "0"); digits == "" {
		digits = "0"
	}
	return v.Value.Set(sign + digits)
}

// onlyOne refuses flags that do not go together.
func onlyOne(c *cobra.Command, names ...string) error {
	var given []string
	for _, n := range names {
		if c.Flags().Changed(n) {
			given = append(given, "--"+n)
		}
	}
	if len(given) > 1 {
		return wrong(c, fmt.Errorf("%s together: give one of them", strings.Join(given, " and ")))
	}
	return nil
}

// A flagConflict is a combination of flags that is not possible, and what to do
// about it.
type flagConflict struct {
	given bool
	text  string
}

// refuse returns the first flagConflict that applies, as an error.
func refuse(c *cobra.Command, all ...flagConflict) error {
	for _, m := range all {
		if m.given {
			return wrong(c, errors.New(m.text))
		}
	}
	return nil
}
