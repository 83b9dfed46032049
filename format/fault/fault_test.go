package fault

import (
	"errors"
	"strings"
	"testing"
	"testing/iotest"
)

func TestErrors(t *testing.T) {
	l := NewLog("gerber", "top.gbr")
	l.Line = 7
	for _, c := range []struct {
		err  error
		kind Kind
		want string
	}{
		{l.Malformed("aperture D%d", 12), Malformed, "gerber: top.gbr:7: aperture D12"},
		{l.Unsupported("too large"), Unsupported, "gerber: top.gbr:7: too large"},
	} {
		var e *Error
		if !errors.As(c.err, &e) || e.Kind != c.kind || e.Line != 7 || e.Error() != c.want {
			t.Errorf("got %#v, want %v: %s", c.err, c.kind, c.want)
		}
	}
}

func TestReadAll(t *testing.T) {
	l := NewLog("gerber", "top.gbr")
	if data, err := l.ReadAll(strings.NewReader("1234"), 4); err != nil || string(data) != "1234" {
		t.Errorf("at the limit: %q, %v", data, err)
	}
	_, err := l.ReadAll(strings.NewReader("12345"), 4)
	if e, ok := err.(*Error); !ok || e.Kind != Unsupported || !strings.HasSuffix(e.What, "more than 4 bytes") {
		t.Errorf("beyond the limit: %v", err)
	}
	broken := errors.New("the disk is gone")
	if _, err := l.ReadAll(iotest.ErrReader(broken), 4); !errors.Is(err, broken) {
		t.Errorf("a broken stream: %v", err)
	}
}

// What repeats itself is given once, by its words or by its kind.
func TestOnce(t *testing.T) {
	l := NewLog("gerber", "top.gbr")
	for i := range 4 {
		l.Line = i + 1
		l.WarnOnce("word %d", i%2)
		l.WarnFirst("kind %d", i)
	}
	want := []Warning{{Line: 1, What: "word 0"}, {Line: 1, What: "kind 0"}, {Line: 2, What: "word 1"}}
	if len(l.Warnings) != 3 || l.Warnings[0] != want[0] || l.Warnings[1] != want[1] || l.Warnings[2] != want[2] {
		t.Errorf("got %v, want %v", l.Warnings, want)
	}
}

// The list ends with one closing warning, and the log stops growing.
func TestManyWarnings(t *testing.T) {
	l := NewLog("gerber", "top.gbr")
	for i := range 3 * MaxWarnings {
		l.WarnOnce("number %d", i)
		l.Guess("again")
	}
	if n := len(l.Warnings); n != MaxWarnings+1 || l.Warnings[n-1].What != "more warnings left out" {
		t.Errorf("%d warnings, the last %v", n, l.Warnings[n-1])
	}
	if !l.Warnings[1].Guess || l.Warnings[0].Guess || len(l.once) > MaxWarnings {
		t.Errorf("first two %v, %d words kept", l.Warnings[:2], len(l.once))
	}
}

func TestClip(t *testing.T) {
	if got := Clip("aµµ", 4); got != "aµ..." {
		t.Errorf("got %q", got)
	}
	if s := strings.Repeat("x", 40); Short(s) != s || Short(s+"y") != s+"..." {
		t.Error("text of 40 bytes stays whole, longer text is cut there")
	}
}
