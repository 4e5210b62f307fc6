package check

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"example.org/ringout/internal/prop"
	"example.org/ringout/internal/strip"
	"example.org/ringout/internal/testkit/rowcheck"
)

// rowPages are the pages whose rows are judged: all visits, and some that no visit reaches.
func rowPages() map[string]func(t *testing.T) *evening {
	pages := map[string]func(t *testing.T) *evening{
		"bulb, start": func(t *testing.T) *evening { return begin(t, Options{}, prop.BuoyLamp(), "") },
		"bulb, slots": func(t *testing.T) *evening {
			e := begin(t, Options{}, prop.BuoyLamp(), "")
			e.press("1")
			return e
		},
		"pennant": func(t *testing.T) *evening {
			e := begin(t, Options{}, prop.Pennant(), "")
			e.press("1")
			return e
		},
		"camera lost": func(t *testing.T) *evening {
			e := visits["start"].open(t, termenv.Ascii)
			e.m = e.m.lost(errors.New("the pictures of the phone ended: start it again"))
			return e
		},
	}
	for name, v := range visits {
		pages[name] = func(t *testing.T) *evening { return v.open(t, termenv.Ascii) }
	}
	return pages
}

// One empty row is between things wherever there is room, never two, and nothing is hidden
// below while rows are free.
func TestRowsOfPages(t *testing.T) {
	for name, open := range rowPages() {
		t.Run(name, func(t *testing.T) {
			e := open(t)
			for _, size := range sizes {
				e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
				view := ansi.Strip(e.m.View(size[0], rowsOf(size)))
				for _, fault := range rowcheck.Faults(strings.Split(view, "\n"), 1) {
					assert.Fail(t, fmt.Sprint(size, ": ", fault), view)
				}
			}
		})
	}
}

// Where a remedy begins with the power off, that is in sight on the smallest pages before
// anything is scrolled, for every kind of fault that a check-out settles.
func TestPowerOffIsInSight(t *testing.T) {
	p := prop.Porthole()
	settled := 0
	for _, kind := range strip.Kinds() {
		every := strip.Every(kind, p)
		if len(every) == 0 {
			continue
		}
		if _, err := strip.New(p, every[len(every)/2]); err != nil {
			continue // this prop can't have it
		}
		e := begin(t, Options{Style: styles(termenv.Ascii)}, p, "", every[len(every)/2])
		e.press("1")
		e.through()
		f := e.m.st.findings
		if len(f) == 0 || !f[0].Sure.Firm() || len(f[0].Causes) == 0 || !strings.HasPrefix(f[0].Causes[0].Remedy, "Power off") {
			continue
		}
		settled++
		for _, size := range sizes[:2] {
			e.feed(tea.WindowSizeMsg{Width: size[0], Height: rowsOf(size)})
			assert.Contains(t, e.m.View(size[0], rowsOf(size)), "Power off", "%s at %v", kind, size)
		}
	}
	assert.Greater(t, settled, 5)
}
