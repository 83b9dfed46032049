package nearest

import (
	"strings"
	"testing"
)

func TestName(t *testing.T) {
	names := []string{"GND", "+3V3", "+5V", "SD_CLK", "SD_CMD", "locate"}
	for _, c := range []struct {
		name, want string
		near       bool
	}{
		{"gnd", "GND", true},
		{"GDN", "GND", true},
		{"3V3", "+3V3", true},
		{"SD_CL", "SD_CLK", true},
		{"loacte", "locate", true},
		{"VBAT", "", false},
		{"", "", false},
		{strings.Repeat("x", 1000), "", false},
	} {
		got, near := Name(c.name, names)
		if near != c.near || near && got != c.want {
			t.Errorf("Name(%.20q) = %q, %v; want %q, %v", c.name, got, near, c.want, c.near)
		}
	}
}
