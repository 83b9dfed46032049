package practice

import (
	"context"
	"net"
	"os/exec"
	"strconv"
	"strings"
	"testing"
)

// served puts a simulated meter without noise on a socket.
func served(t *testing.T) (host, port string) {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- NewInstrument(still(t), InstrumentOptions{}).Serve(ctx, l) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	host, port, err = net.SplitHostPort(l.Addr().String())
	if err != nil {
		t.Fatal(err)
	}
	return host, port
}

// TestByVISA: a general instrument-control library speaks with the simulated
// meter. Status bits are those of IEEE 488.2 (11.2 and 11.5.1), numbers NR1 and
// NR3 (8.7), overloads those of SCPI-99 (volume 1, 7.2.1).
func TestByVISA(t *testing.T) {
	python := "/usr/bin/python3"
	if err := exec.Command(python, "-c", "import pyvisa, pyvisa_py").Run(); err != nil {
		t.Skip("python3-pyvisa and python3-pyvisa-py are not here: the meter is not tried by an independent client")
	}
	host, port := served(t)
	out, err := exec.Command(python, "testdata/visa.py", "TCPIP0::"+host+"::"+port+"::SOCKET").CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	t.Logf("transcript:\n%s", out)
	want := `> *IDN?
< OHMWARD,PRACTICE METER,0,1
> *TST?
< 0
> *CLS
> *ESE 32
> *SRE 32
> NO:SUCH:COMMAND
> *STB?
< 100
> *ESR?
< 32
> SYST:ERR?
< -113,"Undefined header"
> SYST:ERR?
< 0,"No error"
> SYST:VERS?
< 1999.0
> CONF:FRES 100
> SENS:FRES:NPLC 1
> SENS:FRES:NPLC?
< +1.00000000E+00
> CONF?
< "FRES +1.00000000E+02,+1.00000000E-04"
> READ?
< +9.90000000E+37
> SIM:PROBE 0.0187,b
> INIT
> *OPC
> *OPC?
< 1
> *ESR?
< 1
> FETC?
< +1.87000000E-02
> SAMP:COUN 3
values [0.0187, 0.0187, 0.0187]
> SIM:PROBE -500,b
> SAMP:COUN 1
> READ?
< -9.90000000E+37
> SYST:ERR?
< 0,"No error"
`
	if string(out) != want {
		t.Errorf("got\n%s\nwant\n%s", out, want)
	}
}

// TestByLXI: so does a tool for instruments on networks.
func TestByLXI(t *testing.T) {
	tool, err := exec.LookPath("lxi")
	if err != nil {
		t.Skip("lxi-tools is not here: the meter is not tried by a second independent client")
	}
	host, port := served(t)
	ask := func(question string) string {
		out, err := exec.Command(tool, "scpi", "--raw", "--timeout", "20", "--address", host, "--port", port,
			question).CombinedOutput()
		if err != nil {
			t.Fatalf("%s: %v\n%s", question, err, out)
		}
		t.Logf("> %s\n< %s", question, out)
		return strings.TrimSpace(string(out))
	}
	if got := ask("*IDN?"); got != "OHMWARD,PRACTICE METER,0,1" {
		t.Errorf("*IDN?: got %s", got)
	}
	if got, err := strconv.ParseFloat(ask("MEAS:FRES?"), 64); err != nil || got != 9.9e37 {
		t.Errorf("lifted: got %g, %v", got, err)
	}
}
