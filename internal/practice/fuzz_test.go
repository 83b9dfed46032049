package practice

import (
	"context"
	"strconv"
	"strings"
	"testing"
	"time"
)

// FuzzLine: no line makes the meter panic or send an answer of several lines;
// its status can be asked for afterwards.
func FuzzLine(f *testing.F) {
	for _, s := range []string{"*IDN?", "CONF:FRES 100,DEF;:READ?;*ESE 3;*STB?",
		"SENS:RES:NPLC 1;RANG MAX;:INIT;*OPC?",
		`FUNC "VOLT:DC";:MEAS:RES? 3 KOHM`, `SIM:PROBE "0.02",'b';:SIM:PROBE?;:SIM:SHORT 0`,
		"TRIG:SOUR BUS;:INIT;*TRG;FETC?",
		";;:::?;*", "\"'", "SAMP:COUN 3;:READ?;:ABOR"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, line string) {
		i := NewInstrument(still(t), InstrumentOptions{Pace: 1e-6})
		ctx, stop := context.WithTimeout(context.Background(), time.Second)
		defer stop()
		if got := i.Line(ctx, line); strings.ContainsAny(got, "\r\n") && !strings.ContainsAny(line, "\r\n") {
			t.Errorf("%q: answer %q", line, got)
		}
		later := context.Background()
		if b, err := strconv.Atoi(i.Line(later, "*STB?")); err != nil || b < 0 || b > 255 {
			t.Errorf("%q: status byte %d, %v", line, b, err)
		}
		for range mostQueued + 1 {
			if i.Line(later, "SYST:ERR?") == errNone.Error() {
				return
			}
		}
		t.Errorf("%q: the error queue has no end", line)
	})
}
