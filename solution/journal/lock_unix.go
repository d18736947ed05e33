//go:build unix

package journal

import (
	"os"
	"syscall"
)

// lock waits until no other program holds the file. The lock is advisory, of the
// kind that flock(1) takes, and goes with the file when it is closed or the program
// dies.
func lock(f *os.File) error {
	for {
		if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX); err != syscall.EINTR {
			return err
		}
	}
}
