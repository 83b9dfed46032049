package practice

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

// still is a wire without noise, its tips on 18.7 mohm.
func still(t testing.TB) *Wire {
	t.Helper()
	w := NewWire(func(p []string, cleared bool) (float64, float64, error) {
		if cleared {
			return 2e4, 2e4, nil
		}
		switch p[0] {
		case "open":
			return math.Inf(1), math.Inf(1), nil
		case "none":
			return 0, 0, fmt.Errorf("no such place as \"none\"")
		}
		x, err := strconv.ParseFloat(p[0], 64)
		return x, x, err
	}, Noise{}, Effects{Plain: true}, seeded(1))
	w.leads = 0.08
	return w
}

// dialogue runs lines and compares their answers.
func dialogue(t *testing.T, i *Instrument, lines ...[2]string) {
	t.Helper()
	for _, l := range lines {
		if got := i.Line(context.Background(), l[0]); got != l[1] {
			t.Errorf("%s: got %s, want %s", l[0], got, l[1])
		}
	}
}

// The mandatory commands and the status bits of IEEE 488.2 (10, 11.2, 11.5.1).
func TestStatus(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		dialogue(t, NewInstrument(still(t), InstrumentOptions{}),
			[2]string{"*IDN?", "OHMWARD,PRACTICE METER,0,1"},
			[2]string{"*ESR?", "128"}, // power on
			[2]string{"*ESR?", "0"},   // reading clears it
			[2]string{"*ESE 36", ""}, [2]string{"*ESE?", "36"},
			[2]string{"*SRE 255", ""}, [2]string{"*SRE?", "191"}, // bit 6 is never enabled
			[2]string{"*STB?", "0"},
			[2]string{"*ESE?;*STB?", "36;80"}, // an answer waits: bits 4 and 6
			[2]string{"BEEP", ""},
			[2]string{"*STB?", "100"}, // error queue 4, event 32, master 64
			[2]string{"*ESR?", "32"},  // command error
			[2]string{"SYST:ERR?", `-113,"Undefined header"`},
			[2]string{"SYSTEM:ERROR:NEXT?", `0,"No error"`},
			[2]string{"*ESE 256", ""}, [2]string{"*ESR?", "16"}, // execution error
			[2]string{":syst:err?", `-222,"Data out of range"`},
			[2]string{"FETC?", ""}, [2]string{"SYST:ERR?", `-230,"Data corrupt or stale"`},
			[2]string{"*CLS", ""}, [2]string{"*ESR?", "0"},
			[2]string{"*OPC", ""}, [2]string{"*ESR?", "1"},
			[2]string{"INIT;*OPC", ""}, [2]string{"*ESR?", "0"}, // not yet
			[2]string{"*WAI", ""}, [2]string{"*ESR?", "1"},
			[2]string{"*OPC?", "1"}, [2]string{"*TST?", "0"}, [2]string{"SYST:VERS?", "1999.0"},
			[2]string{"*IDN? 1", ""}, [2]string{"SYST:ERR?", `-108,"Parameter not allowed"`},
			[2]string{"CONF:RES 'x", ""}, [2]string{"SYST:ERR?", `-102,"Syntax error"`},
			[2]string{"*RST;*SRE?", "191"}, // reset leaves the status as it is
		)
	})
}

// Headers go on from the path before them; a long queue says that it overflows.
func TestHeaders(t *testing.T) {
	i := NewInstrument(still(t), InstrumentOptions{})
	dialogue(t, i,
		[2]string{"SENS:RES:NPLC 1;RANG 1000;:SENS:FRES:NPLC 2", ""},
		[2]string{"SENSE:RESISTANCE:NPLCYCLES?;RANGE?;RANGE:AUTO?", "+1.00000000E+00;+1.00000000E+03;0"},
		[2]string{"SYST:ERR?", `0,"No error"`},
		[2]string{"RES:NPLC?;*ESE?;RANG:AUTO?;:FRES:NPLC?", "+1.00000000E+00;0;0;+2.00000000E+00"},
		[2]string{"RESI:NPLC?", ""}, [2]string{"SYST:ERR?", `-113,"Undefined header"`},
		[2]string{"FUNC 'FRES';FUNC?", `"FRES"`}, [2]string{`SENS:FUNC:ON "VOLT:DC";:SENS:FUNC?`, `"VOLT"`},
		[2]string{`FUNC "AMPS"`, ""}, [2]string{"SYST:ERR?", `-224,"Illegal parameter value"`},
		[2]string{"CONF:RES 3 KOHM,DEF;:CONF?", `"RES +1.00000000E+04,+1.00000000E-02"`},
		[2]string{"CONF:RES 3 FURLONG", ""}, [2]string{"SYST:ERR?", `-131,"Invalid suffix"`},
		[2]string{"RES:RANG 1E12", ""}, [2]string{"SYST:ERR?", `-222,"Data out of range"`},
		[2]string{"RES:RANG MIN;RANG:AUTO ON;AUTO?", "1"},
	)
	for range 30 {
		i.Line(context.Background(), "BEEP")
	}
	for n := range 20 {
		want := map[bool]string{false: `-113,"Undefined header"`, true: `-350,"Queue overflow"`}[n == 19]
		dialogue(t, i, [2]string{"SYST:ERR?", want})
	}
	dialogue(t, i, [2]string{"SYST:ERR?", `0,"No error"`})
}

