package meter_test

import (
	"context"
	"errors"
	"math"
	"strings"
	"testing"
	"testing/synctest"

	"ohmward/internal/meter"
	"ohmward/internal/meter/metertest"
	"ohmward/unit"
)

var (
	onSocket = meter.Address{Interface: meter.Socket, Host: "192.0.2.7", Port: 5025}
	onSerial = meter.Address{Interface: meter.Serial, Device: "/dev/ttyUSB0"}
)

// played runs a test on a transcript, on a clock of its own.
func played(t *testing.T, at meter.Address, transcript string, do func(context.Context, *meter.Meter,
	error)) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		p := metertest.Play(t, transcript)
		ctx := context.Background()
		m, err := meter.Open(ctx, at, meter.Options{Dial: p.Dial, LockFolder: t.TempDir()})
		do(ctx, m, err)
	})
}

// The dialogue of a meter that knows all that is asked.
const (
	greeted = `
		> *CLS
		> *IDN?
		< MAKER,MODEL 1,S1,1.0
		> *IDN?
		< MAKER,MODEL 1,S1,1.0
	`
	greetedAgain = `
		> *CLS
		> *IDN?
		< MAKER,MODEL 1,S1,1.0
	`
	savedBefore = `
		> SENS:FUNC?
		< "VOLT:DC"
		> SENS:FUNC?
		< "VOLT:DC"
		> TRIG:SOUR?
		< EXT
		> TRIG:SOUR?
		< EXT
		> TRIG:COUN?
		< +1.00000000E+00
		> TRIG:COUN?
		< +1.00000000E+00
		> SENS:RES:RANG?
		< +1.00000000E+03
		> SENS:RES:RANG?
		< +1.00000000E+03
		> SENS:RES:RANG:AUTO?
		< 0
		> SENS:RES:RANG:AUTO?
		< 0
		> SENS:RES:NPLC?
		< +1.0E+01
		> SENS:RES:NPLC?
		< +1.0E+01
	`
	configured = `
		> CONF:RES
		> SYST:ERR?
		< +0,"No error"
		> SENS:FUNC?
		< "RES"
		> SENS:RES:NPLC?
		< +1.0E+01
		> SENS:RES:NPLC?
		< +1.0E+01
		> SENS:RES:RANG?
		< +1.00000000E+02
	`
	confirmed = `
		> SENS:FUNC?
		< "RES"
		> SENS:RES:RANG?
		< +1.00000000E+02
	`
	putBack = `
		> TRIG:SOUR EXT
		> TRIG:COUN +1.00000000E+00
		> SENS:RES:RANG +1.00000000E+03
		> SENS:RES:RANG:AUTO 0
		> SENS:RES:NPLC +1.0E+01
		> SENS:FUNC "VOLT:DC"
		> SYST:ERR?
		< +0,"No error"
	`
)

// reads configures, reads once and closes.
func reads(t *testing.T, want ...meter.Sample) func(context.Context, *meter.Meter, error) {
	return func(ctx context.Context, m *meter.Meter, err error) {
		t.Helper()
		if err == nil {
			err = m.Configure(ctx, meter.Setup{Function: meter.Resistance})
		}
		if err != nil {
			t.Fatal(err)
		}
		got, err := m.Read(ctx)
		if err != nil || len(got) != len(want) {
			t.Fatalf("got %v, %v, want %d samples", got, err, len(want))
		}
		for i, w := range want {
			g := got[i]
			same := g.Ohms == w.Ohms || math.Abs(float64(g.Ohms-w.Ohms)) < 1e-12
			if g.State != w.State || !same || g.Checked == (w.Raw == "unchecked") {
				t.Errorf("sample %d: got %+v, want %+v", i, g, w)
			}
		}
		if err := m.Close(ctx); err != nil {
			t.Errorf("close: %v", err)
		}
	}
}

// What was changed is put back; a value is asked for twice.
func TestReadAndPutBack(t *testing.T) {
	played(t, onSocket, greeted+savedBefore+configured+`
		> INIT
		> FETC?
		< +1.87000000E-02
		> FETC?
		< +1.87000000E-02
	`+confirmed+putBack, reads(t, meter.Sample{Ohms: 0.0187}))
}

// Several values in one answer, among them the special ones.
func TestSeveralValues(t *testing.T) {
	const line = "+1.87000000E-02,+9.90000000E+37,+9.91000000E+37,-9.90000000E+37"
	played(t, onSocket, greeted+savedBefore+configured+`
		> INIT
		> FETC?
		< `+line+`
		> FETC?
		< `+line+`
	`+confirmed+putBack, reads(t, meter.Sample{Ohms: 0.0187},
		meter.Sample{State: meter.Overload, Ohms: unit.Open},
		meter.Sample{State: meter.NoValue}, meter.Sample{State: meter.NegativeOverload}))
}

