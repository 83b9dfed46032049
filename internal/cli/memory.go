package cli

import (
	"fmt"
	"os"
	"runtime"
	"strconv"
	"strings"
)

// bytesOf reads an amount of memory: "500MB", "2 GB".
func bytesOf(s string) (int64, error) {
	number, scale := s, int64(0)
	for unit, size := range map[string]int64{"MB": 1e6, "GB": 1e9} {
		if rest, ok := strings.CutSuffix(strings.ToUpper(strings.TrimSpace(s)), unit); ok {
			number, scale = strings.TrimSpace(rest), size
		}
	}
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || scale == 0 || !(v > 0 && v <= 1e6) {
		return 0, misuse("as OHMWARD_MEMORY=2GB", "OHMWARD_MEMORY: %q is no amount of memory in MB or GB", s)
	}
	return max(1, int64(v*float64(scale))), nil
}

// peakMB gives the most memory the process held, in MB: the system's figure
// where it tells, else what the Go run-time took from the system.
func peakMB() float64 {
	if status, err := os.ReadFile("/proc/self/status"); err == nil {
		for line := range strings.Lines(string(status)) {
			var kB float64
			if _, err := fmt.Sscanf(line, "VmHWM: %f kB", &kB); err == nil {
				return kB / 1024
			}
		}
	}
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return float64(m.Sys) / (1 << 20)
}
