package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// A release is one run of the command: its folders, the version and date it
// sets, and the files common to all platforms.
type release struct {
	root    string // folder of the module
	out     string
	work    string // temporary folder
	version string
	when    time.Time // of the commit: the date of every file
	shared  []file    // in every archive
}

// A file is one entry of an archive.
type file struct {
	name string // with slashes, below the archive's folder
	from string // on disk
	exec bool
}

// goodVersion matches versions that all package formats accept: digits first.
var goodVersion = regexp.MustCompile(`^[0-9]+\.[0-9]+\.[0-9]+([-+~.][0-9A-Za-z.~+-]+)?$`)

func newRelease(ctx context.Context, out, version string) (*release, error) {
	root, err := output(ctx, "", "go", "list", "-m", "-f", "{{.Dir}}", "example.org/ringout")
	if err != nil {
		return nil, err
	}
	seconds, err := output(ctx, root, "git", "log", "-1", "--format=%ct")
	if err != nil {
		return nil, err
	}
	unix, err := strconv.ParseInt(seconds, 10, 64)
	if err != nil {
		return nil, fmt.Errorf("the date of the commit: %w", err)
	}
	when := time.Unix(unix, 0).UTC()
	if version == "" {
		if version, err = versionOf(ctx, root, when); err != nil {
			return nil, err
		}
	}
	if !goodVersion.MatchString(version) {
		return nil, fmt.Errorf("version %q: write three numbers, such as 1.2.0", version)
	}
	work, err := os.MkdirTemp("", "ringout-release-")
	if err != nil {
		return nil, err
	}
	if out, err = filepath.Abs(out); err != nil {
		return nil, err
	}
	return &release{root: root, out: out, work: work, version: version, when: when}, nil
}

// versionOf is the tag of the commit, or its date and hash if it has none. A
// build with uncommitted changes is marked, since it cannot be reproduced.
func versionOf(ctx context.Context, root string, when time.Time) (string, error) {
	tag, err := output(ctx, root, "git", "describe", "--tags", "--exact-match", "--match", "v[0-9]*")
	if err != nil { // the commit has no tag
		hash, err := output(ctx, root, "git", "rev-parse", "--short=12", "HEAD")
		if err != nil {
			return "", err
		}
		tag = "0.0.0+" + when.Format("20060102") + "." + hash
	}
	changed, err := output(ctx, root, "git", "status", "--porcelain", "--untracked-files=no")
	if err != nil {
		return "", err
	}
	if changed != "" {
		tag += ".changed"
	}
	return strings.TrimPrefix(tag, "v"), nil
}

// common makes the files common to all platforms. A build for this machine
// writes the manual pages and the completions.
func (r *release) common(ctx context.Context) error {
	program := filepath.Join(r.work, "here", "ringout")
	if err := r.build(ctx, platform{}, program); err != nil {
		return err
	}
	man := filepath.Join(r.work, "man")
	if _, err := output(ctx, r.root, program, "man", man); err != nil {
		return err
	}
	pages, err := filepath.Glob(filepath.Join(man, "*.[1-9]"))
	if err != nil {
		return err
	}
	for _, p := range pages {
		section := strings.TrimPrefix(filepath.Ext(p), ".")
		r.add("man/man"+section+"/"+filepath.Base(p), p)
	}
	for _, c := range completions {
		text, err := output(ctx, r.root, program, "completion", c.shell)
		if err != nil {
			return err
		}
		name := filepath.Join(r.work, c.name)
		if err := os.WriteFile(name, []byte(text+"\n"), 0o644); err != nil {
			return err
		}
		r.add("completions/"+c.name, name)
	}
	r.add("README.md", filepath.Join(r.root, "README.md"))
	r.add("LICENSE", filepath.Join(r.root, "LICENSE"))
	return r.addPages()
}

// addPages adds the pages and pictures that the README links to, in the same
// relative places.
func (r *release) addPages() error {
	readme, err := os.ReadFile(filepath.Join(r.root, "README.md"))
	if err != nil {
		return err
	}
	for _, name := range links(string(readme)) {
		from := filepath.Join(r.root, filepath.FromSlash(name))
		info, err := os.Stat(from)
		if err != nil {
			return fmt.Errorf("README.md links to %s: %w", name, err)
		}
		if info.Mode().IsRegular() {
			r.add(name, from)
		}
	}
	return nil
}

func (r *release) add(name, from string) {
	r.shared = append(r.shared, file{name: name, from: from})
}

// completions lists, for each shell, the file in the archive and the path where
// a package installs it, "" for none.
var completions = []struct{ shell, name, installed string }{
	{"bash", "ringout.bash", "/usr/share/bash-completion/completions/ringout"},
	{"zsh", "_ringout", "/usr/share/zsh/vendor-completions/_ringout"},
	{"fish", "ringout.fish", "/usr/share/fish/vendor_completions.d/ringout.fish"},
	{"powershell", "ringout.ps1", ""},
}

// linkTarget matches the target of a link or picture in Markdown.
var linkTarget = regexp.MustCompile(`\]\(([^)#\s]+)`)

// links lists the files of the project that a Markdown page links to, each once,
// in order of appearance.
func links(page string) []string {
	var names []string
	seen := map[string]bool{"LICENSE": true, "README.md": true, "DEVELOPERS.md": true}
	for _, m := range linkTarget.FindAllStringSubmatch(page, -1) {
		if name := m[1]; !seen[name] && !strings.Contains(name, ":") {
			seen[name] = true
			names = append(names, name)
		}
	}
	return names
}

// platform makes archive, packages and bill of materials for one platform.
func (r *release) platform(ctx context.Context, p platform) error {
	name := fmt.Sprintf("ringout_%s_%s_%s%s", r.version, p.os, p.arch, p.arm)
	program := filepath.Join(r.work, name, p.program())
	if err := r.build(ctx, p, program); err != nil {
		return err
	}
	licences, err := r.licences(ctx, program)
	if err != nil {
		return err
	}
	files := append([]file{{name: p.program(), from: program, exec: true}, {name: "LICENCES.txt", from: licences}}, r.shared...)
	archive := writeTarGz
	if p.archive == "zip" {
		archive = writeZip
	}
	if err := archive(filepath.Join(r.out, name+"."+p.archive), name, files, r.when); err != nil {
		return err
	}
	if err := r.billOfMaterials(ctx, program, filepath.Join(r.out, name+".cdx.json")); err != nil {
		return err
	}
	if !p.packages {
		return nil
	}
	return r.packages(ctx, p, files)
}

// build compiles the program for a platform, or for this machine if p is empty.
// It embeds no path, date or build ID, so that the result is reproducible.
func (r *release) build(ctx context.Context, p platform, to string) error {
	env := []string{"CGO_ENABLED=0", "GOFLAGS=", "GOWORK=off"}
	if p.os != "" {
		env = append(env, "GOOS="+p.os, "GOARCH="+p.arch, "GOARM="+p.arm)
	}
	stamp := "-s -w -buildid= -X main.version=" + r.version
	return command(ctx, r.root, env, "go", "build", "-trimpath", "-buildvcs=false", "-ldflags", stamp, "-o", to, "./cmd/ringout")
}
