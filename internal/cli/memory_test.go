package cli

import "testing"

// Half of what the system has as available counts, within bounds; where it does not
// tell, the most.
func TestMemoryOf(t *testing.T) {
	for account, want := range map[string]int64{
		"MemTotal: 8000000 kB\nMemAvailable:    4000000 kB\n": 2000000 << 10,
		"MemAvailable: 64000000 kB\n":                         mostMemory,
		"MemAvailable: 1000 kB\n":                             leastMemory,
		"MemTotal: 8000000 kB\n":                              mostMemory,
		"":                                                    mostMemory,
	} {
		if got := memoryOf(account); got != want {
			t.Errorf("%q: %d bytes, want %d", account, got, want)
		}
	}
}

func TestBytesOf(t *testing.T) {
	for text, want := range map[string]int64{"500MB": 5e8, "2 GB": 2e9, "0.5gb": 5e8, "1e-9MB": 1,
		"2": 0, "GB": 0, "-1GB": 0, "NaNGB": 0, "": 0} {
		got, err := bytesOf(text)
		if got != want || (err == nil) != (want > 0) {
			t.Errorf("%q: %d and %v, want %d", text, got, err, want)
		}
	}
}