// A meter that does not keep a value, by its own error, is read by READ? alone.
func TestPlainMeter(t *testing.T) {
	played(t, onSocket, greeted+savedBefore+configured+`
		> INIT
		> FETC?
		# silence
		! reopened
	`+greetedAgain+`
		> INIT
		> SYST:ERR?
		< +0,"No error"
		! reopened
	`+greetedAgain+`
		> FETC?
		> SYST:ERR?
		< -113,"Undefined header"
		> SYST:ERR?
		< +0,"No error"
		> FETC?
		> SYST:ERR?
		< -113,"Undefined header"
		> SYST:ERR?
		< +0,"No error"
	`+configured+`
		> READ?
		< +1.87000000E-02
	`+confirmed+putBack, reads(t, meter.Sample{Ohms: 0.0187, Raw: "unchecked"}))
}

// A meter that knows neither FUNC? nor its trigger: by its own error each; the
// error queue then stands between a value and its being taken.
func TestSparseMeter(t *testing.T) {
	silent := func(question string) string {
		return `
		> ` + question + `
		# silence
		! reopened
	` + greetedAgain + `
		> ` + question + `
		> SYST:ERR?
		< -113,"Undefined header"
		> SYST:ERR?
		< +0,"No error"
		> ` + question + `
		> SYST:ERR?
		< -113,"Undefined header"
		> SYST:ERR?
		< +0,"No error"
	`
	}
	played(t, onSocket, greeted+silent("SENS:FUNC?")+silent("TRIG:SOUR?")+silent("TRIG:COUN?")+
		silent("SENS:RES:RANG?")+silent("SENS:RES:RANG:AUTO?")+silent("SENS:RES:NPLC?")+`
		> CONF:RES
		> SYST:ERR?
		< 0,"No error"
	`+silent("SENS:FUNC?")+silent("SENS:RES:NPLC?")+silent("SENS:RES:RANG?")+`
		> INIT
		> FETC?
		< 0.0187
		> FETC?
		< 0.0187
		> SYST:ERR?
		< 0,"No error"
	`, reads(t, meter.Sample{Ohms: 0.0187}))
}

// fails opens, configures and reads, and wants an error with these words.
func fails(t *testing.T, problem meter.Problem, words string) func(context.Context, *meter.Meter, error) {
	return func(ctx context.Context, m *meter.Meter, err error) {
		t.Helper()
		if err == nil {
			err = m.Configure(ctx, meter.Setup{Function: meter.Resistance})
		}
		var got []meter.Sample
		if err == nil {
			got, err = m.Read(ctx)
		}
		var f *meter.Fault
		if !errors.As(err, &f) || f.Problem != problem || !strings.Contains(f.What, words) ||
			strings.Contains(f.What, "\n") {
			t.Errorf("got %v, %v, want problem %d with %q", got, err, problem, words)
		}
	}
}

// Whatever cannot be trusted is an error in words, never a value.
func TestFaultyDialogues(t *testing.T) {
	ready := greeted + savedBefore + configured
	for name, c := range map[string]struct {
		at         meter.Address
		transcript string
		problem    meter.Problem
		words      string
	}{
		"silent": {onSocket, "> *CLS\n> *IDN?", meter.Unreachable, "did not answer *IDN? in time"},
		"cut":    {onSocket, "> *CLS\n> *IDN?\n! cut", meter.Unreachable, "was lost at *IDN?"},
		"wrong port": {onSerial, "> *CLS\n> *IDN?\n< ready>\n< \\xff\\x80", meter.Unsuitable,
			"does not say who it is"},
		"no ohms": {onSocket, greeted + savedBefore + `
			> CONF:RES
			> SYST:ERR?
			< -113,"Undefined header"
			> SYST:ERR?
			< +0,"No error"`, meter.Unsuitable, "does not measure two-wire ohms: it does not know the command"},
		"half a line": {onSocket, ready + "> INIT\n> FETC?\n<… +1.87\n! cut", meter.Unreachable,
			"was lost at FETC?"},
		"two answers differ": {onSocket, ready + "> INIT\n> FETC?\n< +1.87000000E-02\n> FETC?\n< +1.47000000E-02",
			meter.Garbled, `it sent "+1.87000000E-02", then "+1.47000000E-02"`},
		"a line too many": {onSocket, ready + "> INIT\n> FETC?\n< +1.8E-02\\x0a+1.9E-02", meter.Garbled,
			"not asked for"},
		"garbage": {onSocket, ready + "> INIT\n> FETC?\n< +1.8\\xc37E-02", meter.Garbled, "not plain text"},
		"not a number": {onSocket, ready + "> INIT\n> FETC?\n< \"RES\"\n> FETC?\n< \"RES\"\n" + confirmed,
			meter.Garbled,
			"is not a number"},
		"another hand": {onSocket, ready + `
			> INIT
			> FETC?
			< +1.87000000E-02
			> FETC?
			< +1.87000000E-02
			> SENS:FUNC?
			< "VOLT:DC"`, meter.Garbled, `does another program speak with it?`},
		"refused": {onSocket, greeted + savedBefore + `
			> CONF:RES
			> SYST:ERR?
			< -310,"System error"
			> SYST:ERR?
			< 0,"No error"`, meter.Refused, "refuses CONF:RES: a fault of the device: System error (-310)"},
	} {
		t.Run(name, func(t *testing.T) { played(t, c.at, c.transcript, fails(t, c.problem, c.words)) })
	}
}

