//go:build unix

package journal

import (
	"os"
	"syscall"
)

// lock waits until no other program holds the file. The lock is advisory, as that of
// flock(1), and goes when the file is closed or the program dies.
func lock(f *os.File) error {
	for {
		if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX); err != syscall.EINTR {
			return err
		}
	}
}
