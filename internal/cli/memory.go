package cli

import (
	"fmt"
	"os"
	"runtime"
	"runtime/debug"
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

// The memory that the process keeps near where nothing is said: half of what the
// machine has free, within these bounds.
const (
	mostMemory  = 4 << 30
	leastMemory = 512 << 20
)

// usualMemory is that, in bytes.
func usualMemory() int64 {

	text := make([]byte, 1<<16)
	f, err := os.Open("/proc/meminfo")
	if err != nil {
		return mostMemory // a system that does not tell
	}
	defer f.Close()
	n, _ := f.Read(text)
	return memoryOf(string(text[:n]))
}

// memoryOf is half of what a system's account of its memory has as available.
func memoryOf(account string) int64 {
	for line := range strings.Lines(account) {
		var kB int64
		if _, err := fmt.Sscanf(line, "MemAvailable: %d kB", &kB); err == nil {
			return min(max(kB<<9, leastMemory), mostMemory)
		}
	}
	return mostMemory
}

// keepNear has the process collect its garbage so often that it stays near so many
// bytes, where what it works with leaves it the choice. GOMEMLIMIT goes before it.
func keepNear(bytes int64) {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(max(bytes, leastMemory/2))
	}
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
