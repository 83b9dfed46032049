//go:build !unix

package record

import "os"

// running tells whether there is a process of that number on this machine.
func running(process int) bool {
	p, err := os.FindProcess(process)
	if err != nil {
		return false
	}
	_ = p.Release() // it was only looked for
	return true
}
