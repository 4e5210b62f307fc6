package main

import (
	"archive/tar"
	"archive/zip"
	"compress/gzip"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"strings"
	"time"
)

// writeTarGz packs files below one folder into a .tar.gz. Owner, date and order are
// fixed, so that the same files give the same bytes.
func writeTarGz(name, folder string, files []file, when time.Time) error {
	return create(name, func(w io.Writer) error {
		zw, err := gzip.NewWriterLevel(w, gzip.BestCompression)
		if err != nil {
			return err
		}
		tw := tar.NewWriter(zw)
		for _, f := range files {
			content, err := os.ReadFile(f.from)
			if err != nil {
				return err
			}
			header := &tar.Header{Name: path.Join(folder, f.name), Mode: f.mode(), Size: int64(len(content)), ModTime: when, Format: tar.FormatUSTAR}
			if err := tw.WriteHeader(header); err != nil {
				return err
			}
			if _, err := tw.Write(content); err != nil {
				return err
			}
		}
		return errors.Join(tw.Close(), zw.Close())
	})
}

// writeZip does the same as a ZIP archive. Text files keep LF line ends, which
// editors on Windows read too.
func writeZip(name, folder string, files []file, when time.Time) error {
	return create(name, func(w io.Writer) error {
		zw := zip.NewWriter(w)
		for _, f := range files {
			content, err := os.ReadFile(f.from)
			if err != nil {
				return err
			}
			header := &zip.FileHeader{Name: path.Join(folder, f.name), Method: zip.Deflate, Modified: when}
			header.SetMode(os.FileMode(f.mode()))
			part, err := zw.CreateHeader(header)
			if err != nil {
				return err
			}
			if _, err := part.Write(content); err != nil {
				return err
			}
		}
		return zw.Close()
	})
}

func (f file) mode() int64 {
	if f.exec {
		return 0o755
	}
	return 0o644
}

// create writes a new file and reports any failed write, including at Close.
func create(name string, write func(io.Writer) error) error {
	f, err := os.Create(name)
	if err != nil {
		return err
	}
	return errors.Join(write(f), f.Close())
}

// checksums writes the SHA-256 of every file in a folder, in the format of
// "sha256sum -c" (GNU coreutils).
func checksums(folder string) error {
	entries, err := os.ReadDir(folder) // sorted by name
	if err != nil {
		return err
	}
	var list strings.Builder
	for _, e := range entries {
		content, err := os.ReadFile(filepath.Join(folder, e.Name()))
		if err != nil {
			return err
		}
		fmt.Fprintf(&list, "%x  %s\n", sha256.Sum256(content), e.Name())
	}
	return os.WriteFile(filepath.Join(folder, "SHA256SUMS"), []byte(list.String()), 0o644)
}
