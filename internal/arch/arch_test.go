package arch

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// root is the folder of the module, seen from this one.
const root = "../.."

func TestEveryFileKeepsItsPlace(t *testing.T) {
	files := 0
	err := filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == "testdata" || strings.HasPrefix(d.Name(), ".") && name != root) {
			return filepath.SkipDir
		}
		if filepath.Ext(name) != ".go" {
			return nil
		}
		src, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, name)
		if err != nil {
			return err
		}
		files++
		for _, fault := range faults(t, filepath.ToSlash(rel), string(src)) {
			t.Error(fault)
		}
		return nil
	})
	require.NoError(t, err)
	require.Greater(t, files, 50, "the walk met hardly any files")
}

// faults lists what a file does that its place does not allow.
func faults(t *testing.T, file, src string) []string {
	t.Helper()
	set := token.NewFileSet()
	f, err := parser.ParseFile(set, file, src, parser.SkipObjectResolution)
	require.NoError(t, err)
	var out []string
	say := func(at token.Pos, format string, a ...any) {
		out = append(out, fmt.Sprintf("%s:%d: ", file, set.Position(at).Line)+fmt.Sprintf(format, a...))
	}
	for _, imp := range f.Imports {
		to, err := strconv.Unquote(imp.Path.Value)
		require.NoError(t, err)
		for _, fault := range importFaults(file, to) {
			say(imp.Pos(), "imports %s: %s", to, fault)
		}
	}
	if test := strings.HasSuffix(file, "_test.go"); !test && isPure(file) {
		pureFaults(f, say)
	} else if !test && !listed(file, ages) && slices.ContainsFunc(clockless, func(c string) bool { return within(path.Dir(file), c) }) {
		clockFaults(f, say)
	}
	return out
}

// importFaults says why a file may not import a package.
func importFaults(file, to string) []string {
	var out []string
	test := strings.HasSuffix(file, "_test.go")
	for _, g := range gates {
		closed := under(to, g.what) && !under(to, g.except)
		if closed && !listed(file, g.who) && !(test && listed(file, g.tests)) {
			out = append(out, g.why)
		}
	}
	if ours, yes := strings.CutPrefix(to, module); yes && !test && !mayLook(path.Dir(file), ours) {
		out = append(out, "arrows point down only; see layers in internal/arch/rules_test.go")
	}
	if !test && isPure(file) && under(to, impure) {
		out = append(out, "this package is pure")
	}
	return out
}

// under reports whether an import path is one of a list or below one.
func under(to string, list []string) bool {
	return slices.ContainsFunc(list, func(w string) bool { return within(to, w) })
}

// pureFaults finds goroutines, the clock and lots drawn without a seed.
func pureFaults(f *ast.File, say func(token.Pos, string, ...any)) {
	ast.Inspect(f, func(n ast.Node) bool {
		if g, yes := n.(*ast.GoStmt); yes {
			say(g.Pos(), "starts a goroutine, but this package is pure")
		}
		return true
	})
	clockFaults(f, say)
	seeded := []string{"New", "NewPCG", "NewChaCha8", "NewZipf", "Rand", "Source", "PCG", "ChaCha8"}
	uses(f, []string{"math/rand", "math/rand/v2"}, func(at token.Pos, name string) {
		if !slices.Contains(seeded, name) {
			say(at, "draws lots with rand.%s: take a seed instead", name)
		}
	})
}

// clockFaults finds what reads the clock.
func clockFaults(f *ast.File, say func(token.Pos, string, ...any)) {
	uses(f, []string{"time"}, func(at token.Pos, name string) {
		if slices.Contains(clock, name) {
			say(at, "uses time.%s: take the time as an argument", name)
		}
	})
}

