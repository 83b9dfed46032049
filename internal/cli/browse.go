package cli

import (
	"os"
	"os/exec"
	"runtime"
)

// desktopBrowser gives what opens an address in the desktop's browser; nil where no
// desktop is to be seen.
func desktopBrowser() func(address string) error {
	var opener []string
	switch {
	case runtime.GOOS == "darwin":
		opener = []string{"open"}
	case runtime.GOOS == "windows":
		opener = []string{"rundll32", "url.dll,FileProtocolHandler"}
	case os.Getenv("DISPLAY") != "" || os.Getenv("WAYLAND_DISPLAY") != "":
		opener = []string{"xdg-open"}
	default:
		return nil
	}
	program, err := exec.LookPath(opener[0])
	if err != nil {
		return nil
	}
	return func(address string) error {
		c := exec.Command(program, append(opener[1:], address)...)
		if err := c.Start(); err != nil {
			return err
		}
		go func() { _ = c.Wait() }() // the page is open or not; the bench goes on
		return nil
	}
}
