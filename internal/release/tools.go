package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
)

// released lists the tools by version. They are built from their own modules, so
// they are no dependency of the program.
var released = []string{
	"github.com/goreleaser/nfpm/v2/cmd/nfpm@v2.45.2",
	"github.com/CycloneDX/cyclonedx-gomod/cmd/cyclonedx-gomod@v1.10.0",
}

// install builds the tools into the temporary folder.
func (r *release) install(ctx context.Context) error {
	for _, t := range released {
		if err := command(ctx, r.root, []string{"GOBIN=" + filepath.Join(r.work, "tools"), "GOFLAGS="}, "go", "install", t); err != nil {
			return err
		}
	}
	return nil
}

// tool is the path of a built tool.
func (r *release) tool(name string) string { return filepath.Join(r.work, "tools", name) }

// billOfMaterials lists the modules in a program, read from the program itself,
// in the CycloneDX format (ECMA-424). It has no serial number and no date, so that
// it is reproducible.
func (r *release) billOfMaterials(ctx context.Context, program, to string) error {
	return command(ctx, r.root, nil, r.tool("cyclonedx-gomod"), "bin", "-json", "-std", "-noserial", "-notimestamp",
		"-version", "v"+r.version, "-output", to, program)
}

// packages makes a deb and an rpm package.
func (r *release) packages(ctx context.Context, p platform, files []file) error {
	config := filepath.Join(r.work, "package-"+p.packageArch()+".yaml")
	if err := os.WriteFile(config, []byte(r.packageConfig(p, files)), 0o644); err != nil {
		return err
	}
	for _, kind := range []string{"deb", "rpm"} {
		if err := command(ctx, r.root, nil, r.tool("nfpm"), "package", "--config", config, "--packager", kind, "--target", r.out+string(filepath.Separator)); err != nil {
			return err
		}
	}
	return nil
}

// packageConfig is the packager's configuration, in YAML.
func (r *release) packageConfig(p platform, files []file) string {
	var b strings.Builder
	date := r.when.Format("2006-01-02T15:04:05Z")
	fmt.Fprintf(&b, `name: ringout
arch: %s
platform: linux
version: %q
version_schema: none
section: electronics
priority: optional
maintainer: "the ringout maintainers <maintainers@ringout.example.org>"
description: |
  bench tester for addressable-LED pixel strips
  Plans, lights, checks and records props of addressable LEDs that are driven
  over the network with streaming ACN (ANSI E1.31), in a terminal.
homepage: "https://example.org/ringout"
license: MIT
mtime: %q
rpm:
  buildhost: localhost
contents:
`, p.packageArch(), r.version, date)
	for _, f := range files {
		to := installed(f)
		if to == "" {
			continue
		}
		fmt.Fprintf(&b, "  - src: %q\n    dst: %q\n    file_info: {mode: %#o, mtime: %q}\n", f.from, to, f.mode(), date)
	}
	return b.String()
}

// installed is the path where a package installs a file (Filesystem Hierarchy
// Standard 3.0, 4.9.2 and 4.11); empty for a file it leaves out.
func installed(f file) string {
	switch {
	case f.exec:
		return "/usr/bin/" + f.name
	case strings.HasPrefix(f.name, "man/"):
		return "/usr/share/" + f.name
	case strings.HasPrefix(f.name, "completions/"):
		for _, c := range completions {
			if f.name == "completions/"+c.name {
				return c.installed
			}
		}
		return ""
	}
	return "/usr/share/doc/ringout/" + f.name
}

// output runs a command and returns its standard output without the final line end.
func output(ctx context.Context, dir, name string, args ...string) (string, error) {
	var out bytes.Buffer
	err := start(ctx, dir, nil, &out, name, args...)
	return strings.TrimRight(out.String(), "\n"), err
}

// command runs a command and discards its standard output.
func command(ctx context.Context, dir string, env []string, name string, args ...string) error {
	return start(ctx, dir, env, nil, name, args...)
}

// start runs a command in a folder. Its error includes the standard error output.
func start(ctx context.Context, dir string, env []string, out *bytes.Buffer, name string, args ...string) error {
	var said bytes.Buffer
	c := exec.CommandContext(ctx, name, args...)
	c.Dir, c.Env, c.Stderr = dir, append(os.Environ(), env...), &said
	if out != nil {
		c.Stdout = out
	}
	if err := c.Run(); err != nil {
		return fmt.Errorf("%s %s: %w: %s", name, strings.Join(args[:min(2, len(args))], " "), err, strings.TrimSpace(said.String()))
	}
	return nil
}
