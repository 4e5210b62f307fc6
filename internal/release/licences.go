package main

import (
	"context"
	"debug/buildinfo"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"sort"
	"strings"
)

// licenceName matches the names of files that must be distributed with a copy.
var licenceName = regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice|patents)([.-].*)?$`)

// licences collects in one file the licence texts of every module linked into a
// program and of the Go library. A module without a licence text is an error,
// since the program may then not be distributed.
func (r *release) licences(ctx context.Context, program string) (string, error) {
	info, err := buildinfo.ReadFile(program)
	if err != nil {
		return "", err
	}
	var text strings.Builder
	text.WriteString("ringout is built with the modules below; each is under the licence that follows its name.\n")
	goroot, err := output(ctx, r.root, "go", "env", "GOROOT")
	if err != nil {
		return "", err
	}
	if err := licenceOf(&text, "The Go standard library, "+info.GoVersion, goroot); err != nil {
		return "", err
	}
	for _, m := range info.Deps {
		dir, err := output(ctx, r.root, "go", "list", "-m", "-f", "{{.Dir}}", m.Path)
		if err != nil {
			return "", err
		}
		if err := licenceOf(&text, m.Path+" "+m.Version, dir); err != nil {
			return "", err
		}
	}
	name := filepath.Join(filepath.Dir(program), "LICENCES.txt")
	return name, os.WriteFile(name, []byte(text.String()), 0o644)
}

// licenceOf adds the licence files of one folder.
func licenceOf(text *strings.Builder, title, dir string) error {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return fmt.Errorf("%s: %w", title, err)
	}
	sort.Slice(entries, func(i, j int) bool { return entries[i].Name() < entries[j].Name() })
	found := 0
	for _, e := range entries {
		if e.IsDir() || !licenceName.MatchString(e.Name()) {
			continue
		}
		content, err := os.ReadFile(filepath.Join(dir, e.Name()))
		if err != nil {
			return err
		}
		fmt.Fprintf(text, "\n%s\n%s (%s)\n\n%s\n", strings.Repeat("-", 79), title, e.Name(), strings.TrimSpace(string(content)))
		found++
	}
	if found > 0 {
		return nil
	}
	return licenceInReadme(text, title, dir)
}

// licenceHeading matches the heading of the licence in a module's README.
var licenceHeading = regexp.MustCompile(`(?mi)^#+ +licen[cs]e *$`)

// licenceInReadme extracts the licence section from the README of a module
// without a licence file.
func licenceInReadme(text *strings.Builder, title, dir string) error {
	page, err := os.ReadFile(filepath.Join(dir, "README.md"))
	if err != nil {
		return fmt.Errorf("%s has no licence file", title)
	}
	at := licenceHeading.FindIndex(page)
	if at == nil {
		return fmt.Errorf("%s has no licence file, and its page names no licence", title)
	}
	fmt.Fprintf(text, "\n%s\n%s (README.md)\n\n%s\n", strings.Repeat("-", 79), title, strings.TrimSpace(string(page[at[0]:])))
	return nil
}
