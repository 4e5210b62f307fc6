//go:build !windows

package prop

import (
	"errors"
	"syscall"
)

func isReadOnly(err error) bool { return errors.Is(err, syscall.EROFS) }

func isFull(err error) bool { return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) }
