package gerber

import (
	"errors"
	"io"
	"runtime"
	"strings"
	"testing"
	"time"
)

// flood gives the head and then one line over and over, up to a size, and
// notes how far the heap grows meanwhile.
type flood struct {
	head, line  string
	left        int // bytes
	sample      int // bytes until the heap is looked at again
	start, peak uint64
}

func newFlood(head, line string, size int) *flood {
	f := &flood{head: head, line: strings.Repeat(line, 1+65536/len(line)), left: size}
	runtime.GC()
	f.start = heap()
	return f
}

func heap() uint64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

func (f *flood) Read(p []byte) (int, error) {
	if f.head != "" {
		n := copy(p, f.head)
		f.head = f.head[n:]
		return n, nil
	}
	if f.left <= 0 {
		return 0, io.EOF
	}
	n := copy(p, f.line) // p may break the line: then the next begins anew
	for n > 0 && p[n-1] != '\n' {
		n--
	}
	f.left -= n
	if f.sample -= n; f.sample <= 0 {
		f.peak, f.sample = max(f.peak, heap()), 1<<20
	}
	return n, nil
}

// TestFlood: files of 50 MB (of 10 MB where nothing else happens than with
// moves) are read as a stream: what paints nothing takes no
// memory, what paints ends at a limit with one line, all in bounded time. The
// heap is that of the garbage collector too, up to twice what is in use.
func TestFlood(t *testing.T) {
	if testing.Short() {
		t.Skip("reads 50 MB several times: left out of -short")
	}
	const header = "%FSLAX36Y36*%\n%MOMM*%\n%ADD10C,0.1*%\n%ADD11C,0*%\n%ADD12R,0.1X0.1*%\nD10*\nG75*\n"
	for _, c := range []struct {
		name, head, line string
		most             uint64 // MB of heap
		refused          bool
	}{
		{"moves", "", "X1000Y1000D02*\n", 30, false},
		{"comments", "", "G04 nothing at all*\n", 30, false},
		{"apertures chosen", "", "D10*\n", 30, false},
		{"polarity", "", "%LPC*%\n", 30, false},
		{"unknown commands", "", "%ZZ9*%\n", 30, false},
		{"contours of no area", "G36*\n", "X0Y0D02*\nX1000D01*\n", 30, false},
		{"attributes", "", "%TO.N,A*%\n%TD*%\n", 30, false},
		{"apertures defined again", "", "%ADD10C,0.1*%\n", 30, true},
		{"draws", "G01*\n", "X1000Y1000D01*\nX0Y0D01*\n", 400, true},
		{"draws of no size", "D11*\nG01*\n", "X1000Y1000D01*\nX0Y0D01*\n", 800, true},
		{"rectangles drawn", "D12*\nG01*\n", "X1000Y1000D01*\nX0Y0D01*\n", 800, true},
		{"flashes", "", "X1000Y1000D03*\n", 400, true},
		{"arcs", "G03*\n", "X0Y0I90000000J0D01*\n", 400, true},
		{"one contour", "G36*\nG01*\n", "X1000Y1000D01*\nX0Y0D01*\n", 400, true},
		{"one word", "G04", "never ends\n", 30, true},
		{"open steps", "%SRX2Y2I1J1*%\n", "X1000Y1000D03*\n", 400, true},
		{"open blocks", "%ABD20*%\n", "X1000Y1000D03*\n", 400, true},
		{"one macro", "%AMA*\n", "1,1,1,0,0*\n", 100, true},
		{"a macro again and again", "", "%AMA*1,1,1,0,0*%\n", 30, false},
	} {
		size := 50 << 20
		if !c.refused && c.name != "moves" {
			size = 10 << 20
		}
		f := newFlood(header+c.head, c.line, size)
		began := time.Now()
		img, err := Read(f, "flood.gbr")
		took := time.Since(began)
		var unsupported *UnsupportedError
		switch {
		case c.refused && (!errors.As(err, &unsupported) || strings.Contains(err.Error(), "\n") || !strings.HasPrefix(err.Error(), "gerber: flood.gbr:")):
			t.Errorf("%s: %v", c.name, err)
		case !c.refused && (err != nil || img.Complete):
			t.Errorf("%s: %v", c.name, err)
		}
		grown := int64(max(f.peak, f.start)-f.start) >> 20
		t.Logf("%s: %d MB of heap, %v, %v", c.name, grown, took.Round(time.Millisecond), err)
		if grown > int64(c.most) {
			t.Errorf("%s: the heap grows by %d MB, at most %d are allowed", c.name, grown, c.most)
		}
	}
}

