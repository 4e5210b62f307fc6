package arch

import (
	"path"
	"strings"
)

// module is our own import path.
const module = "example.org/ringout/"

// layers are the floors of the house, lowest first. A package may import
// packages of lower floors, and its own subfolders and siblings of one group.
// The longest prefix counts.
var layers = []struct {
	prefix string
	floor  int
}{
	{"protocol", 1},
	{"protocol/link", 2},
	{"patterns", 1},
	{"internal/route", 2}, // knows holes and cord, nothing of props
	{"internal/prop", 3},
	{"internal/power", 4},
	{"internal/strip", 5},
	{"internal/strip/node", 6},
	{"internal/shopping", 6},
	{"internal/show", 6},
	{"internal/eyes", 4},
	{"internal/checkout", 7},
	{"internal/record", 7},
	{"internal/testkit", 8}, // for tests of any floor; no product file may import it
	{"internal/", 8},        // any other: below the screens, above the rest
	{"internal/underway", 9},
	{"tui", 10},
	{"internal/cli", 11},
	{"cmd", 12},
	{"internal/words", 0},            // English that every package may use
	{"internal/markup", 0},           // HTML with its texts escaped
	{"internal/background", 0},       // sets one value of a library before it starts
	{"internal/testkit/outsider", 0}, // a stranger to our code: it answers by the page alone
	{"internal/memo", 0},             // a value that every package may keep
	{"internal/latest", 0},           // a channel that every package may use
	{"internal/filelock", 0},         // a file locked between processes
	{"internal/sorting", 0},          // one sort for all types
	{"internal/parallel", 0},         // work on every core, done when the call returns
	{"internal/arch", 13},
}

// floorOf is the floor of a package, -1 for a folder without one.
func floorOf(pkg string) int {
	best, floor := -1, -1
	for _, l := range layers {
		if within(pkg, l.prefix) && len(l.prefix) > best {
			best, floor = len(l.prefix), l.floor
		}
	}
	return floor
}

// within reports whether pkg is the folder or lies under it.
func within(pkg, folder string) bool {
	return pkg == folder || strings.HasPrefix(pkg, strings.TrimSuffix(folder, "/")+"/")
}

// mayLook reports whether a package may import another of ours.
func mayLook(from, to string) bool {
	a, b := floorOf(from), floorOf(to)
	switch {
	case b < 0 || a < 0:
		return false
	case within(from, "internal/strip") && within(to, "protocol/link"):
		return false // the strip is the other end of the wire
	case within(to, "patterns") && within(from, "protocol") || within(from, "patterns") && within(to, "protocol"):
		return false // the wire knows nothing of light
	case a == b:
		return group(from) == group(to) || a == floorOf("internal/checkout")
	}
	return b < a
}

// group is the folder whose packages may use each other.
func group(pkg string) string {
	parts := strings.Split(pkg, "/")
	if parts[0] == "internal" && len(parts) > 1 {
		return parts[0] + "/" + parts[1]
	}
	return parts[0]
}

// A gate lists who may import a package. Places are folders, or file names
// with * as path.Match has it.
type gate struct {
	what   []string // import paths, and all below them
	except []string
	who    []string // any file there
	tests  []string // test files there
	why    string
}

var gates = []gate{
	{
		what: []string{"net", "golang.org/x/net"}, except: []string{"net/netip", "net/url"},
		who:   []string{"internal/bench", "protocol/link", "protocol/port", "internal/strip/node"},
		tests: []string{"internal/release", "internal/show", "internal/checkout", "internal/testkit/outsider", "tui", "internal/cli"},
		why:   "only the sender, the listener and the node touch sockets",
	},
	{
		what: []string{"testing", "github.com/stretchr/testify", "pgregory.net/rapid", "go.uber.org/goleak"},
		who:  []string{"internal/testkit"}, tests: []string{"."},
		why: "test helpers do not belong in the program",
	},
	{
		what: []string{"example.org/ringout/internal/testkit"},
		who:  []string{"internal/testkit"}, tests: []string{"."},
		why: "what only tests use stays out of the program",
	},
	{
		what: []string{"github.com/charmbracelet"},
		who:  []string{"tui", "internal/background", "internal/bench/twins"}, tests: []string{"tui", "internal/cli"},
		why: "screens live in tui",
	},
	{
		what: []string{"github.com/spf13/cobra"}, who: []string{"internal/cli", "internal/bench/twins/links"},
		why: "flags live in internal/cli",
	},
	{
		what: []string{"C"}, why: "the program is pure Go",
	},
	{
		what: []string{"text/template", "html/template"},
		why:  "it calls methods by name, so that the linker keeps every exported one (2 MB): use internal/markup",
	},
	{
		what: []string{"unsafe"}, who: []string{"protocol/link/*_linux.go", "internal/strip/node/*_linux.go", "internal/bench/twins/*/main.go"},
		why: "only the system calls of the sender and the simulated prop need it, and of their yardsticks",
	},
}