// uses calls found for every name of the packages that the file uses.
func uses(f *ast.File, pkgs []string, found func(at token.Pos, name string)) {
	names := map[string]bool{}
	for _, imp := range f.Imports {
		p, _ := strconv.Unquote(imp.Path.Value)
		if !slices.Contains(pkgs, p) {
			continue
		}
		name := strings.TrimSuffix(p, "/v2")
		name = path.Base(name)
		if imp.Name != nil {
			name = imp.Name.Name
		}
		names[name] = true
	}
	ast.Inspect(f, func(n ast.Node) bool {
		sel, yes := n.(*ast.SelectorExpr)
		if !yes {
			return true
		}
		if x, yes := sel.X.(*ast.Ident); yes && names[x.Name] {
			found(sel.Pos(), sel.Sel.Name)
		}
		return true
	})
}

// TestFaultsAreFound shows that the test above can fail.
func TestFaultsAreFound(t *testing.T) {
	rows := []struct {
		file, src, says string
	}{
		{"patterns/x.go", `import "net"`, "touch sockets"},
		{"patterns/x.go", `import "net/http"`, "touch sockets"},
		{"internal/strip/light.go", `import "net"`, "touch sockets"},
		{"internal/strip/light_test.go", `import "net"`, "touch sockets"},
		{"internal/strip/node/x.go", `import "example.org/ringout/protocol/link"`, "down only"},
		{"internal/strip/span.go", `import "golang.org/x/net/ipv4"`, "touch sockets"},
		{"patterns/x_test.go", `import "net"`, "touch sockets"},
		{"protocol/x.go", `import "os"`, "is pure"},
		{"internal/power/x.go", `import "testing"`, "test helpers"},
		{"internal/power/x.go", `import "github.com/stretchr/testify/require"`, "test helpers"},
		{"internal/show/x.go", `import "github.com/charmbracelet/lipgloss"`, "screens live in tui"},
		{"tui/x.go", `import "github.com/spf13/cobra"`, "flags live in internal/cli"},
		{"protocol/link/x.go", `import "C"`, "pure Go"},
		{"protocol/link/x.go", `import "unsafe"`, "system calls"},
		{"internal/record/x.go", `import "html/template"`, "internal/markup"},
		{"internal/prop/x.go", `import "example.org/ringout/internal/power"`, "down only"},
		{"internal/strip/x.go", `import "example.org/ringout/protocol/link"`, "down only"},
		{"internal/show/x.go", `import "example.org/ringout/internal/settings"`, "down only"},
		{"internal/show/x.go", `import "example.org/ringout/tui"`, "down only"},
		{"protocol/x.go", `import "example.org/ringout/patterns"`, "down only"},
		{"patterns/x.go", `import "example.org/ringout/protocol"`, "down only"},
		{"tui/x.go", `import "example.org/ringout/internal/cli"`, "down only"},
		{"internal/checkout/x.go", `import "time"; func f() { time.Sleep(1) }`, "time.Sleep"},
		{"internal/checkout/x.go", `import clk "time"; var now = clk.Now`, "time.Now"},
		{"internal/prop/x.go", `import "time"; func f() { time.Now() }`, "time.Now"},
		{"patterns/x.go", `func f() { go f() }`, "goroutine"},
		{"internal/strip/x.go", `import "math/rand/v2"; func f() { rand.IntN(3) }`, "rand.IntN"},
		{"internal/testkit/outsider/x.go", `import "example.org/ringout/internal/words"`, "down only"},
		{"oddly/placed/x.go", `import "example.org/ringout/patterns"`, "down only"},
	}
	for _, r := range rows {
		got := strings.Join(faults(t, r.file, "package x; "+r.src), "\n")
		require.Contains(t, got, r.says, "%s: %s", r.file, r.src)
	}
}

