package check

import "testing"

// skipped tells whether a test is skipped.
type skipped struct {
	testing.TB
	why string
}

func (s *skipped) Helper()         {}
func (s *skipped) Skip(why ...any) { s.why = why[0].(string) }

func TestClaim(t *testing.T) {
	for value, runs := range map[string]bool{"": false, "1": true} {
		t.Setenv(Claims, value)
		s := &skipped{TB: t}
		if Claim(s); (s.why == "") != runs {
			t.Errorf("%s=%q: skipped for %q", Claims, value, s.why)
		}
		want := 2
		switch {
		case runs:
			want = 3
		case testing.Short():
			want = 1
		}
		if n := Draws(t, 1, 2, 3); n != want {
			t.Errorf("%s=%q: draws %d, want %d", Claims, value, n, want)
		}
	}
}
