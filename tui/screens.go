package tui

import (
	"os"

	tea "github.com/charmbracelet/bubbletea"

	"example.org/ringout/internal/settings"
	"example.org/ringout/patterns"
	"example.org/ringout/tui/check"
	"example.org/ringout/tui/light"
	"example.org/ringout/tui/plan"
	"example.org/ringout/tui/record"
	"example.org/ringout/tui/screen"
	"example.org/ringout/tui/setup"
	"example.org/ringout/tui/style"
	"example.org/ringout/tui/traffic"
)

// screens are all screens, in the order of the head line. To add one, see package
// screen.
func screens(cfg Config, st style.Styles, hear func() tea.Msg) []screen.Screen {
	values := cfg.Setup
	if values == (setup.Values{}) {
		values = setup.Defaults()
	}
	if values.Source = cfg.Source; cfg.Source == "" {
		values.Source = settings.DefaultName
	}
	form := setup.New(setup.Options{Style: st, Values: values, Interfaces: cfg.Interfaces,
		Resolve: cfg.Resolve, Save: cfg.SaveSetup, Rename: cfg.Rename, Next: "Light"})
	return []screen.Screen{
		form,
		plan.New(plan.Options{Style: st, Document: cfg.Document, Path: cfg.Path, Kept: cfg.kept}),
		light.New(st, patterns.All()),
		check.New(check.Options{Style: st, Version: cfg.Version, Folder: cfg.Folder, Hidden: cfg.Hidden, Faulty: cfg.Faulty, Mend: cfg.Mend, Lay: cfg.Lay}),
		traffic.New(st, hear),
		record.New(record.Options{Style: st, Version: cfg.Version, Folder: cfg.Spare, Home: home()}),
	}
}

// home is the folder offered when the prop's own can't be written; empty, which is the
// current folder, when there is none.
func home() string {
	dir, err := os.UserHomeDir()
	if err != nil {
		return ""
	}
	return dir
}