// TestGoodFilesPass shows that it does not always fail.
func TestGoodFilesPass(t *testing.T) {
	rows := []struct{ file, src string }{
		{"protocol/x.go", `import "net/netip"; import "time"; var d time.Duration`},
		{"internal/strip/node/node.go", `import "net"; import "time"; var now = time.Now()`},
		{"internal/strip/node/node_test.go", `import "net"; import "example.org/ringout/internal/testkit/striptest"`},
		{"internal/testkit/striptest/x.go", `import "testing"; import "example.org/ringout/internal/strip"`},
		{"internal/strip/x.go", `import "math/rand/v2"; var r = rand.New(rand.NewPCG(1, 2))`},
		{"tui/light/x.go", `import "example.org/ringout/tui/canvas"; import "example.org/ringout/internal/show"`},
		{"internal/cli/root.go", `import "example.org/ringout/tui"; import "github.com/spf13/cobra"`},
		{"cmd/ringout/main.go", `import "example.org/ringout/internal/cli"`},
		{"internal/show/x.go", `import "example.org/ringout/protocol/link"; import "time"; var n = time.Now`},
	}
	for _, r := range rows {
		require.Empty(t, faults(t, r.file, "package x; "+r.src), r.file)
	}
}

// packages are all of the module with everything that each imports, also
// through others, by the go command's word.
func packages(t *testing.T) map[string][]string {
	t.Helper()
	cmd := exec.Command("go", "list", "-f", `{{.ImportPath}} {{join .Deps " "}}`, "./...")
	cmd.Dir = root
	out, err := cmd.Output()
	require.NoError(t, err)
	all := map[string][]string{}
	for line := range strings.Lines(string(out)) {
		words := strings.Fields(line)
		all[strings.TrimPrefix(words[0], module)] = words[1:]
	}
	require.Greater(t, len(all), 40)
	return all
}

// TestWhatReachesSocketsIsListed: sockets are reached, also through imports, by
// the packages of the table alone, and by each of them; other programs are
// started by no pure package.
func TestWhatReachesSocketsIsListed(t *testing.T) {
	all := packages(t)
	for pkg, deps := range all {
		sockets := slices.Contains(deps, "net")
		if !within(pkg, "internal/bench/twins") {
			require.Equal(t, outward[pkg] != "", sockets, "does %s reach net, and does it stand in the table outward?", pkg)
		}
		programs := slices.Contains(deps, "os/exec") && !within(pkg, "tui") // Lip Gloss imports it
		require.False(t, isPure(pkg+"/x.go") && (sockets || programs), "%s is pure, but reaches net %v, os/exec %v", pkg, sockets, programs)
	}
	for pkg := range outward {
		require.Contains(t, all, pkg, "the table outward names a package that is not there")
	}
}

// TestPureCodeUsesPureCode: what a pure package imports of ours, also through
// others, is pure too, or a package whose values it may use.
func TestPureCodeUsesPureCode(t *testing.T) {
	checked := 0
	for pkg, deps := range packages(t) {
		if !isPure(pkg + "/x.go") {
			continue
		}
		checked++
		for _, d := range deps {
			ours, yes := strings.CutPrefix(d, module)
			require.False(t, yes && !isPure(ours+"/x.go") && valuesOf[ours] == "", "%s is pure and reaches %s", pkg, ours)
		}
	}
	require.Greater(t, checked, 15)
}

// wholeFolders are folders of packages that DEVELOPERS.md names as one.
var wholeFolders = []string{"tui", "internal/testkit", "internal/bench"}

// TestEveryPackageHasARow: the table of packages in DEVELOPERS.md names every
// package, alone or with its folder.
func TestEveryPackageHasARow(t *testing.T) {
	text, err := os.ReadFile(root + "/DEVELOPERS.md")
	require.NoError(t, err)
	_, table, ok := strings.Cut(string(text), "\n## The house\n")
	require.True(t, ok)
	table, _, _ = strings.Cut(table, "\n## ")
	var unnamed []string
	for pkg := range packages(t) {
		inFolder := slices.ContainsFunc(wholeFolders, func(f string) bool { return within(pkg, f) })
		if !inFolder && !strings.Contains(table, "`"+pkg+"`") {
			unnamed = append(unnamed, pkg)
		}
	}
	require.Empty(t, unnamed, "packages without a row in DEVELOPERS.md")
	for _, f := range wholeFolders {
		require.Contains(t, table, "`"+f+"`")
	}
}