// pure are the folders without socket, file, clock, chance or goroutine, and
// the folders in them that are not so.
var pure = []struct {
	folder string
	except []string
}{
	{"protocol", []string{"protocol/link", "protocol/port"}},
	{"patterns", nil},
	{"internal/power", nil},
	{"internal/route", nil},
	{"internal/strip", []string{"internal/strip/node"}},
	{"internal/checkout", nil},
	{"internal/plan", nil},
	{"internal/shopping", nil},
	{"internal/words", nil},
	{"internal/latest", nil},
	{"internal/memo", nil},
	{"internal/sorting", nil},
	{"internal/markup", nil},
	{"internal/cli/pages", nil},
	{"internal/testkit/outsider", nil},
	{"internal/traffic/advice", nil},
	{"internal/eyes", []string{"internal/eyes/camera"}},
	{"tui/canvas", nil},
	{"tui/digits", nil},
	{"tui/portrait", nil},
	{"tui/style", nil},
}

// valuesOf are the packages with side effects whose values pure code may use,
// and why. Pure code imports none other of ours that is not pure, neither
// itself nor through another package.
var valuesOf = map[string]string{
	"internal/prop":     "a prop is read from a file and saved there; Prop and Layout are values",
	"internal/parallel": "its goroutines have ended when the call returns, and the result does not depend on their order",
}

// outward are the packages that reach sockets (package net), themselves or
// through what they import, and why. No other package does.
var outward = map[string]string{
	"cmd/ringout":                "the program",
	"internal/cli":               "opens what a command needs",
	"internal/bench":             "measures the sender",
	"internal/show":              "owns the sender; Snapshot has its Status",
	"internal/strip/node":        "a simulated prop listens on UDP",
	"internal/traffic":           "reports the Status and the Event values of protocol/link",
	"internal/underway":          "records the Status of protocol/link and the traffic",
	"internal/testkit/filmtest":  "renders films with povray and ffmpeg",
	"internal/testkit/striptest": "runs a node",
	"protocol/link":              "the sender and the listener",
	"protocol/port":              "shares a port between programs",
	"tui":                        "starts the show's and the listener's relays",
	"tui/bench":                  "Status of protocol/link, and the traffic",
	"tui/check":                  "Want and Snapshot, by internal/show",
	"tui/light":                  "Want and Snapshot, by internal/show",
	"tui/plan":                   "messages of tui/screen",
	"tui/record":                 "messages of tui/screen",
	"tui/screen":                 "Snapshot and what was heard are messages",
	"tui/setup":                  "messages of tui/screen",
	"tui/simulated":              "shows a node",
	"tui/traffic":                "what was heard, by internal/traffic",
}

// impure are the packages that pure code does not import.
var impure = []string{"os", "os/exec", "os/signal", "syscall", "crypto/rand", "log", "golang.org/x/sys"}

// clock are the functions of package time that read or wait for the clock.
var clock = []string{"Now", "Since", "Until", "Sleep", "After", "AfterFunc", "NewTimer", "NewTicker", "Tick"}

// clockless are further folders that are given the time instead of asking,
// though they may touch files or start commands.
var clockless = []string{"internal/prop", "internal/traffic", "tui/traffic", "tui/light", "tui/canvas", "tui/digits", "tui/portrait", "tui/style"}

// ages are files in them that must tell how old a file on disk is.
var ages = []string{"internal/prop/leftover.go"}

// isPure reports whether the rules of purity hold for a file.
func isPure(file string) bool {
	for _, p := range pure {
		if within(path.Dir(file), p.folder) && !listed(file, p.except) {
			return true
		}
	}
	return false
}

// listed reports whether a file is one of the places or lies in one.
func listed(file string, places []string) bool {
	for _, p := range places {
		if match, _ := path.Match(p, file); match || p == "." || within(path.Dir(file), p) {
			return true
		}
	}
	return false
}
