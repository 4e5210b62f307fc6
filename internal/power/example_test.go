package power_test

import (
	"fmt"

	"example.org/ringout/internal/power"
	"example.org/ringout/internal/prop"
)

// Three rings at level 40 %: what is not in order, in plain words.
func ExamplePlan() {
	r, err := power.Plan(prop.Porthole(), 0.4, power.FullWhite())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f A, lowest %.2f V\n", r.Amps, r.Constant.Lowest)
	for _, f := range r.Feeds {
		fmt.Printf("%s: %.1f A, %s: %s\n", f.Name, f.Amps, f.Check.FuseText(), f.Check.ShortText())
	}
	// Output:
	// 3.6 A, lowest 4.55 V
	// feed "inner": 1.2 A, fuse 5 A: a dead short draws 10.0 A (the supply's rating), which opens the fuse within seconds
	// feed "outer": 2.4 A, fuse 7.5 A: a dead short draws 10.0 A (the supply's rating), which may take minutes to open the fuse, or never
}