// A late answer is thrown away on a serial line, which has no new connection:
// the identity shows that the two are in step again.
func TestLateAnswerOnSerial(t *testing.T) {
	played(t, onSerial, greeted+savedBefore+configured+`
		> INIT
		> FETC?
		<… +1.8
		# silence: INIT and FETC? are asked about, and known
		> *CLS
		> *IDN?
		< +9.99000000E-02
		< MAKER,MODEL 1,S1,1.0
		> INIT
		> SYST:ERR?
		< +0,"No error"
		> *CLS
		> *IDN?
		< MAKER,MODEL 1,S1,1.0
		> FETC?
		> SYST:ERR?
		< +1.87000000E-02
		# its error comes behind: out of step once more
		> *CLS
		> *IDN?
		< +0,"No error"
		< MAKER,MODEL 1,S1,1.0
	`+configured+`
		> INIT
		> FETC?
		< +1.87000000E-02
		> FETC?
		< +1.87000000E-02
	`+confirmed+putBack, func(ctx context.Context, m *meter.Meter, err error) {
		if err == nil {
			err = m.Configure(ctx, meter.Setup{Function: meter.Resistance})
		}
		if err != nil {
			t.Fatal(err)
		}
		if got, err := m.Read(ctx); err == nil {
			t.Fatalf("half a line: got %v", got)
		}
		got, err := m.Read(ctx)
		if err != nil || len(got) != 1 || got[0].Ohms != 0.0187 {
			t.Fatalf("got %v, %v", got, err)
		}
		if err := m.Close(ctx); err != nil {
			t.Error(err)
		}
	})
}

// Another instrument at the address of the first is not taken for it.
func TestAnotherInstrument(t *testing.T) {
	played(t, onSocket, greeted+savedBefore+configured+`
		> INIT
		! cut
		! reopened
		> *CLS
		> *IDN?
		< MAKER,MODEL 1,S2,1.0
		> *IDN?
		< MAKER,MODEL 1,S2,1.0
	`, func(ctx context.Context, m *meter.Meter, err error) {
		if err == nil {
			err = m.Configure(ctx, meter.Setup{Function: meter.Resistance})
		}
		if err != nil {
			t.Fatal(err)
		}
		if _, err := m.Read(ctx); err == nil {
			t.Fatal("a cut connection is no error")
		}
		if _, err := m.Read(ctx); err == nil || !strings.Contains(err.Error(), "another instrument answers") {
			t.Errorf("got %v", err)
		}
	})
}

// Two programs do not speak with one instrument; its end lets the next in.
func TestLock(t *testing.T) {
	dir := t.TempDir()
	open := func(p *metertest.Playback) (*meter.Meter, error) {
		return meter.Open(context.Background(), onSocket, meter.Options{Dial: p.Dial, LockFolder: dir})
	}
	first, err := open(metertest.Play(t, greeted))
	if err != nil {
		t.Fatal(err)
	}
	_, err = open(metertest.Play(t, ""))
	var f *meter.Fault
	if !errors.As(err, &f) || f.Problem != meter.Busy {
		t.Errorf("a second program: %v", err)
	}
	if err := first.Close(context.Background()); err != nil {
		t.Error(err)
	}
	again, err := open(metertest.Play(t, greeted))
	if err != nil {
		t.Fatal(err)
	}
	again.Close(context.Background())
}