// A measurement takes the time of its integration, its values can be had as
// often as wanted, and special values are those of SCPI-99 (volume 1, 7.2.1).
func TestMeasuring(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		i := NewInstrument(still(t), InstrumentOptions{})
		ctx := context.Background()
		timed := func(line, want string, takes time.Duration) {
			t.Helper()
			begun := time.Now()
			if got := i.Line(ctx, line); got != want || time.Since(begun) != takes {
				t.Errorf("%s: got %s after %v, want %s after %v", line, got, time.Since(begun), want, takes)
			}
		}
		timed("SIM:PROBE?", "LIFT", 0)
		timed("CONF:FRES;:READ?", "+9.90000000E+37", 400*time.Millisecond) // the range moves up, at 10 periods each
		timed("SIM:PROBE 0.0187,b;:SIM:PROBE?", `"0.0187","b"`, 0)
		timed("CONF:FRES 100;:INIT", "", 0)
		timed("FETC?;FETC?", "+1.87000000E-02;+1.87000000E-02", 200*time.Millisecond)
		timed("FETC?", "+1.87000000E-02", 0)
		timed("FRES:NPLC 0.02;:SAMP:COUN 3;:READ?", "+1.87000000E-02,+1.87000000E-02,+1.87000000E-02",
			1200*time.Microsecond)
		timed("MEAS:RES? 100", "+9.87000000E-02", 200*time.Millisecond) // with the leads
		timed("SIM:PROBE:SHOR;:MEAS:RES? 100;:SIM:PROB?", "+8.00000000E-02;SHOR", 200*time.Millisecond)
		timed("SIM:PROBE -500,b;:READ?", "-9.90000000E+37", 200*time.Millisecond)
		timed("INIT;:INIT", "", 0)
		timed("SYST:ERR?", `-213,"Init ignored"`, 0)
		timed("ABOR;:FETC?", "", 0)
		timed("SYST:ERR?", `-230,"Data corrupt or stale"`, 0)
		timed("TRIG:SOUR BUS;:READ?", "", 0)
		timed("SYST:ERR?", `-214,"Trigger deadlock"`, 0)
		timed("INIT;*TRG;FETC?", "-9.90000000E+37", 200*time.Millisecond)
		timed("SIM:PROBE 0.02,b;:SIM:SHORT OFF;:CONF:FRES 1E5;:READ?;:SIM:SHORT?", "+2.00000000E+04;0",
			200*time.Millisecond)
		timed("SIM:SHORT ON;:SIM:SHORT?;:READ?", "1;+2.00000000E-02", 200*time.Millisecond)
		timed("SIM:PROBE none,b;:SYST:ERR?", `-200,"Execution error;no such place as 'none'"`, 0)
		timed("SIM:PROBE 0.02", "", 0)
		timed("SYST:ERR?", `-109,"Missing parameter"`, 0)
	})
}

// A choosing instrument goes to the range that holds the value, and takes the
// time for it; on another range the value steps, within a few counts.
func TestRangeStep(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := still(t)
		w.step[0][1], w.step[1][1] = 3e-5, 3e-6
		i := NewInstrument(w, InstrumentOptions{})
		ctx := context.Background()
		if err := w.Touch([]string{"150", "b"}); err != nil {
			t.Fatal(err)
		}
		begun := time.Now()
		got := i.Line(ctx, "CONF:FRES;:READ?;:FRES:RANG?")
		if want := "+1.50007500E+02;+1.00000000E+03"; got != want || time.Since(begun) != 400*time.Millisecond {
			t.Errorf("got %s after %v, want %s", got, time.Since(begun), want)
		}
	})
}

// A touch bounces, then settles; contact potential is there unless it is
// compensated.
func TestEffects(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		w := NewWire(func([]string, bool) (float64, float64, error) { return 0.02, 0.02, nil }, Noise{},
			Effects{EMF: 3e-6, Bounce: 0.3, OpenFor: 0.3, Tail: 0.2, TailBy: 0.5, Plain: true}, seeded(3))
		i := NewInstrument(w, InstrumentOptions{})
		ctx := context.Background()
		dialogue(t, i, [2]string{"CONF:FRES 100;:FRES:NPLC 0.2;:SIM:PROBE a,b", ""})
		open, last := 0, 0.0
		for range 500 { // two seconds
			reply := i.Line(ctx, "READ?")
			if strings.HasPrefix(reply, "+9.9") {
				open++
				continue
			}
			last, _ = strconv.ParseFloat(reply, 64)
		}
		if open < 5 || open > 60 {
			t.Errorf("%d of 75 readings of the bounce are open", open)
		}
		if math.Abs(last-0.023) > 1e-6 {
			t.Errorf("settled at %g ohm, want 0.023 with the potential", last)
		}
		x, _ := strconv.ParseFloat(i.Line(ctx, "FRES:OCOM ON;:READ?"), 64)
		if math.Abs(x-0.02) > 1e-6 {
			t.Errorf("compensated: %g ohm, want 0.020", x)
		}
	})
}
