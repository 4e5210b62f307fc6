package main

import (
	"fmt"
	"strings"
)

// A platform is a build target and the formats it is packed in.
// To add one: add its row, then a test that runs its program (run_test.go).
type platform struct {
	os, arch string
	arm      string // GOARM, for 32-bit ARM
	archive  string // tar.gz or zip
	packages bool   // deb and rpm as well
}

var platforms = []platform{
	{os: "linux", arch: "amd64", archive: "tar.gz", packages: true},
	{os: "linux", arch: "arm64", archive: "tar.gz", packages: true},
	{os: "linux", arch: "arm", arm: "6", archive: "tar.gz", packages: true}, // 6: every board with a hardware floating-point unit
	{os: "darwin", arch: "arm64", archive: "tar.gz"},
	{os: "darwin", arch: "amd64", archive: "tar.gz"},
	{os: "windows", arch: "amd64", archive: "zip"},
}

func (p platform) String() string { return p.os + "/" + p.arch }

// program is the file name of the program.
func (p platform) program() string {
	if p.os == "windows" {
		return "ringout.exe"
	}
	return "ringout"
}

// packageArch is the packager's name for the processor.
func (p platform) packageArch() string { return p.arch + p.arm }

// choose returns all platforms, or the one named by only.
func choose(only string) ([]platform, error) {
	if only == "" {
		return platforms, nil
	}
	var known []string
	for _, p := range platforms {
		if p.String() == only {
			return []platform{p}, nil
		}
		known = append(known, p.String())
	}
	return nil, fmt.Errorf("no platform %q: give one of %s", only, strings.Join(known, ", "))
}
