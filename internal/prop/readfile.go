package prop

import (
	"fmt"
	"io"
	"io/fs"
	"os"
	"syscall"
)

// ReadFile reads a whole file. It refuses folders, devices, sockets and files of more
// than limit bytes before reading. A pipe, such as a shell makes for <(command), is
// read to its end, waiting for its writer; one without a writer is refused.
func ReadFile(path string, limit int64) ([]byte, error) {
	st, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if err := readable(path, st, limit); err != nil {
		return nil, err
	}
	// Without O_NONBLOCK, open waits until a pipe has a writer (fifo(7)).
	f, err := os.OpenFile(path, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, limit+1))
	switch {
	case err != nil:
		return nil, fmt.Errorf("%s cannot be read: %w", path, err)
	case int64(len(text)) > limit:
		return nil, tooLong(path, limit)
	case len(text) == 0 && st.Mode()&fs.ModeNamedPipe != 0:
		return nil, because(fs.ErrInvalid, "%s is a pipe that nothing was written into: name a file, or write into it first", path)
	}
	return text, nil
}

// readRegular is ReadFile for prop files; it refuses pipes, which can be read only
// once.
func readRegular(path string) ([]byte, error) {
	if st, err := os.Stat(path); err == nil && !st.Mode().IsRegular() {
		return nil, because(fs.ErrInvalid, "%s is not a file", path)
	}
	return ReadFile(path, MaxFile)
}

// readable checks by kind and size whether a file may be read.
func readable(path string, st fs.FileInfo, limit int64) error {
	switch mode := st.Mode(); {
	case mode.IsDir():
		return because(fs.ErrInvalid, "%s is a folder: name a file in it", path)
	case mode&fs.ModeNamedPipe != 0:
		return nil
	case !mode.IsRegular():
		return because(fs.ErrInvalid, "%s is a device or a socket, not a file: name a file", path)
	case st.Size() > limit:
		return tooLong(path, limit)
	}
	return nil
}

func tooLong(path string, limit int64) error {
	return because(fs.ErrInvalid, "%s is larger than %d MB, the most that is read of such a file: check that it is the right one", path, limit>>20)
}
