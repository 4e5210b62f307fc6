// Command release makes the files to download: for every platform an archive
// with the program, manual pages, completions, reference pages and licences,
// packages for Debian and Red Hat systems, a bill of materials, and one list of
// checksums. The same commit gives the same bytes in any folder. It uploads
// nothing.
//
//	go run ./internal/release            into dist/
//	go run ./internal/release -out DIR -version 1.2.0 -only linux/amd64
//
// It runs the go command, git, and two tools of fixed versions (tools.go).
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/signal"
)

func main() {
	out := flag.String("out", "dist", "folder to write to; it must be empty or absent")
	version := flag.String("version", "", "version to stamp in; usual is the tag of the commit, or its date and hash")
	only := flag.String("only", "", "one platform, as linux/arm64, instead of all")
	flag.Parse()

	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, *out, *version, *only); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		stop()
		os.Exit(1)
	}
}

// run makes the release in a folder.
func run(ctx context.Context, out, version, only string) error {
	platforms, err := choose(only)
	if err != nil {
		return err
	}
	if err := emptyFolder(out); err != nil {
		return err
	}
	r, err := newRelease(ctx, out, version)
	if err != nil {
		return err
	}
	defer os.RemoveAll(r.work)
	if err := r.install(ctx); err != nil {
		return err
	}
	if err := r.common(ctx); err != nil {
		return err
	}
	for _, p := range platforms {
		if err := r.platform(ctx, p); err != nil {
			return fmt.Errorf("%s: %w", p, err)
		}
	}
	return checksums(out)
}

// emptyFolder makes a folder and refuses one that is not empty, so no file of an
// earlier release gets into this one.
func emptyFolder(name string) error {
	if err := os.MkdirAll(name, 0o755); err != nil {
		return err
	}
	entries, err := os.ReadDir(name)
	if err != nil {
		return err
	}
	if len(entries) > 0 {
		return fmt.Errorf("%s is not empty: empty it, or choose another folder with -out", name)
	}
	return nil
}
