package cli

import "testing"

func TestBytesOf(t *testing.T) {
	for text, want := range map[string]int64{"500MB": 5e8, "2 GB": 2e9, "0.5gb": 5e8, "1e-9MB": 1,
		"2": 0, "GB": 0, "-1GB": 0, "NaNGB": 0, "": 0} {
		got, err := bytesOf(text)
		if got != want || (err == nil) != (want > 0) {
			t.Errorf("%q: %d and %v, want %d", text, got, err, want)
		}
	}
}