// TestExtremes: numbers at and beyond the edge of what is allowed end in one
// line or in an image within the frame, never in a wrapped number.
func TestExtremes(t *testing.T) {
	const top = "%FSLAX66Y66*%%MOMM*%%ADD10C,0.1*%%ADD11R,1.9X1.9*%D10*"
	for _, text := range []string{
		"X999999999999Y0D03*", "X-999999999999Y-999999999999D03*", "X9223372036854775807Y0D03*", "X99999999999999999999Y0D03*",
		"X1000000000Y0D03*", "D11*X999999999Y0D03*", "D11*X999999999Y0D02*X999999999Y5D01*",
		"G75*X999000000Y0D02*G03X999000000Y0I900000000J0D01*", "G75*X0Y0D02*G03X1Y1I999999999999J0D01*",
		"G75*X0Y0D02*G03X0Y0I100000000000J0D01*", "G74*X0Y0D02*G03X1000Y1000I999999999999J999999999999D01*",
		"%SRX1000000000Y1000000000I1J1*%X0Y0D03*%SR*%", "%SRX1000Y1I0.999J0*%X0Y0D03*X900000000D03*%SR*%",
		"%SRX2Y1I99999999999999J0*%X0Y0D03*%SR*%", "%SRX1e9Y1I0J0*%X0Y0D03*%SR*%", "%SRX99999999999999999999Y1I0J0*%X0Y0D03*%SR*%",
		"%LS1000*%D11*X0Y0D03*", "%LR1000000000000000*%X0Y0D03*", "%LS0.000000001*%X0Y0D03*",
		"%ADD12C,999999999999*%", "%ADD12P,999,3,1e9*%", "%ADD12R,0.000000001X0.000000001*%D12*X0Y0D03*",
		"%AMA*1,1,$1/0,0,0*%%ADD12A,1*%", "%AMA*$1=$1/($2-$2)*1,1,$1,0,0*%%ADD12A,1*%", "%AMA*$1=$1x99999*$1=$1x$1*$1=$1x$1*$1=$1x$1*$1=$1x$1*$1=$1x$1*$1=$1x$1*$1=$1x$1*1,1,$1,0,0*%%ADD12A,9*%",
		"%AMA*4,1,99999999999,0,0*%%ADD12A*%", "%AMA*5,1,2000000000,0,0,1,0*%%ADD12A*%", "%AMA*6,0,0,9,0.0000001,0.0000001,99999,1,1,0*%%ADD12A*%D12*X0Y0D03*",
		"%AMA*$99999999999999999999=1*%%ADD12A*%", "%AMA*1,1,$99999999999999999999,0,0*%%ADD12A*%",
		"%ABD12*%D12*X0Y0D03*%AB*%D12*X0Y0D03*", "%ABD12*%X0Y0D03*%ABD12*%X0Y0D03*%AB*%D12*X0Y0D03*%AB*%D12*X0Y0D03*",
		"%OFA999999999B0*%X0Y0D03*", "%SFA999999999B1*%X1000Y0D03*", "D99999999999999999999*X0Y0D03*", "%ADD99999999999999999999C,1*%",
	} {
		began := time.Now()
		img, err := Read(strings.NewReader(top+text+"M02*"), "x.gbr")
		if took := time.Since(began); took > 5*time.Second {
			t.Errorf("%s: takes %v", text, took)
		}
		if err != nil {
			if class, line, says := outcome(nil, err); class == "other" || line != 1 || strings.Contains(says, "\n") || len(says) > 200 {
				t.Errorf("%s: %v", text, err)
			}
			continue
		}
		for _, o := range img.Objects {
			if reach(o.Rings) > 1_000_000_000 {
				t.Errorf("%s: reaches %d nm", text, reach(o.Rings))
			}
		}
	}
}
