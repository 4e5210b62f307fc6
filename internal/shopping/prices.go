package shopping

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"
)

// Prices are unit prices by item name.
type Prices struct {
	Currency string
	Each     map[string]float64 // in Currency, for one unit of the item
}

// ParsePrices reads a price file: a currency at the top, and a table [price] with one
// line per item, its name in quotes as on the list:
//
//	currency = "EUR"
//	[price]
//	"blade fuse 5 A" = 0.40
//
// The error lists everything that is wrong, one line each; file is the file's name.
func ParsePrices(text []byte, file string) (Prices, error) {
	var all map[string]any
	err := toml.Unmarshal(text, &all)
	var at *toml.DecodeError
	switch {
	case errors.As(err, &at):
		row, _ := at.Position()
		return Prices{}, fmt.Errorf("%s line %d: this is not TOML (%s): write \"NAME\" = 1.50 below [price]", file, row, strings.TrimPrefix(at.Error(), "toml: "))
	case err != nil:
		return Prices{}, fmt.Errorf("%s: %w", file, err)
	}
	p := Prices{Each: map[string]float64{}}
	var bad []error
	wrong := func(key, format string, a ...any) {
		bad = append(bad, fmt.Errorf("%s line %d: %q: %s", file, lineOf(text, key), key, fmt.Sprintf(format, a...)))
	}
	for _, key := range slices.Sorted(maps.Keys(all)) {
		switch v := all[key].(type) {
		case string:
			p.Currency = v
			if key != "currency" {
				wrong(key, "is not known here: there are currency and [price]")
			}
		case map[string]any:
			if key != "price" {
				wrong(key, "is no table of a price file: write [price]")
				continue
			}
			p.each(v, wrong)
		default:
			wrong(key, "is not known here: write prices below [price]")
		}
	}
	return p, errors.Join(bad...)
}

// each reads the prices of the table [price].
func (p Prices) each(table map[string]any, wrong func(key, format string, a ...any)) {
	for _, name := range slices.Sorted(maps.Keys(table)) {
		cost, ok := number(table[name])
		if !ok {
			wrong(name, "%v is no price: write a number, 0 or more, without quotes", table[name])
		}
		p.Each[name] = cost
	}
}

func number(v any) (float64, bool) {
	x, ok := v.(float64)
	if n, whole := v.(int64); whole {
		x, ok = float64(n), true
	}
	return x, ok && x >= 0 && x < 1e9
}

// lineOf is the first line, from 1, that begins with a key; 1 when none does.
func lineOf(text []byte, key string) int {
	for n, line := range strings.Split(string(text), "\n") {
		if strings.HasPrefix(strings.TrimLeft(line, " \t\"'["), key) {
			return n + 1
		}
	}
	return 1
}

// Price puts prices on the list and returns the names that match no item: misspelt
// ones, or ones for another list.
func (l *List) Price(p Prices) (unused []string) {
	l.Currency, l.Total, l.Unpriced = p.Currency, 0, 0
	each, used := map[string]float64{}, map[string]bool{}
	for name, v := range p.Each {
		each[foldName(name)] = v
	}
	for i := range l.Items {
		x := &l.Items[i]
		v, ok := each[foldName(x.Name)]
		if !ok {
			l.Unpriced++
			continue
		}
		used[foldName(x.Name)] = true
		x.Price, x.Cost = v, math.Round(v*x.Quantity*100)/100
		l.Total += x.Cost
	}
	for name := range p.Each {
		if !used[foldName(name)] {
			unused = append(unused, name)
		}
	}
	slices.Sort(unused)
	return unused
}

func foldName(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }
